"""Thermometers: deductions and faults by hand. What all lines are held to: `test_lines_alike`."""

from __future__ import annotations

from math import comb

import pytest

from packbuilder.rules.contract import Sight
from tests.rules.random_lines import KINDS, grid_of, refusal, told

KIND = KINDS["thermometers"]


def test_a_long_thermometer_has_little_room():
    # Seven of nine digits: the bulb can be 1 to 3, and so on up to 7 to 9.
    technique, goes, words = told("thermometers", ["r1c1 r1c2 r1c3 r2c4 r2c5 r2c6 r2c7"])[0]
    assert technique == "thermometer-length"
    assert goes == (
        "r1c1 456789, r1c2 156789, r1c3 126789, r2c4 123789, r2c5 123489, r2c6 123459, r2c7 123456"
    )
    assert words == (
        "Seven cells rise along the thermometer from r1c1. That leaves only so much room for each: "
        "r1c1 from 1 to 3, r1c2 from 2 to 4, r1c3 from 3 to 5, r2c4 from 4 to 6, r2c5 from 5 to 7, "
        "r2c6 from 6 to 8 and r2c7 from 7 to 9."
    )


def test_as_many_cells_as_digits():
    technique, _, words = told("thermometers", ["r1c1 r1c2 r1c3 r1c4"], 4)[0]
    assert technique == "thermometer-length"
    assert words == (
        "Four cells rise along the thermometer from r1c1, and there are just as many digits: r1c1 "
        "is 1, r1c2 is 2, r1c3 is 3 and r1c4 is 4."
    )


def test_a_bound_travels():
    held = {"r1c1": "12345", "r1c2": "567", "r1c3": "34567", "r2c4": "56789"}
    assert told("thermometers", ["r1c1 r1c2 r1c3 r2c4"], given=held) == [
        (
            "thermometer-rise",
            "r1c3 345, r2c4 56",
            "On the thermometer r1c2 is at least 5, and the cells after it follow: r1c3 at least 6 "
            "and r2c4 at least 7.",
        ),
        (
            "thermometer-rise",
            "r1c2 7",
            "On the thermometer r1c3 is at most 7, and the cell before it follows: r1c2 at most 6.",
        ),
    ]


def test_a_known_digit_and_the_ends():
    held = {"r1c1": "1", "r1c2": "23", "r2c3": "3"}
    assert told("thermometers", ["r1c1 r1c2 r2c3"], 4, held) == [
        (
            "thermometer-rise",
            "r1c2 3",
            "On the thermometer r2c3 is 3, and the cell before it follows: r1c2 at most 2.",
        )
    ]
    held = {"r1c1": "3", "r1c2": "234"}
    assert told("thermometers", ["r1c1 r1c2"], 4, held) == [
        (
            "thermometer-rise",
            "r1c2 23",
            "On the thermometer r1c1 is 3, and the cell after it follows: r1c2 4.",
        )
    ]


@pytest.mark.parametrize("size", [4, 6, 9])
@pytest.mark.parametrize("length", [2, 3, 4])
def test_how_many_ways_to_fill_one(size, length):
    """As many as there are sets of so many digits: each set rises in one way (binomials)."""
    geometry = grid_of(size)
    part = KIND.read([" ".join(f"r{k}c{k}" for k in range(1, length + 1))], geometry)[0]
    ways = 0
    for number in range(size**length):
        digits = [number // size**k % size + 1 for k in range(length)]
        values = [1] * size**2
        for cell, digit in zip(part.cells, digits, strict=True):
            values[cell] = digit
        ways += part.holds(tuple(values), size)
    assert ways == comb(size, length)


def test_deductions_of_bounds_are_all_there_is_to_find():
    """Deduced to the end, the candidates are those of `prune`, complete for one thermometer."""
    geometry = grid_of(9)
    part = KIND.read(["r1c1 r2c2 r3c3 r4c4 r5c5"], geometry)[0]
    masks = [511] * 81
    masks[10], masks[30] = 0b101101000, 0b001010110
    pruned = list(masks)
    assert part.prune(pruned, 9)
    while found := next(part.deduce(Sight(geometry, masks)), None):
        for cell, digit in found.removes:
            masks[cell] &= ~(1 << (digit - 1))
    assert masks == pruned


@pytest.mark.parametrize(
    ("value", "size", "sentence", "path"),
    [
        (
            ["r1c1 r1c2", "r1c1 r1c2 r1c3 r1c4 r1c5 r1c6 r2c6"],
            6,
            "a thermometer of 7 cells in a grid of 6 digits; shorten it to 6 cells or fewer",
            (1,),
        ),
        (["r1c1 r1c2", "r1c1 r1c2"], 6, "this is number 1 again; leave one of the two out", (1,)),
        (
            ["r1c1 r1c3"],
            6,
            "r1c1 and r1c3 do not touch; name the cells of a line in order, each beside or "
            "diagonally beside the last",
            (0,),
        ),
        (["r1c1 r1c2 r1c1"], 6, "r1c1 is named twice; name each cell once", (0,)),
        (
            ["r1c6 r1c7"],
            6,
            "r1c7 lies outside a 6x6 grid; rows and columns go from 1 to 6",
            (0,),
        ),
        (["r1c1"], 6, "'r1c1' names 1 cell; name at least 2", (0,)),
        ([], 6, 'the list is empty; write it like ["r1c1 r1c2 r2c3"]', ()),
        (
            "r1c1 r1c2",
            6,
            "'r1c1 r1c2' stands where a list belongs; write it like [\"r1c1 r1c2 r2c3\"]",
            (),
        ),
        (None, 6, 'nothing stands where a list belongs; write it like ["r1c1 r1c2 r2c3"]', ()),
        ([""], 6, 'the text is empty; write it like "r1c1 r1c2 r2c3"', (0,)),
        (
            [["r1c1", "r1c2"]],
            6,
            'a list stands where a text belongs; write it like "r1c1 r1c2 r2c3"',
            (0,),
        ),
    ],
)
def test_faults(value, size, sentence, path):
    assert refusal("thermometers", value, size) == (sentence, path)


def test_branches_are_fine_and_blind_ends_are_told():
    geometry = grid_of(6)
    branches = KIND.read(["r1c1 r1c2 r1c3", "r1c1 r2c1", "r3c3 r2c2 r1c2"], geometry)
    assert KIND.warnings(branches, 6) == []
    blind = KIND.read(["r1c1 r1c2 r1c3", "r1c3 r2c3", "r1c5 r1c4 r1c3", "r1c1 r1c2"], geometry)
    assert [what for what, _ in KIND.warnings(blind, 6)] == [
        "the tip of a thermometer lies on a bulb at r1c3; print cannot show the rise",
        "two thermometers end at r1c3; print cannot show where either ends",
        "the tip of a thermometer lies on a bulb at r1c3; print cannot show the rise",
        "a thermometer from r1c1 to r1c2 is only the stem of a longer one",
    ]
