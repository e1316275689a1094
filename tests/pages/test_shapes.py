"""Shapes of rules as items: where each stands, what it touches, and that it can be told apart."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import atan2, cos, degrees, dist, pi, sin
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from packbuilder.book.candidate_room import candidate_size
from packbuilder.layouts.fitting import BAND, bands
from packbuilder.pages.candidates import candidates
from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace, placed_in
from packbuilder.pages.rule_marks import over, under_corner
from packbuilder.pages.rule_shapes import under
from packbuilder.plan.items import Disc, Fills, Item, Text, Trace
from packbuilder.rules.shapes import Corner, Diagonal, Edge, Fence, Outside, Path, Ring
from tests.pages.house_style.measuring import inked as inked_box
from tests.pages.house_style.measuring import marks_of
from tests.pages.pictures import inked
from tests.readback.books import example

N, U = 6, 36.0
PLACE = GridPlace(100, 400, U, N)
STYLES = ("broad", "thin", "double", "dashed", "dotted")


def in_cells(point: tuple[float, float]) -> tuple[float, float]:
    return (point[0] - PLACE.x) / U, (PLACE.top - point[1]) / U


def cell_of(point: tuple[float, float]) -> int:
    x, y = in_cells(point)
    return int(y) * N + int(x)


@st.composite
def paths(draw: st.DrawFn) -> tuple[int, ...]:
    """Cells of a line, each touching the next, none twice."""
    cells = [draw(st.integers(0, N * N - 1))]
    for _ in range(draw(st.integers(1, 7))):
        row, column = divmod(cells[-1], N)
        near = [
            r * N + c
            for r in range(max(0, row - 1), min(N, row + 2))
            for c in range(max(0, column - 1), min(N, column + 2))
            if r * N + c not in cells
        ]
        if not near:
            break
        cells.append(draw(st.sampled_from(near)))
    return tuple(cells)


@settings(max_examples=60, deadline=None)
@given(
    st.sets(st.integers(0, N * N - 1), min_size=1, max_size=14), st.sampled_from([0.06, 0.1, 0.3])
)
def test_outlines_go_round_what_lies_well_inside_the_cells(cells: set[int], inset: float) -> None:
    """By definition: a point is inside if a square of half side ``inset`` round it is in the cells.

    Insides are counted by rays (even-odd), so that holes and rims that touch are seen too.
    """
    rims = outlines(cells, N, inset)

    def within(x: float, y: float) -> bool:
        crossed = 0
        for rim in rims:
            for (ax, ay), (bx, by) in zip(rim, (*rim[1:], rim[0]), strict=True):
                crossed += ax == bx and ax > x and min(ay, by) < y < max(ay, by)
        return crossed % 2 == 1

    def covered(x: float, y: float) -> bool:
        return 0 <= x < N and 0 <= y < N and int(y) * N + int(x) in cells

    near = (0.01, inset - 0.01, inset + 0.01, 0.5, 1 - inset - 0.01, 1 - inset + 0.01, 0.99)
    for cell in range(N * N):
        row, column = divmod(cell, N)
        for x in (column + part for part in near):
            for y in (row + part for part in near):
                reach = [(x + a, y + b) for a in (-inset, inset) for b in (-inset, inset)]
                assert within(x, y) == all(covered(*point) for point in reach)


@given(st.sets(st.integers(0, N * N - 1), min_size=1, max_size=14))
def test_every_corner_of_a_fence_is_in_the_middle_of_a_dash(cells: set[int]) -> None:
    (fence,) = over(PLACE, (Fence(tuple(sorted(cells))),))
    assert isinstance(fence, Trace)
    on, off = fence.dash
    for run in fence.runs:
        gone = 0.0
        for a, b in zip(run, (*run[1:], run[0]), strict=True):
            assert (gone + fence.phase) % (on + off) == pytest.approx(on / 2)
            gone += dist(a, b)


def ink_at(items: Iterable[Item], points: Iterable[tuple[float, float]]) -> str:
    """The ink at points, which are in cells, as the letters of ``pictures.INKS``."""
    x, y = np.array([PLACE.at(*point) for point in points]).T
    return "".join(inked(items, x, y))


def middle(cell: int) -> tuple[float, float]:
    return cell % N + 0.5, cell // N + 0.5


def between(a: int, b: int, share: float) -> tuple[float, float]:
    """The point at a share of the way from the middle of a cell to that of another."""
    (x, y), (v, w) = middle(a), middle(b)
    return x + (v - x) * share, y + (w - y) * share


def around(cell: int, radius: float) -> list[tuple[float, float]]:
    """Points all over a disc in the middle of a cell."""
    x, y = middle(cell)
    return [
        (x + r * cos(turn * pi / 12), y + r * sin(turn * pi / 12))
        for r in (0.0, radius / 3, radius * 2 / 3, radius)
        for turn in range(24)
    ]


ON_THE_WAY = {
    "broad": (":", ":"), "thin": (":", ":"), "double": (" ", " "), "dashed": (" ", ":"),
    "dotted": (":", ":"),
}  # fmt: skip
"""The ink in the middle of a cell, and half way to the next (of beads, to the first)."""


@given(paths(), st.sampled_from(STYLES), st.booleans())
def test_a_line_joins_its_cells_in_order(cells: tuple[int, ...], style: str, head: bool) -> None:
    ways = [between(a, b, 0.5) for a, b in pairwise(cells)]
    assume(style != "dashed" or len({*ways}) == len(ways))  # dashes that cross are seen as such
    path = Path(cells, style, head=head and style == "thin")  # type: ignore[arg-type]
    items = under(PLACE, (path,))
    in_cell, on_border = ON_THE_WAY[style]
    assert ink_at(items, map(middle, cells)) == in_cell * len(cells)
    for a, b in pairwise(cells):
        slanted = a % N != b % N and a // N != b // N
        share = 0.5 if style != "dotted" else 0.25 if slanted else 0.35
        assert ink_at(items, [between(a, b, share)]) == on_border
    before, last = cells[-2:]
    assert ink_at(items, [between(before, last, 1.32)]) == (":" if path.head else " ")


@given(
    paths(), paths(), st.sampled_from(STYLES), st.sampled_from(STYLES), st.integers(0, N * N - 1)
)
def test_no_line_runs_under_a_digit_or_under_candidates(
    one: tuple[int, ...], other: tuple[int, ...], style: str, second: str, cell: int
) -> None:
    """Where a digit may stand, in a disc of .19 of a cell, the ground is of one tone (the largest
    layout has figures .62 of a cell in type, .4 high, and .31 wide); and so in all of a cell that
    has candidates, but for its sides and corners."""
    shapes = (Path(one, style), Path(other, second), Diagonal("down"))  # type: ignore[arg-type]
    assert len({*ink_at(under(PLACE, shapes, digits=[cell]), around(cell, 0.19))}) == 1
    x, y = middle(cell)
    room = [
        (x + a / 20, y + b / 20)
        for a in range(-8, 9)
        for b in range(-8, 9)
        if abs(a) + abs(b) < 14  # lines past a corner cut it, and reach no figure
    ]
    assert ink_at(under(PLACE, shapes, bare=[cell]), room).strip() == ""


@pytest.mark.parametrize("style", STYLES)
def test_a_band_goes_on_under_a_light_digit_and_stops_before_a_clue(style: str) -> None:
    """A solved grid would else have no line left; rails, dashes and beads have no grey to go on."""
    path, banded = Path((6, 7, 8), style), style in ("broad", "thin")  # type: ignore[arg-type]
    light = {*ink_at(under(PLACE, (path,), digits=[7], light=[7]), around(7, 0.19))}
    assert light == ({":"} if banded else {" "})
    assert {*ink_at(under(PLACE, (path,), digits=[7]), around(7, 0.19))} == {" "}


@pytest.mark.parametrize("solid", [False, True])
@pytest.mark.parametrize("style", ["broad", "thin"])
def test_circles_go_round_digits_and_round_candidates(solid: bool, style: str) -> None:
    shapes = (Ring(7, solid), Path((7, 8), style), Path((0, 7, 14), "double"))  # type: ignore[arg-type]
    ground = {":"} if solid else {" "}
    if not solid:
        assert {*ink_at(under(PLACE, shapes, bare=[7]), around(7, 0.4))} == ground
    assert {*ink_at(under(PLACE, shapes, digits=[7]), around(7, 0.25))} == ground
    rim = [(1.5 - 0.47, 1.5), (1.5, 1.5 + 0.47)]
    assert ink_at(under(PLACE, shapes[:2], bare=[7]), rim) == "oo"


@pytest.mark.parametrize("count", range(1, 7))
def test_candidates_keep_off_the_dots_beside_them(count: int) -> None:
    """By a twenty-fifth of a cell, which the eye takes for white (common practice, no source)."""
    shapes = (Edge((6, 7), "black"), Edge((7, 8), "white"))
    hint: Any = SimpleNamespace(shown=((7, tuple(range(1, count + 1))),), struck=())
    (letters,) = candidates(PLACE, hint, shapes, candidate_size(hint, shapes) * U)
    left, _, right, _ = inked_box(marks_of(letters))
    one, other = (inked_box(marks_of(dot)) for dot in over(PLACE, shapes))
    assert one[2] + U / 25 <= left
    assert right <= other[0] - U / 25


def test_thermometers_of_one_bulb_run_together_and_others_pass_over() -> None:
    bulb, one, two, other = Ring(0, solid=True), (0, 1, 2), (0, 6, 12), (13, 7, 1)
    shapes = (bulb, Path(one, "broad"), Path(two, "broad"), Ring(13, solid=True),
              Path(other, "broad"))  # fmt: skip
    order = [
        (type(i).__name__, i.ink if isinstance(i, Trace) else None) for i in under(PLACE, shapes)
    ]
    tube = [("Trace", "contour"), ("Disc", None), ("Trace", "fill")]
    assert order == [tube[0], tube[0], tube[1], tube[2], tube[2], *tube]


def test_an_odd_disc_is_not_drawn_twice_where_it_is_a_bulb() -> None:
    items = under(PLACE, (Ring(0, solid=True), Ring(3, solid=True), Path((0, 1), "broad")))
    assert sum(isinstance(item, Disc) for item in items) == 2


def test_small_text_stays_clear_of_the_digit() -> None:
    ground, text = over(PLACE, (Corner(7, "45"),))
    assert isinstance(text, Text)
    assert text.size >= 7  # points: sums are read at this size (the house style)
    x, y = in_cells((text.x, text.y))
    assert 1.05 < x < 1.1
    # the digit's top: 0.645 em high (the face), as large as a grid with text in corners has it
    assert y - 1 < 0.5 - 0.645 * under_corner(PLACE) / U / 2
    assert isinstance(ground, Fills)
    ((left, bottom, right, top),) = ground.boxes
    assert left < text.x
    assert bottom < text.y
    assert right > text.x + 2 * 0.497 * text.size  # a figure's width
    assert top > text.y + 0.645 * text.size


SIDES = [("top", (2.5, -0.45)), ("bottom", (2.5, N + 0.45)), ("left", (-0.45, 2.5)),
         ("right", (N + 0.45, 2.5))]  # fmt: skip


@pytest.mark.parametrize(("side", "middle"), SIDES)
def test_an_outside_number_is_in_line_with_its_row_or_column(
    side: str, middle: tuple[float, float]
) -> None:
    shape = Outside(side, 2, "1")  # type: ignore[arg-type]
    (text,) = over(PLACE, (shape,))
    assert isinstance(text, Text)
    assert text.size >= 9
    assert text.face == "SourceSansPro-Semibold"
    x, y = in_cells((text.x, text.y))
    assert x == pytest.approx(middle[0] - 0.497 / 2 * text.size / U, abs=0.02)  # a figure's width
    assert y == pytest.approx(middle[1] + 0.645 / 2 * text.size / U, abs=0.02)
    room = bands((shape,), N)
    assert (room.left, room.right, room.top, room.bottom) == tuple(
        BAND if name == side else 0 for name in ("left", "right", "top", "bottom")
    )


WAYS = {"down-right": -45, "down-left": -135, "up-right": 45, "up-left": 135}  # degrees, y up


@pytest.mark.parametrize(
    ("side", "index", "towards"),
    [("top", 0, "down-right"), ("top", -1, "down-right"), ("top", 3, "down-left"),
     ("bottom", 2, "up-left"), ("bottom", 6, "up-left"), ("left", 0, "down-right"),
     ("left", 4, "up-right"), ("right", 2, "down-left"), ("right", 5, "up-left")],
)  # fmt: skip
def test_a_small_arrow_points_down_its_diagonal_and_stays_in_the_band(
    side: str, index: int, towards: str
) -> None:
    shape = Outside(side, index, "23", towards)  # type: ignore[arg-type]
    text, arrow = over(PLACE, (shape,))
    assert isinstance(text, Text)
    assert isinstance(arrow, Trace)
    (start, tip), (_, same, _) = arrow.runs
    assert same == tip
    assert degrees(atan2(tip[1] - start[1], tip[0] - start[0])) == pytest.approx(WAYS[towards])
    x, y = in_cells(tip)
    out = {"top": -y, "bottom": y - N, "left": -x, "right": x - N}[side]
    assert 0 < out < 0.2  # just outside the frame
    along = x if side in ("top", "bottom") else y
    assert index < along < index + 1  # over the row or column that it belongs to
    room = bands((shape,), N)
    assert (room.left > 0) == (side == "left" or index < 0)
    assert (room.right > 0) == (side == "right" or index >= N)


def test_two_sums_of_one_place_do_not_overlap() -> None:
    shapes = (Outside("top", 2, "23", "down-left"), Outside("top", 2, "31", "down-right"))
    one, _, two, _ = over(PLACE, shapes)
    assert isinstance(one, Text)
    assert isinstance(two, Text)
    assert one.x + 2 * 0.497 * one.size < two.x


@pytest.mark.parametrize("slug", ["sightlines", "sandwich", "little-sums", "cages"])
def test_a_grid_keeps_its_clues_outside_in_its_square(slug: str) -> None:
    puzzle, _ = example(slug)
    shapes = [shape for part in puzzle.rules for shape in part.shapes()]
    place = placed_in(100.0, 700.0, 300.0, puzzle.size, shapes)
    grid = Fills(((*place.at(0, puzzle.size), *place.at(puzzle.size, 0)),))
    left, bottom, right, top = inked_box(
        mark for item in (grid, *over(place, shapes)) for mark in marks_of(item)
    )
    assert left >= 99
    assert bottom >= 399
    assert right <= 401
    assert top <= 701
    assert max(right - left, top - bottom) > 270
