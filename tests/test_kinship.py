"""Kinship, held against disguises that are made here by other means: moving cells about."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from packbuilder import kinship
from packbuilder.grid import Geometry, Values, blocks, irregular, latin, parse_grid
from packbuilder.kinship import Posed, disguise, fingerprint, fingerprints, forms, searching
from packbuilder.proof.kernel import explore, random_solution
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


def published() -> list[Values]:
    """A tenth of Gordon Royle's list of grids with 17 clues."""
    return data_grids("clue17.txt")


def test_published_inequivalent_grids_all_differ() -> None:
    """Royle's list holds no two grids that are the same in disguise."""
    grids = published()
    found = list(fingerprints(blocks(3, 3), grids))
    assert len(set(found)) == len(grids) > 4000
    assert found[::100] == [fingerprint(blocks(3, 3), grid) for grid in grids[::100]]


# How many grids there are when disguises count once: Russell and Jarvis, "Mathematics of Sudoku II"
# (2006), count 2 and 49 for 4x4 and 6x6 (from memory).
BLOCKS = [(blocks(2, 2), 2), (blocks(2, 3), 49)]


@pytest.mark.parametrize(("geometry", "kinds"), BLOCKS)
def test_full_grids_fall_into_the_published_number_of_kinds(geometry: Geometry, kinds: int) -> None:
    """All of them, but for the names of digits: the first row is 1, 2, 3, ..."""
    size = geometry.size
    clues = [*range(1, size + 1), *[0] * (size * size - size)]
    found, whole = explore(geometry, clues, limit=100_000)
    assert whole
    grids = [tuple(map(int, grid)) for grid in found]
    assert len(grids) == {4: 288 // 24, 6: 28_200_960 // 720}[size]
    assert len(set(fingerprints(geometry, grids))) == kinds


# Latin squares of order 5 and 6, transposes counted together ("types"): McKay, Meynert and Myrvold,
# "Small Latin squares, quasigroups and loops" (2007), from memory. The types here let rows, columns
# and digits be reordered, and rows and columns change places.
LATIN = [(latin(5), 300, 2), (latin(6), 1500, 17)]


@pytest.mark.parametrize(("geometry", "draws", "kinds"), LATIN)
def test_latin_squares_fall_into_the_published_number_of_kinds(
    geometry: Geometry, draws: int, kinds: int
) -> None:
    grids = [random_solution(geometry, seed) for seed in range(draws)]
    assert len(set(fingerprints(geometry, grids))) == kinds


# --- the search itself ---------------------------------------------------------------------------

# Squares as even as can be: every line is like every other, and there are as many as 20,160 times
# 512 ways to lay one over itself (addition of four bits: its symmetries, from memory).
EVEN: dict[str, tuple[Geometry, Callable[[int, int], int]]] = {
    "sums of 9": (latin(9), lambda r, c: (r + c) % 9),
    "two digits to the base of 3": (
        latin(9),
        lambda r, c: (r % 3 + c) % 3 + (r // 3 + c // 3) % 3 * 3,
    ),
    "sums of three bits": (latin(8), lambda r, c: r ^ c),
    "sums of four bits": (latin(16), lambda r, c: r ^ c),
    "blocks, each row moved along": (blocks(3, 3), lambda r, c: (r * 3 + r // 3 + c) % 9),
}


@pytest.mark.parametrize("name", EVEN)
def test_even_squares_keep_it_too(name: str) -> None:
    geometry, digit = EVEN[name]
    size = geometry.size
    clues = tuple(digit(*divmod(cell, size)) + 1 for cell in range(size * size))
    rng = random.Random(name)
    one = fingerprint(geometry, clues)
    for _ in range(3):
        other = disguised(turned(clues, size), size, geometry.shape or (size, size), rng)
        assert fingerprint(geometry, other) == one
        assert fingerprint(geometry, (0, *other[1:])) != one


def test_compiled_and_plain_find_the_same_forms(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = random.Random("compiled")
    kinds = [blocks(3, 3), blocks(2, 3), blocks(2, 5), latin(7), irregular(JIGSAW)]
    puzzles = [(g, some_clues(g.size, rng)) for g in kinds for _ in range(30)]
    puzzles += [(g, random_solution(g, seed)) for g in kinds for seed in range(10)]
    monkeypatch.setattr(forms, "_compiled", None)
    plain = [forms.form_of(*puzzle) for puzzle in puzzles]
    kinship.ready()
    assert [forms.form_of(*puzzle) for puzzle in puzzles] == plain


def test_a_text_is_for_ever() -> None:
    """Kept so that an index of last year's puzzles is still good; the texts are our own."""
    some = tuple((k * k + k) % 10 for k in range(81))
    assert fingerprint(blocks(3, 3), some) == "9af8484f62b07cdff4a010303d01179e"
    assert fingerprint(latin(4), (1, 2, *[0] * 14)) == "c555c14b64f319f39fa8950dcc867b15"
    assert (
        fingerprint(irregular(JIGSAW), (1, 2, 3, *[0] * 22)) == "d22aeca3bece428bb808c1afc42bca57"
    )


def test_where_the_search_gives_up_turns_and_names_are_still_seen_through(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(searching, "NODE_LIMIT", 0)
    kinship.ready()
    rng = random.Random("limit")
    clues = tuple(d if c % 10 == 0 else 0 for c, d in enumerate(random_solution(blocks(3, 3), 1)))
    one = fingerprint(blocks(3, 3), clues)
    assert fingerprint(blocks(3, 3), renamed(turned(clues, 9), 9, rng)) == one
    assert fingerprint(blocks(3, 3), (0, *clues[1:])) != one
    swapped = moved(clues, 9, lambda r, c: ([1, 0, *range(2, 9)][r], c))
    assert fingerprint(blocks(3, 3), swapped) != one, "compared as drawn"
    found = disguise(Posed(blocks(3, 3), clues), Posed(blocks(3, 3), turned(clues, 9)))
    assert found is not None
    assert found.words == "mirrored, left for right", "on the diagonal, as good as a quarter turn"
