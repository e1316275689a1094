"""Inequalities: both engines, OR-Tools and plain trying; deductions by hand; print; faults."""

from __future__ import annotations

from functools import partial

from packbuilder.grid import blocks, latin
from packbuilder.rules import kinds
from packbuilder.rules.shapes import Edge
from tests.rules import checks
from tests.rules.checks import check_tiny, refused

told = partial(checks.told, "inequalities")


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        assert check_tiny("inequalities", ["r1c1 < r1c2", "r2c2 > r2c3"], geometry) > 0
        # One order of four digits: the rest of the grid in 1/24 of all ways. Of 4x4 grids there are
        # 576 Latin squares, and 288 with blocks (OEIS A002860 and A107739, from memory).
        whole = check_tiny("inequalities", ["r1c1 < r1c2 < r1c3 < r1c4"], geometry)
        assert whole == {None: 576, (2, 2): 288}[geometry.shape] // 24


# What follows is worked out by hand.


def test_a_chain_both_ways() -> None:
    assert told(["r1c1 < r1c2 < r2c2"])[:2] == [
        (
            "inequality",
            "r1c1 < r1c2 < r2c2, so r1c2 is at least 2 and r2c2 at least 3. "
            "That takes 1 out of r1c2; and 1 and 2 out of r2c2.",
        ),
        (
            "inequality",
            "r2c2 > r1c2 > r1c1, so r1c2 is at most 8 and r1c1 at most 7. "
            "That takes 8 and 9 out of r1c1; and 9 out of r1c2.",
        ),
    ]


def test_a_bound_is_passed_on() -> None:
    found = told(["r1c1 < r1c2"], {"r1c1": "4", "r1c2": "2345678"})
    assert found == [
        (
            "inequality",
            "r1c1 is 4, and r1c1 < r1c2, so r1c2 is at least 5. That takes 2, 3 and 4 out of r1c2.",
        )
    ]
    found = told(["r1c1 < r1c2"], {"r1c1": "3456", "r1c2": "46"})
    assert found == [
        (
            "inequality",
            "r1c2 is at most 6, and r1c2 > r1c1, so r1c1 is at most 5. That takes 6 out of r1c1.",
        )
    ]


def test_gaps_in_the_candidates_count() -> None:
    # r1c2 is above 2, and 3 and 4 are gone: at least 5, so r1c3 is at least 6.
    found = told(["r1c1 < r1c2 < r1c3"], {"r1c1": "23", "r1c2": "5678", "r1c3": "56789"})
    assert found[0] == (
        "inequality",
        "r1c2 is at least 5, and r1c2 < r1c3, so r1c3 is at least 6. That takes 5 out of r1c3.",
    )


def test_above_two_cells_of_a_row() -> None:
    found = told(["r1c1 < r1c2 > r1c3"], {"r1c2": "23456789"})
    assert (
        "inequality-crowd",
        "In row 1, r1c1 and r1c3 differ, so the larger of the two is at least 2; and r1c2 is "
        "larger than each of them. That takes 2 out of r1c2.",
    ) in found
    found = told(
        ["r1c1 < r2c1 < r2c2", "r1c2 < r2c2", "r1c2 < r1c3"],
        {"r2c2": "3456789", "r2c1": "2345678"},
    )
    assert (
        "inequality-crowd",
        "In block 1, r1c1, r1c2 and r2c1 all differ, so the largest of them is at least 3; and "
        "r2c2 is larger than each of them. That takes 3 out of r2c2.",
    ) in found


def test_drawn_and_named() -> None:
    parts = kinds()["inequalities"].read(["r2c1 > r1c1", "r1c1 > r1c2"], latin(4))
    assert [part.shapes() for part in parts] == [(Edge((0, 1), ">"),), (Edge((0, 4), "<"),)]
    assert [part.name(4) for part in parts] == ["sign r1c2 < r1c1", "sign r1c1 < r2c1"]
    assert [part.cells for part in parts] == [(1, 0), (0, 4)]


def test_faults() -> None:
    assert refused("inequalities", ["r1c1 < r2c2"]) == (
        "0: r1c1 and r2c2 do not share a side; name two cells that do"
    )
    assert refused("inequalities", ["r1c1 < r1c2", "r1c2 > r1c1"]) == (
        "1: r1c1 and r1c2 have two signs between them; leave one out"
    )
    assert (
        refused("inequalities", ["r1c1 < r1c2 < r2c2", "r2c2 < r2c1", "r1c1 > r2c1"])
        == "2: with r2c1 < r1c1 the signs go round in a circle; turn one of them round"
    )
    assert refused("inequalities", ["r1c1 < r1c2 < r1c3 < r1c4", "r1c4 < r2c4"], 4) == (
        "1: the signs make a chain of 5 cells, from r1c1 up to r2c4, but there are only 4 digits; "
        "leave one of its signs out"
    )
    assert refused("inequalities", ["r1c1 r1c2"]) == (
        "0: 'r1c1 r1c2' has no sign between cells; write it like \"r1c1 < r1c2\""
    )
    assert refused("inequalities", ["r1c1 < r1c9"]).startswith("0: r1c9 lies outside a 6x6 grid; ")
    assert refused("inequalities", ["r1c1 < "]).startswith("0: the text is empty; ")
    assert refused("inequalities", ["r1c1 r1c2 < r1c3"]).startswith(
        "0: 'r1c1 r1c2' names 2 cells; "
    )
    assert refused("inequalities", "r1c1 < r1c2").startswith(
        "'r1c1 < r1c2' stands where a list belongs; "
    )
    assert refused("inequalities", []).startswith("the list is empty; ")
