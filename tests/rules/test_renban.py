"""Renban lines: deductions and faults by hand. What all lines are held to: `test_lines_alike`."""

from __future__ import annotations

from math import factorial

import pytest

from packbuilder.rules.houses import with_houses
from tests.rules.random_lines import KINDS, grid_of, refusal, told

KIND = KINDS["renban"]
FOUR = ["r1c1 r1c2 r1c3 r2c4"]


def test_digits_lie_close_together():
    found = told("renban", FOUR, given={"r1c2": "78"})
    assert found[0] == (
        "renban-range",
        "r1c1 123, r1c3 123, r2c4 123",
        "The renban line from r1c1 to r2c4 holds four consecutive digits, and r1c2 is at least 7, "
        "so none of them is lower than 4.",
    )
    found = told("renban", FOUR, given={"r2c4": "13"})
    assert found[0] == (
        "renban-range",
        "r1c1 789, r1c2 789, r1c3 789",
        "The renban line from r1c1 to r2c4 holds four consecutive digits, and r2c4 is at most 3, "
        "so none of them is higher than 6.",
    )


def test_runs_that_do_not_fit():
    # No cell is 4: of the runs of four only 5 to 8 and 6 to 9 are left, for 1 to 4 needs it too.
    held = dict.fromkeys(("r1c1", "r1c2", "r1c3", "r2c4"), "12356789")
    assert told("renban", FOUR, given=held)[0] == (
        "renban-sets",
        "r1c1 123, r1c2 123, r1c3 123, r2c4 123",
        "Of all runs of four consecutive digits, the renban line from r1c1 to r2c4 has room only "
        "for 5 to 8 or 6 to 9. That takes 1, 2 and 3 out of r1c1, r1c2, r1c3 and r2c4.",
    )


def test_runs_that_one_cell_has_no_digit_of():
    held = {"r1c1": "19"}
    assert told("renban", ["r1c1 r1c2 r1c3"], given=held)[0] == (
        "renban-sets",
        "r1c2 456, r1c3 456",
        "Of all runs of three consecutive digits, the renban line from r1c1 to r1c3 has room only "
        "for 1 to 3 or 7 to 9. That takes 4, 5 and 6 out of r1c2 and r1c3.",
    )


def test_a_digit_that_the_line_cannot_do_without():
    # Three cells, 4 or 5 in one of them and 3 to 6 at most: 3 4 5 or 4 5 6. So 4 and 5 are there.
    held = {"r1c1": "45", "r1c2": "3456", "r2c3": "356"}
    held |= dict.fromkeys(("r2c1", "r2c2", "r3c1", "r3c2", "r3c3"), "12346789")
    found = told("renban", ["r1c1 r1c2 r2c3"], given=held)
    assert found[0] == (
        "renban-needs",
        "r1c3 4, r1c4 4, r1c5 4, r1c6 4, r1c7 4, r1c8 4, r1c9 4, r2c1 4, r2c2 4, r3c1 4, r3c2 4, "
        "r3c3 4",
        "The renban line from r1c1 to r2c3 holds 3 to 5 or 4 to 6, so 4 is on it, in r1c1 or r1c2; "
        "a cell that sees all of these cannot be 4. That takes 4 out of r1c3, r1c4, r1c5, r1c6, "
        "r1c7, r1c8, r1c9, r2c1, r2c2, r3c1, r3c2 and r3c3.",
    )
    assert [goes for _, goes, _ in found[1:]] == ["r1c3 5"]


def test_a_digit_with_one_place_on_the_line():
    held = {"r1c1": "4567", "r1c2": "467", "r2c3": "467"}
    found = told("renban", ["r1c1 r1c2 r2c3"], given=held)
    assert (
        "renban-needs",
        "r1c1 467",
        "The renban line from r1c1 to r2c3 holds 4 to 6 or 5 to 7, so 5 is on it, and only r1c1 "
        "has room for it: it is 5.",
    ) in found


def test_a_line_is_a_house():
    geometry = grid_of(9)
    parts = KIND.read(["r2c4 r1c3"], geometry)
    (house,) = parts[0].houses(geometry)
    assert (house.kind, house.label) == ("renban", "the renban line from r1c3 to r2c4")
    assert 2 in with_houses(geometry, parts).peers[12]
    assert 2 not in geometry.peers[12]


@pytest.mark.parametrize("length", [2, 3, 4, 5])
def test_how_many_ways_to_fill_one(length):
    """On free cells: 7 - length runs of digits of six, each in all its orders."""
    part = KIND.read([" ".join(f"r{k}c{k}" for k in range(1, length + 1))], grid_of(6))[0]
    ways = 0
    for number in range(6**length):
        values = [1] * 36
        for k, cell in enumerate(part.cells):
            values[cell] = number // 6**k % 6 + 1
        ways += part.holds(tuple(values), 6)
    assert ways == (7 - length) * factorial(length)


@pytest.mark.parametrize(
    ("value", "sentence", "path"),
    [
        (
            ["r1c1 r1c2", "r1c1 r1c2 r1c3 r1c4 r2c4"],
            "a renban line of 5 cells in a grid of 4 digits; shorten it to 4 cells or fewer",
            (1,),
        ),
        (["r1c1"], "'r1c1' names 1 cell; name at least 2", (0,)),
        (["r1c1 r1c2", "r1c2 r1c1"], "this is number 1 again; leave one of the two out", (1,)),
        (
            ["r1c1 c2r1"],
            "'c2r1' is not a cell; write it as r1c1 (row, column, from 1)",
            (0,),
        ),
    ],
)
def test_faults(value, sentence, path):
    assert refusal("renban", value, 4) == (sentence, path)
