"""X and V: both engines, OR-Tools and plain trying; deductions by hand; print; faults."""

from __future__ import annotations

from functools import partial

from packbuilder.grid import blocks, latin
from packbuilder.rules import kinds
from packbuilder.rules.shapes import Edge
from tests.rules import checks
from tests.rules.checks import check_tiny, refused

told = partial(checks.told, "xv")


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        # With 2x2 blocks a V in row 1 leaves r1c3 and r2c3 one digit of each pair 1-4 and 2-3, so
        # r3c3 and r4c3 have the other two and never add up to 5.
        crossed = check_tiny("xv", {"v": ["r1c1 r1c2", "r3c3 r4c3"]}, geometry)
        assert (crossed == 0) == (geometry.shape is not None)
        assert check_tiny("xv", {"v": ["r1c1 r1c2", "r1c2 r1c3"]}, geometry) == 0
        check_tiny("xv", {"all-shown": "true"}, geometry)
        check_tiny("xv", {"v": ["r1c1 r1c2", "r1c3 r1c4"], "all-shown": "true"}, geometry)


# What follows is worked out by hand.


def test_one_letter() -> None:
    assert told({"x": ["r1c1 r1c2"]}) == [
        (
            "xv-sum",
            "An X joins r1c1 and r1c2: they add up to 10. On either side, 5 has no partner. "
            "That takes 5 out of r1c1 and r1c2.",
        )
    ]
    assert told({"v": ["r1c1 r1c2"]}, {"r1c1": "14"})[0] == (
        "xv-sum",
        "r1c1 is 1 or 4, so r1c2 across the V is 1 or 4. "
        "That takes 2, 3, 5, 6, 7, 8 and 9 out of r1c2.",
    )


def test_x_and_v_in_a_chain() -> None:
    # a + b = 10 and b + c = 5: b is at most 4, so a is at least 6.
    found = told({"x": ["r1c1 r1c2"], "v": ["r1c2 r1c3"]}, {"r1c1": "12346789"})
    assert (
        "xv-chain",
        "The letters between r1c1, r1c2 and r1c3 leave only 6-4-1, 7-3-2, 8-2-3 or 9-1-4 for them. "
        "That takes 1, 2, 3 and 4 out of r1c1; and 5, 6, 7, 8 and 9 out of r1c2 and r1c3.",
    ) in found


def test_letters_hold_a_digit() -> None:
    # With 1-4, 4-1 and nothing else, 1 and 4 stand in the two cells.
    found = told({"v": ["r1c3 r1c4"]}, {"r1c3": "14", "r1c4": "14"})
    assert found == [
        (
            "xv-holds-a-digit",
            "The V between r1c3 and r1c4 leaves only 1-4 or 4-1 for them, so 1 and 4 are among "
            "them. That takes 1 and 4 out of r1c1, r1c2, r1c5, r1c6, r1c7, r1c8 and r1c9.",
        )
    ]


def test_missing_letters() -> None:
    value = {"x": ["r9c8 r9c9"], "all-shown": "true"}
    assert (
        "no-xv",
        "r1c1 is 4, and neither X nor V joins it to r1c2 or r2c1. "
        "That takes 1 and 6 out of r1c2 and r2c1.",
    ) in told(value, {"r1c1": "4"})
    assert (
        "no-xv-either-way",
        "r1c1 is 1 or 4, and neither X nor V joins it to r1c2 or r2c1. Whichever it is, it rules "
        "out 1 and 4 there. That takes 1 and 4 out of r1c2 and r2c1.",
    ) in told(value, {"r1c1": "14"})
    others = {f"r1c{c}": "12346789" for c in range(3, 10)} | {"r1c1": "2345", "r1c2": "5678"}
    assert not any(technique == "no-xv-without-place" for technique, _ in told(value, others))
    others = {f"r1c{c}": "12456789" for c in range(3, 10)} | {"r1c1": "2345", "r1c2": "3567"}
    assert (
        "no-xv-without-place",
        "In row 1, the 3 is in r1c1 or r1c2. As neither X nor V stands between these cells, it "
        "would have no place with 2 in r1c1, or 7 in r1c2. "
        "That takes 2 out of r1c1 and 7 out of r1c2.",
    ) in told(value, others)


def test_drawn_and_named() -> None:
    parts = kinds()["xv"].read({"v": ["r2c1 r1c1"], "x": ["r1c1 r1c2"]}, latin(6))
    assert [part.shapes() for part in parts] == [(Edge((0, 1), "X"),), (Edge((0, 6), "V"),)]
    assert [part.name(6) for part in parts] == ["X at r1c1-r1c2", "V at r1c1-r2c1"]


def test_faults() -> None:
    assert refused("xv", {"x": ["r1c1 r1c2"]}, 4) == (
        "x: an X asks for a sum of 10, but two digits of a 4x4 grid reach 7 at most; leave the X "
        "marks out"
    )
    assert refused("xv", {"v": ["r1c1 r1c2", "r1c2 r1c1"]}) == (
        "v/1: r1c1 and r1c2 have two letters between them; leave one out"
    )
    assert refused("xv", {"v": ["r1c1 r3c1"]}) == (
        "v/0: r1c1 and r3c1 do not share a side; name two cells that do"
    )
    assert refused("xv", {"v": ["r0c1 r1c1"]}).startswith("v/0: r0c1 lies outside a 6x6 grid; ")
    assert refused("xv", {"v": ["here"]}).startswith("v/0: 'here' is not a cell; ")
    assert refused("xv", {"X": ["r1c1 r1c2"]}).startswith("X: unknown key 'X'; ")
    assert refused("xv", {"all-shown": "no"}).startswith("there is no letter; ")
    assert refused("xv", []).startswith("a list stands where x, v and all-shown belong; ")
