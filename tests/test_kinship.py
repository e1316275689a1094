"""Kinship, held against disguises that are made here by other means: moving cells about."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from packbuilder.grid import Geometry, Values, blocks, irregular, latin, parse_grid
from packbuilder.kinship import fingerprint
from packbuilder.proof.kernel import random_solution
from tests.conftest import data_grids

JIGSAW = "AABBB AACBB ADCCE DDCEE DDCEE".replace(" ", "\n")
# The same regions after a quarter turn of the page, drawn by hand.
JIGSAW_TURNED = "DDAAA DDDAA CCCCB EECBB EEEBB".replace(" ", "\n")

Move = Callable[[int, int], tuple[int, int]]
"""Which cell (row, column) a cell of the disguised grid takes its clue from."""


def moved(clues: Values, size: int, source: Move) -> Values:
    where = (source(r, c) for r in range(size) for c in range(size))
    return tuple(clues[r * size + c] for r, c in where)


def renamed(clues: Values, size: int, rng: random.Random) -> Values:
    digits = rng.sample(range(1, size + 1), size)
    return tuple(digits[d - 1] if d else 0 for d in clues)


def shuffled_lines(size: int, height: int, rng: random.Random) -> list[int]:
    bands = [list(range(k, k + height)) for k in range(0, size, height)]
    rng.shuffle(bands)
    for band in bands:
        rng.shuffle(band)
    return [line for band in bands for line in band]


def disguised(clues: Values, size: int, shape: tuple[int, int], rng: random.Random) -> Values:
    rows, columns = (shuffled_lines(size, height, rng) for height in shape)
    return renamed(moved(clues, size, lambda r, c: (rows[r], columns[c])), size, rng)


def turned(clues: Values, size: int) -> Values:
    return moved(clues, size, lambda r, c: (size - 1 - c, r))


def some_clues(size: int, rng: random.Random, share: float = 0.3) -> Values:
    """Any clues: kinship does not ask whether a grid can be solved."""
    return tuple(rng.randint(1, size) if rng.random() < share else 0 for _ in range(size**2))


@pytest.mark.parametrize("shape", [(2, 2), (2, 3), (3, 3), (2, 5), (3, 4), (4, 4)])
def test_a_disguise_keeps_the_fingerprint(shape: tuple[int, int]) -> None:
    rng = random.Random(f"blocks {shape}")
    geometry = blocks(*shape)
    for _ in range(40):
        clues = some_clues(geometry.size, rng)
        other = disguised(clues, geometry.size, shape, rng)
        assert fingerprint(geometry, other) == fingerprint(geometry, clues)


@pytest.mark.parametrize("shape", [(3, 3), (2, 3), (3, 4)])
def test_a_page_laid_on_its_side_shows_the_same_puzzle(shape: tuple[int, int]) -> None:
    rng = random.Random(f"turned {shape}")
    geometry = blocks(*shape)
    for _ in range(20):
        clues = some_clues(geometry.size, rng)
        other = disguised(turned(clues, geometry.size), geometry.size, shape[::-1], rng)
        assert fingerprint(blocks(*shape[::-1]), other) == fingerprint(geometry, clues)


def test_a_latin_square_keeps_it_under_any_order_of_rows_and_columns() -> None:
    rng = random.Random("latin")
    for size in (5, 7, 9):
        for _ in range(20):
            clues = some_clues(size, rng)
            other = disguised(turned(clues, size), size, (size, size), rng)
            assert fingerprint(latin(size), other) == fingerprint(latin(size), clues)


def test_irregular_regions_keep_it_when_they_are_turned_with_the_grid() -> None:
    rng = random.Random("irregular")
    for _ in range(20):
        clues = some_clues(5, rng)
        other = renamed(turned(clues, 5), 5, rng)
        assert fingerprint(irregular(JIGSAW_TURNED), other) == fingerprint(irregular(JIGSAW), clues)


def test_irregular_regions_that_are_not_turned_with_the_grid_make_another_puzzle() -> None:
    clues = some_clues(5, random.Random("unturned"))
    assert fingerprint(irregular(JIGSAW), turned(clues, 5)) != fingerprint(irregular(JIGSAW), clues)


def test_blocks_drawn_as_a_picture_are_blocks() -> None:
    clues = some_clues(6, random.Random("picture"))
    drawn = irregular("AAABBB\nAAABBB\nCCCDDD\nCCCDDD\nEEEFFF\nEEEFFF")
    assert fingerprint(drawn, clues) == fingerprint(blocks(2, 3), clues)


# Pairs that differ in one thing only, made by hand.
UNLIKE = {
    "one block, or two": (blocks(3, 3), "12" + "." * 79, "1..2" + "." * 77),
    "one line, or two": (blocks(3, 3), "12" + "." * 79, "1" + "." * 9 + "2" + "." * 70),
    "one band, or two": (blocks(2, 2), "1....1.. ........", "1....... .1......"),
    "two digits, or one": (latin(4), "1....2.. ........", "1....1.. ........"),
    "two clues, or three": (blocks(3, 3), "12" + "." * 79, "123" + "." * 78),
}


@pytest.mark.parametrize("what", UNLIKE)
def test_small_differences_show(what: str) -> None:
    geometry, one, other = UNLIKE[what]
    found = {fingerprint(geometry, parse_grid(text, geometry.size)) for text in (one, other)}
    assert len(found) == 2


def test_the_same_clues_in_another_geometry_are_another_puzzle() -> None:
    clues = some_clues(6, random.Random("geometry"))
    assert len({fingerprint(g, clues) for g in (blocks(2, 3), blocks(3, 2), latin(6))}) == 3
    clues = some_clues(5, random.Random("geometry"))
    assert fingerprint(irregular(JIGSAW), clues) != fingerprint(latin(5), clues)


def test_one_changed_clue_makes_another_puzzle() -> None:
    rng = random.Random("one clue")
    for _ in range(30):
        clues = list(some_clues(9, rng))
        before = fingerprint(blocks(3, 3), tuple(clues))
        cell = rng.choice([i for i, d in enumerate(clues) if d])
        clues[cell] = 0
        assert fingerprint(blocks(3, 3), tuple(clues)) != before


def test_clues_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="80 cells given; the grid has 81"):
        fingerprint(blocks(3, 3), (0,) * 80)


def test_published_inequivalent_grids_all_differ() -> None:
    """Gordon Royle's list holds no two grids that are the same in disguise."""
    grids = data_grids("clue17.txt")
    assert len({fingerprint(blocks(3, 3), grid) for grid in grids}) == len(grids) > 1000


# How many grids there are when disguises count once. Blocks: 2 and 49, counted by Ed Russell and
# Frazer Jarvis, "Mathematics of Sudoku" (2006); Latin squares of order 5 and 6, transposes counted
# together ("types"): McKay, Meynert and Myrvold, "Small Latin squares, quasigroups and loops"
# (2007), 2 and 17. All from memory. The rarest 6x6 kind turns up once in some 4,000 random grids.
KINDS = [(blocks(2, 2), 300, 2), (blocks(2, 3), 8000, 49), (latin(5), 300, 2), (latin(6), 1500, 17)]


@pytest.mark.parametrize(("geometry", "draws", "kinds"), KINDS)
def test_full_grids_fall_into_the_published_number_of_kinds(
    geometry: Geometry, draws: int, kinds: int
) -> None:
    grids = (random_solution(geometry, seed) for seed in range(draws))
    assert len({fingerprint(geometry, grid) for grid in grids}) == kinds
