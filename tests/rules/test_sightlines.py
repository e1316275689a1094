"""Sightlines: Stirling numbers, both engines, OR-Tools and plain trying; deductions by hand."""

from __future__ import annotations

import random
from itertools import permutations, product
from typing import Any

import pytest
from sympy.functions.combinatorial.numbers import stirling

from packbuilder.grid import blocks, latin
from packbuilder.proof.certify import certify
from packbuilder.rules import kinds
from packbuilder.rules.shapes import Outside
from packbuilder.rules.sightlines import Sightline
from packbuilder.rules.tools.masks import digits_of, mask_of
from packbuilder.rules.tools.sightline_fillings import orders, visible
from tests.rules.checks import check_tiny, read, refused, told
from tests.rules.random_values import seen

# Counts.

PUBLISHED = {
    4: (6, 11, 6, 1),
    5: (24, 50, 35, 10, 1),
    6: (120, 274, 225, 85, 15, 1),
    7: (720, 1764, 1624, 735, 175, 21, 1),
}
"""Unsigned Stirling numbers of the first kind, as every table of them has them; from memory. They
count the orders of n different heights of which k are seen."""


@pytest.mark.parametrize("size", PUBLISHED)
def test_lines_that_show_so_many(size: int) -> None:
    counts = [0] * size
    for line in permutations(range(1, size + 1)):
        shown = [Sightline(tuple(range(size)), "left", 0, k + 1).holds(line, size)
                 for k in range(size)]  # fmt: skip
        assert sum(shown) == 1
        counts[shown.index(True)] += 1
    assert tuple(counts) == PUBLISHED[size]
    assert counts == [stirling(size, k, kind=1) for k in range(1, size + 1)]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_grids_that_show_so_many(count: int) -> None:
    # Any first row begins equally many Latin squares of order 4: 576 / 24 (published, from memory).
    for side, row in (("left", "{} . . ."), ("bottom", ". . {} .")):
        found = check_tiny("sightlines", {side: row.format(count)}, latin(4))
        assert found == 24 * PUBLISHED[4][count - 1]


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        check_tiny("sightlines", {"top": "2 . 3 1", "right": ". 2 . 2"}, geometry)
        check_tiny("sightlines", {"left": "1 2 3 2", "right": "4 . . ."}, geometry)


@pytest.mark.parametrize("seed", range(30))
def test_candidates_of_a_line_by_trying(seed: int) -> None:
    rng, size = random.Random(seed), 5
    masks = tuple(rng.randrange(1, 1 << size) for _ in range(size))
    count = rng.randint(1, size)
    rows = [
        row
        for row in product(*map(digits_of, masks))
        if len(set(row)) == size and seen(row) == count
    ]
    found = visible(size, count, masks)
    if rows:
        assert found is not None
        for kept, mask, column in zip(found, masks, zip(*rows, strict=True), strict=True):
            assert mask_of(set(column)) & ~kept == 0
            assert kept & ~mask == 0
    if all(mask.bit_count() == 1 for mask in masks):
        assert (found is not None) == bool(rows)
    exact = tuple(mask_of(set(column)) for column in zip(*rows, strict=True)) if rows else None
    assert orders(size, count, masks) == exact


def test_two_sightlines_that_clash() -> None:
    parts, housed = read("sightlines", {"left": "1 . . .", "top": ". 1 . ."}, latin(4))
    # The highest cannot stand in r1c1 and in r1c2.
    proof = certify(housed, (0,) * 16, parts)
    assert [part.name(4) for part in proof.clash_parts] == [
        "sightline 1 above column 2",
        "sightline 1 left of row 1",
    ]


# What follows is worked out by hand.


def test_extremes() -> None:
    assert told("sightlines", {"left": "1 . . . .", "bottom": ". . . 5 ."}, size=5) == [
        (
            "sightline-extreme",
            "From the bottom, five digits of column 4 are seen: all there are, so they rise from 1 "
            "in r5c4 to 5 in r1c4.",
        ),
        (
            "sightline-extreme",
            "From the left, only one digit of row 1 is seen, so it hides all others: r1c1 is 5.",
        ),
    ]


def test_room() -> None:
    assert told("sightlines", {"right": ". . 3 . ."}, size=5)[0] == (
        "sightline-room",
        "From the right, three digits of row 3 are seen, and the last of them is 5. High digits "
        "would come too early: r3c5 is at most 3 and r3c4 is at most 4.",
    )


def test_counting_with_digits_in_place() -> None:
    # 3 comes first and 5 third: so two are seen at least, and 4 in r1c2 would be the third.
    masks = {"r1c1": "3", "r1c2": "124", "r1c3": "5", "r1c4": "124", "r1c5": "124"}
    assert told("sightlines", {"left": "2 . . . ."}, masks, 5)[:2] == [
        (
            "sightline-count",
            "From the left, two digits of row 1 are seen with 3 in r1c1 and 5 in r1c3 in place. "
            "No way to do so has 4 in r1c2.",
        ),
        (
            "sightline-candidates",
            "From the left, two digits of row 1 are seen. No way to do so has 4 in r1c2.",
        ),
    ]


def test_counting_candidates() -> None:
    # 5 is not before r1c4, so r1c2 and r1c3 must be hidden behind r1c1: that is 3 or 4, and 4 comes
    # only there or behind 5.
    masks = {"r1c1": "1234", "r1c2": "1234", "r1c3": "1234", "r1c4": "12345", "r1c5": "12345"}
    assert dict(told("sightlines", {"left": "2 . . . ."}, masks, 5))["sightline-candidates"] == (
        "From the left, two digits of row 1 are seen. No way to do so has 1 or 2 in r1c1, "
        "or 4 in r1c2, r1c3 or r1c4."
    )


def test_orders() -> None:
    masks = {"r1c1": "23", "r1c2": "12", "r1c3": "125", "r1c4": "45", "r1c5": "134"}
    # Two are seen in 21543, 31254, 32154 and 32541 and in no other order: all candidates are used.
    assert told("sightlines", {"left": "2 . . . ."}, masks, 5) == []
    # Without 3 last, 2 is not first; but cell by cell, 2 2 5 4 4 would do.
    found = dict(told("sightlines", {"left": "2 . . . ."}, {**masks, "r1c5": "14"}, 5))
    assert found == {
        "sightline-orders": "From the left, two digits of row 1 are seen, none of them twice. "
        "No way to do so has 2 in r1c1."
    }


# Reading, print, words.


def test_read_named_and_drawn() -> None:
    kind, value = kinds()["sightlines"], {"top": ". 2 . .", "right": "3 . . 1"}
    parts = kind.read(value, latin(4))
    assert [part.name(4) for part in parts] == [
        "sightline 2 above column 2",
        "sightline 3 right of row 1",
        "sightline 1 right of row 4",
    ]
    assert [part.cells for part in parts] == [(1, 5, 9, 13), (3, 2, 1, 0), (15, 14, 13, 12)]
    shapes = [shape for part in parts for shape in part.shapes()]
    assert shapes == [
        Outside("top", 1, "2", ringed=True),
        Outside("right", 0, "3", ringed=True),
        Outside("right", 3, "1", ringed=True),
    ]
    bare = Outside("top", 0, "3")
    others = (bare, Outside("top", 0, "9", "down-right"), Outside("left", 1, "x", ringed=True))
    assert kind.recover((*others, *shapes), latin(4)) == parts


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (
            {"top": "9 . . . . ."},
            "top: the clue above column 1 is 9; write a number from 1 to 6",
        ),
        ({"left": ". 0 . . . ."}, "left: the clue left of row 2 is 0; write a number from 1 to 6"),
        (
            {"left": ". x . . . ."},
            "left: the clue left of row 2 is 'x', which is no whole number; write a number from 1 "
            "to 6",
        ),
        (
            {"right": "1 2 3"},
            "right: right has 3 clues; it needs 6, one for each row, with blanks between them "
            "('.' for a row without a clue)",
        ),
        (
            {"top": "123456"},
            "top: top has 1 clue; it needs 6, one for each column, with blanks between them ('.' "
            "for a column without a clue)",
        ),
        (
            {"top": ". . . . . ."},
            'there is no clue, only dots; write them like {top: "1 2 . 3", left: ". . 2 ."}',
        ),
        ({"above": "1"}, "above: unknown key 'above'; write one of: top, bottom, left, right"),
        ({"top": ["1"]}, 'top: a list stands where a text belongs; write it like top: "1 . 3"'),
    ],
)
def test_faults(value: Any, sentence: str) -> None:
    assert refused("sightlines", value) == sentence
