"""Shapes by themselves: whatever is drawn to the house style is found again, at every size."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Entry
from packbuilder.grid import latin
from packbuilder.puzzle import Puzzle
from packbuilder.readback import document
from packbuilder.readback.drawn.lines import Style
from packbuilder.readback.survey import Grid, survey
from packbuilder.rules.shapes import (
    Box,
    Diagonal,
    Edge,
    Fence,
    Outside,
    Patch,
    Path,
    Ring,
    Shape,
)
from tests.readback.rule_press import Pen, rims
from tests.readback.tiny_press import Place

STYLES: tuple[Style, ...] = ("broad", "thin", "double", "dashed", "dotted")
PITCHES = [9.5, 14.0, 30.0, 72.0]
"""Points: the smallest cells that a layout makes, and larger than any."""


def printed(size: int, pitch: float, shapes: list[Shape], more: str = "") -> Grid:
    """A page with one empty grid and these shapes, read."""
    puzzle = Puzzle("p", "P", "Ada Quill", latin(size), (0,) * (size * size))
    place = Place("Puzzles", Entry(1, puzzle, puzzle.clues, 1, "", 0.0, (), ()), 100, 1000, pitch)
    pen, out = Pen(place), io.BytesIO()
    canvas = Canvas(out, pagesize=(1400, 1400), pageCompression=0)
    said: list[str] = []
    for shape in shapes:
        match shape:
            case Path():
                said += pen.path(shape, frozenset())
            case Fence():
                said += pen.fence(shape)
            case Edge():
                said += pen.mark(shape)
            case _:
                said += pen.closed(shape)
    canvas._code.extend(f"q {one} Q" for one in (*said, more) if one)
    for k in range(size + 1):
        canvas.setLineWidth(2 if k in (0, size) else 0.5)
        at = k * pitch
        canvas.line(100, 1000 - at, 100 + size * pitch, 1000 - at)
        canvas.line(100 + at, 1000, 100 + at, 1000 - size * pitch)
    canvas.showPage()
    canvas.save()
    (grid,) = survey(document.sheets(out.getvalue())[0]).grids
    return grid


cells = st.frozensets(st.integers(0, 24), min_size=1, max_size=14)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(cells, st.sampled_from(PITCHES), st.sampled_from([Fence, Patch]))
def test_any_cells_are_found_by_their_outline(
    some: frozenset[int], pitch: float, kind: type[Fence] | type[Patch]
) -> None:
    """In one piece or several, with holes, touching at corners."""
    shape = kind(tuple(sorted(some)))
    drawn = printed(5, pitch, [shape]).drawn
    assert (drawn.shapes, drawn.others) == ((shape,), ())


def test_a_hole_is_a_run_of_its_own() -> None:
    ring = (0, 1, 2, 5, 7, 10, 11, 12)
    assert len(rims(ring, 5, 0.1)) == 2
    assert printed(5, 30, [Fence(ring)]).drawn.shapes == (Fence(ring),)


@st.composite
def paths(draw: st.DrawFn) -> Path:
    """A line of touching cells that never comes back, of any look."""
    steps = [(-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1)]
    way = [(draw(st.integers(0, 6)), draw(st.integers(0, 6)))]
    for _ in range(draw(st.integers(1, 8))):
        row, column = way[-1]
        near = [(row + a, column + b) for a, b in steps]
        free = [(r, c) for r, c in near if 0 <= r < 7 and 0 <= c < 7 and (r, c) not in way]
        if free:
            way.append(draw(st.sampled_from(free)))
    style = draw(st.sampled_from(STYLES))
    head = style == "thin" and draw(st.booleans())
    return Path(tuple(7 * row + column for row, column in way), style, head)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(paths(), min_size=1, max_size=3, unique=True), st.sampled_from(PITCHES))
def test_any_lines_are_found_also_where_they_cross(lines: list[Path], pitch: float) -> None:
    drawn = printed(7, pitch, list(lines)).drawn
    assert set(drawn.shapes) == set(lines)
    assert drawn.others == ()


@pytest.mark.parametrize("pitch", PITCHES)
def test_marks_of_every_kind_are_found(pitch: float) -> None:
    level = [Edge((0, 1), "white"), Edge((1, 2), "black"), Edge((6, 7), "<"), Edge((7, 8), ">")]
    upright = [
        Edge((3, 8), "white"),
        Edge((4, 9), "black"),
        Edge((10, 15), "<"),
        Edge((11, 16), ">"),
    ]
    shapes: list[Shape] = [Ring(12), Ring(13, solid=True), Box(17), Box(18, solid=False)]
    shapes += [Diagonal("down"), Diagonal("up"), *level, *upright]
    drawn = printed(5, pitch, shapes).drawn
    assert set(drawn.shapes) == set(shapes)
    assert drawn.others == ()


@pytest.mark.parametrize(
    "more",
    [
        "0 G 1 w 110 990 m 120 980 l S",  # a slanted stroke
        "0 g 110 980 4 4 re f",  # a black square
        "0.86 g 105 975 20 20 re f",  # a grey one without a rim
        "0.55 G 1 w 115 985 m 175 985 l 175 955 l S",  # a line that is no wide one and no thin one
        "0 G 0.5 w 110 990 m 120 990 l S",  # a level stroke off the lines
        "1 0 0 RG 1 w 115 985 m 145 985 l S",  # a red line
    ],
)
def test_a_mark_of_no_kind_is_left_over(more: str) -> None:
    drawn = printed(5, 30, [], more).drawn
    assert drawn.shapes == ()
    assert len(drawn.others) == 1


@pytest.mark.parametrize("more", ["1 g 105 975 20 20 re f", "0 G 2 w 60 985 m 60 900 l S"])
def test_white_fills_and_what_lies_outside_are_no_marks(more: str) -> None:
    assert printed(5, 30, [], more).drawn.others == ()


def test_a_thermometer_along_a_row_is_no_cell_line() -> None:
    """A level grey line over nine cells in ten, and a cage's dashes, leave the grid as it is."""
    row = Path(tuple(range(20, 30)), "thin")
    grid = printed(10, 20, [row, Fence(tuple(range(40, 50)))])
    assert grid.lattice.size == 10
    assert grid.lattice.pitch == pytest.approx(20)


def test_a_clue_is_named_by_its_side_and_its_arrow() -> None:
    from packbuilder.readback.rule_words import cells_of, told

    assert told(Outside("left", 2, "7"), 6) == "the 7 left of row 3"
    assert cells_of(Outside("top", -1, "7", "down-right"), 6) == (0,)
    assert cells_of(Outside("right", 5, "7"), 6) == (35,)
    assert cells_of(Diagonal("up"), 3) == (2, 4, 6)
