"""Grids as items: lines, digits and candidates where they belong."""

from __future__ import annotations

import itertools

import pytest

from packbuilder import grid as grids
from packbuilder.book.pictures import whole_grid
from packbuilder.editions import EDITIONS
from packbuilder.grid import Geometry
from packbuilder.layouts.loading import load
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import CLUE, FOUND, STRONG_CLUE, STRONG_FOUND, lines
from packbuilder.pages.grids import grid as grid_items
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.items import Glyphs, Strokes
from tests.pages.sample_book import ODD_6, ODD_9

SHEET = PageDesign(load("one-up"), "a4")
KINDS = {
    "4": grids.blocks(2, 2), "6": grids.blocks(2, 3), "6 upright": grids.blocks(3, 2),
    "9": grids.blocks(3, 3), "12": grids.blocks(3, 4), "16": grids.blocks(4, 4),
    "latin 7": grids.latin(7), "odd 6": grids.irregular(ODD_6.replace(" ", "\n")),
    "odd 9": grids.irregular(ODD_9.replace(" ", "\n")),
}  # fmt: skip


def unit_edges(segments: tuple[tuple[float, float, float, float], ...], cell: float,
               n: int) -> set[tuple[int, int, int, int]]:  # fmt: skip
    """Segments cut into edges of single cells, in cells from the upper left corner."""
    edges = set()
    for x0, y0, x1, y1 in segments:
        a, b, c, d = (round(v / cell) for v in (x0, n * cell - y0, x1, n * cell - y1))
        edges |= {(k, b, k + 1, b) for k in range(a, c)} if b == d else {
            (a, k, a, k + 1) for k in range(b, d)}  # fmt: skip
    return edges


@pytest.mark.parametrize("kind", KINDS)
def test_lines_are_exactly_those_of_the_grid(kind: str) -> None:
    geometry: Geometry = KINDS[kind]
    n, cell = geometry.size, 20.0
    drawn = [i for i in lines(SHEET, geometry, GridPlace(0, n * cell, cell, n))
             if isinstance(i, Strokes)]  # fmt: skip
    thin = unit_edges(drawn[0].segments, cell, n)
    heavy = set().union(*(unit_edges(item.segments, cell, n) for item in drawn[1:]))
    inside = {(c, r, c, r + 1) for c in range(1, n) for r in range(n)} | {
        (c, r, c + 1, r) for r in range(1, n) for c in range(n)
    }
    assert thin == inside
    frame = {(k, e, k + 1, e) for k in range(n) for e in (0, n)} | {
        (e, k, e, k + 1) for k in range(n) for e in (0, n)
    }
    # two neighbours in different regions: stated cell by cell, from the definition
    of = geometry.regions or (0,) * (n * n)
    parted = set()
    for r, c in itertools.product(range(n), range(n)):
        if c and of[r * n + c] != of[r * n + c - 1]:
            parted.add((c, r, c, r + 1))
        if r and of[r * n + c] != of[(r - 1) * n + c]:
            parted.add((c, r, c + 1, r))
    assert heavy == frame | parted
    assert min(item.width for item in drawn[1:]) >= 3 * drawn[0].width


def test_clues_and_found_digits_have_their_own_faces() -> None:
    geometry = grids.blocks(2, 2)
    clues = grids.parse_grid("1... .... .... ...1".replace(" ", "\n"), 4)
    full = grids.parse_grid("1234 3412 2143 4321".replace(" ", "\n"), 4)
    large = PageDesign(load("large-print"), "a4", EDITIONS["large-print"])
    for sheet, cell, faces in (
        (SHEET, 30, (CLUE, FOUND)),
        (SHEET, 20, (CLUE, STRONG_FOUND)),  # a light digit is lost by a copier
        (large, 57, (STRONG_CLUE, STRONG_FOUND)),
    ):
        items = [i for i in grid_items(sheet, geometry, GridPlace(0, 80, cell, 4), clues, full)
                 if isinstance(i, Glyphs)]  # fmt: skip
        assert [i.face for i in items] == [*faces]
        assert ["".join(letter for *_, letter in i.places) for i in items] == [
            "11", "23434122143432",
        ]  # fmt: skip
        assert all(i.size <= 60 for i in items)


@pytest.mark.parametrize(
    "geometry",
    [*(grids.blocks(h, w) for h, w in ((2, 2), (2, 3), (3, 2), (3, 3), (2, 5), (3, 4), (4, 4))),
     *map(grids.latin, (4, 5, 7, 16)), grids.irregular("AAAB\nCABB\nCCDB\nCDDD")],
    ids=grids.Geometry.name,
)  # fmt: skip
def test_the_first_grid_of_how_to_play_shows_whole_houses(geometry: grids.Geometry) -> None:
    """Each line or area that is grey has every digit once; by the definition of these puzzles."""
    picture, n = whole_grid(geometry), geometry.size
    full = [h for h in geometry.houses if {*h.cells} <= {*picture.grey}]
    assert {h.kind for h in full} == {h.kind for h in geometry.houses}
    assert {*picture.grey} == {c for h in full for c in h.cells}
    for house in full:
        assert sorted(picture.digits[c] for c in house.cells) == [*range(1, n + 1)]
    assert {k for k, digit in enumerate(picture.digits) if digit} == {*picture.grey}
    words = {
        h.kind: word
        for h in full
        for word, cell, side in picture.labels
        if word == h.kind and any(c // n == cell // n or c % n == cell % n for c in h.cells)
    }
    assert words.keys() == {h.kind for h in full}
