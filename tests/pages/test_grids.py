"""Grids as items: lines, digits and candidates where they belong."""

from __future__ import annotations

import itertools
from statistics import fmean

import pytest

from packbuilder import grid as grids
from packbuilder.book.examples import GRID_EXAMPLES
from packbuilder.grid import Geometry
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.layouts.loading import load
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import CANDIDATE, CLUE, FOUND, hint_grid, lines
from packbuilder.pages.grids import grid as grid_items
from packbuilder.pages.ornaments import pips
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.items import Fills, Glyphs, Lozenges, Rings, Strokes, Trace
from packbuilder.puzzle import BEYOND
from tests.pages.sample_book import ODD_6, ODD_9, geometry_of

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
    items = [i for i in grid_items(SHEET, geometry, GridPlace(0, 80, 20, 4), clues, full)
             if isinstance(i, Glyphs)]  # fmt: skip
    assert {i.face: "".join(letter for *_, letter in i.places) for i in items} == {
        CLUE: "11", FOUND: "23434122143432"
    }  # fmt: skip


def test_a_hint_shows_what_it_speaks_of_and_no_more() -> None:
    geometry = geometry_of("9")
    step = Step("pointing", 3, (), ((40, 5),), (3, 4), (5,), (0,))
    hint = Hint("", "", "", step, (0,) * 81, shown=((3, (1, 5)), (40, (5, 9))), struck=((40, 5),))
    items = hint_grid(SHEET, geometry, GridPlace(0, 270, 30, 9), (0,) * 81, hint)
    (shade,) = (i for i in items if isinstance(i, Fills))
    assert len(shade.boxes) == 2  # where it rests; where it acts there are stripes
    (striped,) = (i for i in items if isinstance(i, Trace) and i.fill == "stripe")
    assert all(120 <= x <= 150 and 120 <= y <= 150 for run in striped.runs for x, y in run)
    # no stripe behind the 5 in the middle of its cell, nor behind the 9; some behind the empty 1
    middles = [(fmean(x for x, _ in run), fmean(y for _, y in run)) for run in striped.runs]
    assert not [m for m in middles if 131.5 < m[0] < 138.5 and 131.5 < m[1] < 138.5]
    assert not [m for m in middles if 139.5 < m[0] < 146 and 124 < m[1] < 130.5]
    assert [m for m in middles if 123 < m[0] < 131 and 139 < m[1] < 147]
    assert shade.ink == "shade"
    light, strong = (i for i in items if isinstance(i, Rings))
    assert (len(light.boxes), len(strong.boxes)) == (2, 1)
    assert strong.width > 2 * light.width
    (small,) = (i for i in items if isinstance(i, Glyphs) and i.face == CANDIDATE)
    assert [letter for *_, letter in small.places] == ["1", "5", "5", "9"]
    # 5 stands in the middle of cell 40 (row 5, column 5), 9 at its lower right
    x5, y5, _ = small.places[2]
    x9, y9, _ = small.places[3]
    assert 120 < x5 < 150
    assert 120 < y5 < 150
    assert x9 > x5
    assert y9 < y5
    crosses = [i for i in items if isinstance(i, Strokes)][-1]
    assert len(crosses.segments) == 1
    x0, y0, x1, y1 = crosses.segments[0]
    assert (x0 + x1) / 2 == pytest.approx(135)
    assert (y0 + y1) / 2 == pytest.approx(135)


@pytest.mark.parametrize(("grade", "filled", "empty"), [(1, 1, 6), (4, 4, 3), (7, 7, 0),
                                                        (BEYOND, 7, 0)])  # fmt: skip
def test_pips_count_the_rungs(grade: int, filled: int, empty: int) -> None:
    drawn = [i for i in pips(0, 0, grade, 9) if isinstance(i, Lozenges)]
    assert sum(len(i.centres) for i in drawn if i.width is None) == filled
    assert sum(len(i.centres) for i in drawn if i.width is not None) == empty


@pytest.mark.parametrize("name", GRID_EXAMPLES)
def test_examples_are_true(name: str) -> None:
    """Every full grid with the example's clues, found by trying all, has the digit in the cell."""
    example = GRID_EXAMPLES[name]
    rows = list(itertools.permutations(range(1, 5)))
    given = [example.clues[k : k + 4] for k in range(0, 16, 4)]
    fitting = [[p for p in rows if all(c in (0, d) for c, d in zip(g, p, strict=True))]
               for g in given]  # fmt: skip
    full = [sum(parts, ()) for parts in itertools.product(*fitting)]
    solved = [values for values in full if example.geometry.holds(values)]
    assert solved
    assert {values[example.cell] for values in solved} == {example.digit}
