"""Dots: both engines, OR-Tools and plain trying; deductions by hand; print; faults."""

from __future__ import annotations

from functools import partial

from packbuilder.grid import blocks, latin
from packbuilder.rules import kinds
from packbuilder.rules.dots import Dot, NoDots
from packbuilder.rules.shapes import Edge
from tests.rules import checks
from tests.rules.checks import check_tiny, refused
from tests.rules.random_values import all_dots

told = partial(checks.told, "dots")
deductions = partial(checks.deductions, "dots")


def test_tiny_grids() -> None:
    counts = [
        check_tiny("dots", value, geometry)
        for geometry in (latin(4), blocks(2, 2))
        for value in (
            {"white": ["r1c1 r1c2"], "black": ["r2c2 r3c2", "r3c2 r3c3"]},
            {"white": ["r1c2 r1c3", "r1c3 r1c4"]},
            # No white dot can stand between 1 and 2, 2 and 3, or 3 and 4 in the last row.
            {"white": ["r1c1 r2c1"], "all-shown": "true"},
        )
    ]
    assert counts[0] and counts[1]


def test_all_shown_on_a_tiny_grid() -> None:
    geometry = latin(4)
    for seed in range(6):
        values = tuple(
            (r * (1, 3)[seed % 2] + c + seed) % 4 + 1 for r in range(4) for c in range(4)
        )
        assert check_tiny("dots", all_dots(geometry, values), geometry) >= 1


# What follows is worked out by hand.


def test_black_dot_alone() -> None:
    assert told({"black": ["r1c2 r1c1"]}) == [
        (
            "black-dot",
            "A black dot joins r1c1 and r1c2: one is twice the other. On either side, 5, 7 and 9 "
            "have no partner. That takes 5, 7 and 9 out of r1c1 and r1c2.",
        )
    ]


def test_white_dot_beside_a_digit() -> None:
    assert told({"white": ["r1c1 r2c1"]}, {"r1c1": "4"})[0] == (
        "white-dot",
        "r1c1 is 4, so r2c1 across the white dot is 3 or 5. "
        "That takes 1, 2, 4, 6, 7, 8 and 9 out of r2c1.",
    )


def test_run_of_three() -> None:
    assert ("dot-chain", RUN) in told({"white": ["r1c1 r1c2", "r1c2 r1c3"]})


RUN = (
    "White dots join r1c1, r1c2 and r1c3, and no digit comes twice among them: they are a run, up "
    "or down. That takes 1 and 9 out of r1c2."
)


def test_three_black_dots_in_a_row() -> None:
    found = deductions(
        {"black": ["r1c1 r1c2", "r1c2 r1c3", "r1c3 r1c4"]},
        dict.fromkeys(("r1c1", "r1c2", "r1c3", "r1c4"), "1234678"),
    )
    last = [one for one in found if one.technique == "dot-chain" and len(one.cells) == 4][-1]
    assert last.words() == (
        "The black dots between r1c1, r1c2, r1c3 and r1c4 leave only 1-2-4-8 or 8-4-2-1 for them. "
        "That takes 2, 3, 4, 6 and 7 out of r1c1 and r1c4; and 1, 3, 6, 7 and 8 out of r1c2 and "
        "r1c3."
    )
    held = [one for one in found if one.technique == "dots-hold-a-digit" and len(one.cells) == 4]
    assert held[0].digits == (1, 2, 4, 8)


def test_dots_hold_a_digit() -> None:
    # 2-4 or 4-8: whichever, one of the two is 4.
    found = told({"black": ["r1c1 r1c2"]}, {"r1c1": "24", "r1c2": "48"})
    assert found == [
        (
            "dots-hold-a-digit",
            "The black dot between r1c1 and r1c2 leaves only 2-4 or 4-8 for them, so one of them "
            "is 4. That takes 4 out of r1c3, r1c4, r1c5, r1c6, r1c7, r1c8, r1c9, r2c1, r2c2, r2c3, "
            "r3c1, r3c2 and r3c3.",
        )
    ]


def test_bent_chain_may_repeat() -> None:
    # r1c3 and r2c4 do not see each other in a grid of 3x3 blocks: 2-1-2 is no contradiction.
    found = deductions(
        {"black": ["r1c3 r1c4", "r1c4 r2c4"]}, {"r1c3": "2", "r1c4": "14", "r2c4": "28"}
    )
    assert not any(one.technique == "dot-chain" for one in found)


def test_missing_dots() -> None:
    value = {"white": ["r9c8 r9c9"], "all-shown": "true"}
    found = told(value, {"r1c1": "4", "r1c2": "123456789"})
    assert (
        "no-dot",
        "r1c1 is 4, and no dot joins it to r1c2 or r2c1. That takes 2, 3, 5 and 8 out of r1c2 and "
        "r2c1.",
    ) in found
    assert (
        "no-dot-either-way",
        "r1c1 is 3 or 4, and no dot joins it to r1c2 or r2c1. Whichever it is, it rules out 2, 3 "
        "and 4 there. That takes 2, 3 and 4 out of r1c2 and r2c1.",
    ) in told(value, {"r1c1": "34"})


def test_place_beside_a_missing_dot() -> None:
    others = {f"r1c{c}": "12346789" for c in range(3, 10)}
    found = told({"white": ["r9c8 r9c9"], "all-shown": "true"}, others)
    assert (
        "no-dot-without-place",
        "In row 1, the 5 is in r1c1 or r1c2. As no dot stands between these cells, it would have "
        "no place with 4 or 6 in r1c1 or r1c2. That takes 4 and 6 out of r1c1 and r1c2.",
    ) in found


def test_drawn() -> None:
    parts = kinds()["dots"].read(
        {"white": ["r2c1 r1c1"], "black": ["r1c1 r1c2"], "all-shown": "true"}, latin(4)
    )
    assert [part.shapes() for part in parts] == [
        (Edge((0, 1), "black"),),
        (Edge((0, 4), "white"),),
        (),
    ]
    assert parts[:2] == (Dot((0, 1), "black"), Dot((0, 4), "white"))
    assert isinstance(parts[2], NoDots)
    assert len(parts[2].pairs) == 2 * 4 * 3 - 2
    names = [part.name(4) for part in parts]
    assert names == ["black dot at r1c1-r1c2", "white dot at r1c1-r2c1", "rule that all dots are "
                     "shown"]  # fmt: skip


def test_faults() -> None:
    assert refused("dots", {"white": ["r1c1 r2c2"]}) == (
        "white/0: r1c1 and r2c2 do not share a side; name two cells that do"
    )
    assert refused("dots", {"white": ["r1c1 r1c2"], "black": ["r2c2 r2c3", "r1c2 r1c1"]}) == (
        "black/1: r1c1 and r1c2 have two dots between them; leave one out"
    )
    assert refused("dots", {"white": ["r1c1 r1c7"]}) == (
        "white/0: r1c7 lies outside a 6x6 grid; rows and columns go from 1 to 6"
    )
    assert refused("dots", {"white": ["r1c1 r1c1"]}) == (
        "white/0: r1c1 is named twice; name each cell once"
    )
    assert refused("dots", {"white": ["r1c1 r1c2 r1c3"]}) == (
        "white/0: 'r1c1 r1c2 r1c3' names 3 cells; name two that share a side, such as \"r1c1 r1c2\""
    )
    assert refused("dots", {"grey": ["r1c1 r1c2"]}).startswith("grey: unknown key 'grey'; ")
    assert refused("dots", {"white": []}) == (
        'white: the list is empty; write it like ["r1c1 r1c2"]'
    )
    assert refused("dots", {"white": "r1c1 r1c2"}).startswith(
        "white: 'r1c1 r1c2' stands where a list belongs; "
    )
    assert refused("dots", {"all-shown": "maybe"}) == (
        "all-shown: 'maybe' is neither yes nor no; write true or false"
    )
    assert refused("dots", {"all-shown": "false"}).startswith("there is no dot; ")
    assert refused("dots", None).startswith(
        "nothing stands where white, black and all-shown belong; "
    )
