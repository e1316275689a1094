"""Little sums: both engines, OR-Tools and plain trying; deductions by hand; print; faults."""

from __future__ import annotations

from typing import Any

import pytest

from packbuilder.grid import blocks, cell_name, latin
from packbuilder.rules import kinds
from packbuilder.rules.shapes import Outside, Side
from tests.rules.checks import check_tiny, refused, told


def test_two_cells_by_trying() -> None:
    # In a Latin square r1c2 and r2c1 may be equal or not; in 2x2 blocks they share one. All sums
    # together are all grids (576 and 288: published counts, from memory).
    for geometry, sums, grids in (
        (latin(4), range(2, 9), 576),
        (blocks(2, 2), range(3, 8), 288),
    ):
        counts = [
            check_tiny(
                "little-sums", [{"sum": str(s), "from": "r1c2", "towards": "down-left"}], geometry
            )
            for s in sums
        ]
        assert sum(counts) == grids
        assert counts == counts[::-1]  # 5 - d in place of d


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        value = [
            {"sum": "9", "from": "r1c1", "towards": "down-right"},
            {"sum": "7", "from": "r4c2", "towards": "up-right"},
            {"sum": "4", "from": "r3c4", "towards": "down-left"},
        ]
        check_tiny("little-sums", value, geometry)


# What follows is worked out by hand.

LOW = [{"sum": "6", "from": "r1c3", "towards": "down-left"}]
"""r1c3, r2c2 and r3c1 of block 1: all different, so they are 1, 2 and 3."""


def test_bounds() -> None:
    assert told("little-sums", LOW)[0] == (
        "diagonal-bounds",
        "The diagonal from r1c3 to r3c1 adds up to 6. Leave out any one of r1c3, r2c2 and r3c1, "
        "and the others make at least 3: so each of the three is at most 3.",
    )
    high = [{"sum": "17", "from": "r1c2", "towards": "down-left"}]
    assert told("little-sums", high, {"r1c2": "689"})[0] == (
        "diagonal-bounds",
        "The diagonal from r1c2 to r2c1 adds up to 17. Leave out r1c2 or r2c1, and the others "
        "make at most 9: so each of the two is at least 8.",
    )


def test_the_last_cell() -> None:
    assert told("little-sums", LOW, {"r1c3": "2", "r3c1": "1"}) == [
        (
            "diagonal-total",
            "The diagonal from r1c3 to r3c1 adds up to 6, and its other cells hold 3, so r2c2 is "
            "3.",
        )
    ]


def test_ways() -> None:
    # 8 from 2, 4 or 6 and two more that are 1 or 3: 1+3+4 only, so 4 it is.
    masks = {"r1c3": "13", "r2c2": "246", "r3c1": "13"}
    eight = [{"sum": "8", "from": "r1c3", "towards": "down-left"}]
    assert dict(told("little-sums", eight, masks))["diagonal-combinations"] == (
        "The diagonal from r1c3 to r3c1 adds up to 8. The ways to do so leave 4 for r2c2."
    )


# Reading, print, words.


def test_where_the_number_stands() -> None:
    kind = kinds()["little-sums"]
    placed: dict[tuple[str, str], tuple[Side, int]] = {
        ("r1c2", "down-left"): ("top", 2),
        ("r1c1", "down-right"): ("top", -1),
        ("r1c4", "down-left"): ("top", 4),
        ("r2c1", "down-right"): ("left", 0),
        ("r3c1", "up-right"): ("left", 3),
        ("r4c1", "up-right"): ("bottom", -1),
        ("r4c3", "up-left"): ("bottom", 3),
        ("r3c4", "up-left"): ("right", 3),
        ("r2c4", "down-left"): ("right", 0),
    }
    for (start, towards), (side, index) in placed.items():
        parts = kind.read([{"sum": "7", "from": start, "towards": towards}], latin(4))
        (part,) = parts
        assert part.shapes() == (Outside(side, index, "7", towards),)
        assert part.name(4) == f"little sum 7 from {start} {towards}"
        assert cell_name(part.cells[0], 4) == start
        assert kind.recover((Outside("top", 1, "3"), *part.shapes()), latin(4)) == parts
    assert kind.recover((Outside("top", 4, "7", "down-right"),), latin(4)) == ()


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (
            {"sum": "40", "from": "r1c3", "towards": "down-left"},
            "0/sum: no digits make 40 on the three cells from r1c3 to r3c1; they make 4 to 17",
        ),
        (
            {"sum": "4", "from": "r2c2", "towards": "down-left"},
            "0/from: r2c2 is not where a diagonal down-left enters the grid; begin at the edge "
            "cell that the arrow points at",
        ),
        (
            {"sum": "4", "from": "r1c1", "towards": "down-left"},
            "0: the diagonal down-left from r1c1 is that cell alone; turn the arrow into the grid, "
            "or give the digit as a clue",
        ),
        (
            {"sum": "4", "from": "r1c3", "towards": "left"},
            "0/towards: 'left' is no direction of a diagonal; write down-right, down-left, "
            "up-right or up-left",
        ),
        (
            {"sum": "x", "from": "r1c3", "towards": "down-left"},
            "0/sum: the sum is 'x', which is no whole number; write a number from 0 to 999999999",
        ),
        (
            {"sum": "8", "from": "r1c3"},
            "0: 'towards' is missing; write it like {sum: 20, from: r1c2, towards: down-left}",
        ),
    ],
)
def test_faults(value: Any, sentence: str) -> None:
    assert refused("little-sums", [value]) == sentence


def test_one_sum_for_a_diagonal() -> None:
    there = {"sum": "8", "from": "r1c3", "towards": "down-left"}
    back = {"sum": "9", "from": "r3c1", "towards": "up-right"}
    for second in (there, back, {**there, "sum": "9"}):
        assert refused("little-sums", [there, second]).startswith("1: the diagonal between ")
    assert len(kinds()["little-sums"].read([there, {**back, "sum": "8"}], latin(6))) == 2
