"""Disguises told: in words, and as maps that make the one puzzle of the other."""

from __future__ import annotations

import random
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.grid import Geometry, Values, blocks, irregular, latin, parse_cell
from packbuilder.kinship import Posed, disguise, fingerprint
from packbuilder.kinship.disguise import Disguise, carries
from tests.test_kinship import JIGSAW, JIGSAW_TURNED, disguised, moved, some_clues, turned

SHAPES = st.sampled_from([(2, 2), (2, 3), (3, 2), (3, 3), (2, 5), (4, 4), (1, 1)])


def by_hand(found: Disguise, clues: Values) -> Values:
    """A map as it is told to other programs, followed cell by cell."""
    size, told = found.size, found.as_json
    rows, columns, digits = told["rows"], told["columns"], told["digits"]
    assert isinstance(rows, list) and isinstance(columns, list) and isinstance(digits, dict)
    there = [0] * len(clues)
    for cell, digit in enumerate(clues):
        lines = {rows[cell // size], columns[cell % size]}
        (row,) = (line for line in lines if line[0] == "r")
        (column,) = (line for line in lines if line[0] == "c")
        value = ".123456789ABCDEFG".index(digits[".123456789ABCDEFG"[digit]]) if digit else 0
        there[parse_cell(row + column, size)] = value
    return tuple(there)


@given(shape=SHAPES, seed=st.integers(0, 10**6), share=st.sampled_from([0.05, 0.3, 1.0]))
def test_what_is_told_makes_the_other_puzzle(
    shape: tuple[int, int], seed: int, share: float
) -> None:
    rng = random.Random(seed)
    geometry = blocks(*shape) if shape != (1, 1) else latin(6)
    size = geometry.size
    bands = shape if shape != (1, 1) else (size, size)
    clues = some_clues(size, rng, share)
    other, there = disguised(clues, size, bands, rng), geometry
    if rng.random() < 0.5:
        other = turned(other, size)
        there = blocks(*shape[::-1]) if shape != (1, 1) else geometry
    assert fingerprint(there, other) == fingerprint(geometry, clues)
    found = disguise(Posed(geometry, clues), Posed(there, other))
    assert found is not None
    assert by_hand(found, clues) == other
    changed = tuple(0 if k == seed % len(clues) else d for k, d in enumerate(other))
    if changed != other:
        assert disguise(Posed(geometry, clues), Posed(there, changed)) is None
        assert not carries(found, Posed(geometry, clues), Posed(there, changed))


def test_irregular_regions_are_turned_too() -> None:
    clues = some_clues(5, random.Random(1))
    one, other = (
        Posed(irregular(JIGSAW), clues),
        Posed(irregular(JIGSAW_TURNED), turned(clues, 5)),
    )
    found = disguise(one, other)
    assert found is not None and found.words == "turned a quarter to the right"
    assert not carries(found, one, Posed(irregular(JIGSAW), other.clues))


CLUES = tuple(1 + (7 * k) % 9 if k % 4 == 0 or k in (1, 2, 5, 39) else 0 for k in range(81))
TOLD = {
    "clue for clue": lambda r, c: (r, c),
    "given a half turn": lambda r, c: (8 - r, 8 - c),
    "mirrored, left for right": lambda r, c: (r, 8 - c),
    "mirrored, top for bottom": lambda r, c: (8 - r, c),
    "turned a quarter to the right": lambda r, c: (8 - c, r),
    "turned a quarter to the left": lambda r, c: (c, 8 - r),
    "mirrored over the diagonal from the top left": lambda r, c: (c, r),
    "mirrored over the diagonal from the top right": lambda r, c: (8 - c, 8 - r),
    "rows 2 3 become rows 3 2": lambda r, c: ([0, 2, 1, *range(3, 9)][r], c),
    "columns 1 2 3 4 5 6 become columns 4 5 6 1 2 3": lambda r, c: (
        r, [3, 4, 5, 0, 1, 2, 6, 7, 8][c],
    ),
    # What was in row 3 stands in column 2 and the other way round, else over the diagonal.
    "laid on its side; rows 1 2 3 4 5 6 7 8 9 become columns 1 3 2 4 5 6 7 8 9; "
    "columns 1 2 3 4 5 6 7 8 9 become rows 1 2 3 4 5 6 7 8 9": lambda r, c: (
        [0, 2, 1, *range(3, 9)][c], r,
    ),
}  # fmt: skip


@pytest.mark.parametrize("words", TOLD)
def test_in_words(words: str) -> None:
    """By hand: what a reader would call it; each lambda says where a cell takes its clue from."""
    there = moved(CLUES, 9, TOLD[words])
    geometry: Geometry = blocks(3, 3)
    found = disguise(Posed(geometry, CLUES), Posed(geometry, there))
    assert found is not None and found.words == words
    swapped = tuple({1: 2, 2: 1}.get(d, d) for d in there)
    renamed = disguise(Posed(geometry, CLUES), Posed(geometry, swapped))
    assert renamed is not None
    if words != "clue for clue":
        assert renamed.words == f"{words}; digits 1 2 become 2 1"


def test_nothing_but_disguises_is_a_disguise() -> None:
    """Of a 4x4 grid: all its disguises, made one by one, and all grids with one clue moved."""
    geometry, clues = blocks(2, 2), (1, 0, 0, 2, 0, 3, 0, 0, 0, 0, 2, 0, 0, 0, 0, 0)
    orders = [p for p in permutations(range(4)) if {p[0] // 2, p[1] // 2} in ({0}, {1})]
    disguises = {
        tuple(names[laid[rows[r] * 4 + columns[c]]] for r in range(4) for c in range(4))
        for rows in orders
        for columns in orders
        for laid in (clues, turned(clues, 4))
        for names in ((0, *p) for p in permutations((1, 2, 3, 4)))
    }
    yes = no = 0
    for here, there in permutations(range(16), 2):
        other = list(clues)
        other[here], other[there] = other[there], other[here]
        found = disguise(Posed(geometry, clues), Posed(geometry, tuple(other)))
        assert (found is not None) == (tuple(other) in disguises)
        yes, no = yes + (found is not None), no + (found is None)
    assert yes > 20 and no > 20
