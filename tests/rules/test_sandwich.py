"""Sandwich sums: both engines, OR-Tools and plain trying; deductions by hand; print; faults."""

from __future__ import annotations

import random
from itertools import permutations, product
from typing import Any

import pytest

from packbuilder.grid import blocks, latin
from packbuilder.rules import kinds
from packbuilder.rules.sandwich import Sandwich, between, lengths_of
from packbuilder.rules.shapes import Outside
from packbuilder.rules.tools.masks import digits_of, mask_of
from tests.rules.checks import all_grids, check_tiny, read, refused, told
from tests.rules.random_values import filling


def test_rows_by_trying() -> None:
    # Of the 24 orders of 1 to 4, 1 and 4 stand side by side in half; one digit lies between them
    # in eight, 2 or 3 in turn; both in the other four.
    lines = list(permutations(range(1, 5)))
    counts = {
        total: sum(Sandwich((0, 1, 2, 3), "left", 0, total).holds(line, 4) for line in lines)
        for total in range(6)
    }
    assert counts == {0: 12, 1: 0, 2: 4, 3: 4, 4: 0, 5: 4}


@pytest.mark.parametrize(("total", "share"), [(0, 12), (2, 4), (3, 4), (5, 4)])
def test_grids_by_rows(total: int, share: int) -> None:
    # Any first row begins equally many Latin squares of order 4: 576 / 24 (published, from memory).
    assert check_tiny("sandwich", {"left": f"{total} . . ."}, latin(4)) == 24 * share
    assert check_tiny("sandwich", {"top": f". . {total} ."}, blocks(2, 2)) == 12 * share


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        check_tiny("sandwich", {"left": "0 5 . 2", "top": ". . 3 ."}, geometry)


@pytest.mark.parametrize("seed", range(30))
def test_candidates_of_a_row_by_trying(seed: int) -> None:
    rng, size = random.Random(seed), 5
    masks = tuple(rng.randrange(1, 1 << size) for _ in range(size))
    total = rng.choice((0, 2, 3, 4, 5, 6, 7, 9))
    rows = [
        row
        for row in product(*map(digits_of, masks))
        if len(set(row)) == size and filling(row) == total
    ]
    found = between(size, total, masks)
    if rows:
        assert found is not None
        for kept, mask, column in zip(found, masks, zip(*rows, strict=True), strict=True):
            assert mask_of(set(column)) & ~kept == 0
            assert kept & ~mask == 0
    else:
        assert found is None or any(mask.bit_count() > 1 for mask in found)


def test_lengths() -> None:
    # Common practice of sandwich solvers, checked by adding up 2, 3, ... and 8, 7, ...
    assert lengths_of(9, 0) == (0,)
    assert lengths_of(9, 1) == ()
    assert lengths_of(9, 8) == (1, 2)
    assert lengths_of(9, 15) == (2, 3, 4)
    assert lengths_of(9, 33) == (6,)
    assert lengths_of(9, 34) == ()
    assert lengths_of(9, 35) == (7,)


# What follows is worked out by hand.


def test_all_digits_between() -> None:
    assert told("sandwich", {"left": "35 . . . . . . . ."})[0] == (
        "sandwich-length",
        "In row 1, the digits between 1 and 9 make 35, which takes seven cells. That rules out 1 "
        "or 9 in r1c2, r1c3, r1c4, r1c5, r1c6, r1c7 or r1c8.",
    )


def test_side_by_side() -> None:
    masks = {f"r1c{c}": "2345678" for c in range(1, 10)}
    masks |= {"r1c2": "19", "r1c3": "129", "r1c7": "1234"}
    assert told("sandwich", {"left": "0 . . . . . . . ."}, masks)[0] == (
        "sandwich-length",
        "In row 1, 1 and 9 stand side by side. That rules out 1 in r1c7.",
    )


def test_filling() -> None:
    # 4 in two cells is 1+3, but 1 is an end: so 7 between 1 and 9 in two cells is 2+5 or 3+4.
    masks = {"r1c1": "1", "r1c4": "9"} | {f"r1c{c}": "2345678" for c in (2, 3, 5, 6, 7, 8, 9)}
    assert told("sandwich", {"left": "7 . . . . . . . ."}, masks)[0] == (
        "sandwich-filling",
        "In row 1, the digits between 1 and 9 make 7, so r1c2 and r1c3 can only be 2+5 or 3+4. "
        "That takes 6, 7 and 8 out of r1c2 and r1c3.",
    )
    assert told("sandwich", {"left": "5 . . . . . . . ."}, masks)[0] == (
        "sandwich-filling",
        "In row 1, the digits between 1 and 9 make 5, so r1c2 and r1c3 can only be 2 and 3. "
        "That takes 4, 5, 6, 7 and 8 out of r1c2 and r1c3; and 2 and 3 out of r1c5, r1c6, r1c7, "
        "r1c8 and r1c9.",
    )


def test_cases() -> None:
    # 5 in a row of 1 to 6 takes 5 alone or 2+3. 1 is in r1c1, 6 in r1c3 or r1c4.
    masks = {"r1c1": "1", "r1c2": "245", "r1c3": "246", "r1c4": "2346", "r1c5": "2345",
             "r1c6": "2345"}  # fmt: skip
    # If 6 is in r1c4, r1c2 and r1c3 are 2 and 3; but neither can be 3. So 6 is in r1c3 after 5.
    assert dict(told("sandwich", {"left": "5 . . . . ."}, masks, 6))["sandwich-cases"] == (
        "In row 1, the digits between 1 and 6 make 5. No way to do so has 2 or 4 in r1c2 "
        "or r1c3, or 6 in r1c4, or 5 in r1c5 or r1c6."
    )


# Reading, print, words.


def test_read_named_and_drawn() -> None:
    kind = kinds()["sandwich"]
    parts = kind.read({"left": "5 . . 0", "top": ". 2 . ."}, latin(4))
    assert [part.name(4) for part in parts] == [
        "sandwich 5 left of row 1",
        "sandwich 0 left of row 4",
        "sandwich 2 above column 2",
    ]
    shapes = [shape for part in parts for shape in part.shapes()]
    assert shapes == [Outside("left", 0, "5"), Outside("left", 3, "0"), Outside("top", 1, "2")]
    others = (Outside("right", 0, "5", ringed=True), Outside("top", 0, "5", "down-right"))
    assert kind.recover((*others, *shapes), latin(4)) == parts


def test_a_sum_says_the_same_from_either_end() -> None:
    geometry, value = blocks(2, 2), {"left": "2 . . .", "top": ". . 0 ."}
    turned = {"right": "2 . . .", "bottom": ". . 0 ."}
    kept = [
        {grid for grid in all_grids(geometry) if all(part.holds(grid, 4) for part in parts)}
        for parts in (read("sandwich", value, geometry)[0], read("sandwich", turned, geometry)[0])
    ]
    assert kept[0] == kept[1] != set()
    assert check_tiny("sandwich", turned, geometry) == len(kept[0])


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (
            {"left": "15 . . . . ."},
            "left: the clue left of row 1 is 15; write a number from 0 to 14",
        ),
        (
            {"top": ". 13 . . . ."},
            "top: the clue above column 2 is 13; no digits between 1 and 6 add up to that: all of "
            "them make 14, and the least of them is 2",
        ),
        (
            {"top": ". 5"},
            "top: top has 2 clues; it needs 6, one for each column, with blanks between them ('.' "
            "for a column without a clue)",
        ),
        (
            {"left": "5 . . . . .", "right": "5 . . . . ."},
            "right: row 1 has a number at both ends, which say the same; leave one out",
        ),
        (
            {"above": ". 5 . . . ."},
            "above: unknown key 'above'; write one of: left, top, right, bottom",
        ),
        ({}, 'nothing is given; write it like {left: "10 . 0 5", top: ". 7 . ."}'),
    ],
)
def test_faults(value: Any, sentence: str) -> None:
    assert refused("sandwich", value) == sentence
