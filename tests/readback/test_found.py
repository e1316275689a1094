"""Grids and shapes by themselves: what is drawn to the house style is found, at every size."""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import replace
from itertools import product
from types import SimpleNamespace
from typing import Literal

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import latin
from packbuilder.layouts import load
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.items import FURNITURE, Figure, Item, Page, Trace
from packbuilder.readback.covers import _discs
from packbuilder.readback.grids import check_borders
from packbuilder.readback.hint_signs import read_signs
from packbuilder.readback.prose import _is_told
from packbuilder.readback.shape_names import cells_of, told
from packbuilder.readback.witness import _unlike
from packbuilder.reader.lattices import lattices
from packbuilder.reader.marks import Brush, Drawing, Glyph, Stroke, Track
from packbuilder.reader.pages import SeenGrid, look_at
from packbuilder.reader.pdfium import File
from packbuilder.reader.text import folio_of, runs_of, section_of
from packbuilder.rules.shapes import Box, Diagonal, Edge, Fence, Outside, Patch, Path, Ring, Shape
from tests.readback import books
from tests.readback.altering import planned, printed

PITCHES = [9.5, 14.0, 30.0, 72.0]
"""Points: the smallest cells that a layout makes, and larger than any."""
STYLES: tuple[Literal["broad", "thin", "double", "dashed", "dotted"], ...] = (
    "broad",
    "thin",
    "double",
    "dashed",
    "dotted",
)


# --- lattices by hand ----------------------------------------------------------------------------


def ruled(columns: list[float], rows: list[float], width: float = 1.0) -> list[Stroke]:
    """Full lines at the given places."""
    across = [Stroke(columns[0], y, columns[-1], y, width, None) for y in rows]
    return across + [Stroke(x, rows[0], x, rows[-1], width, None) for x in columns]


def places(count: int, pitch: float = 20.0, start: float = 100.0) -> list[float]:
    return [start + pitch * k for k in range(count)]


@pytest.mark.parametrize("size", range(4, 17))
def test_every_size_is_found(size: int) -> None:
    (grid,), broken = lattices(ruled(places(size + 1), places(size + 1)))
    assert (grid.size, grid.pitch, broken, grid.regions) == (size, 20.0, [], None)
    assert grid.cell_at(101, 99 + 20 * size) == 0  # the top left corner
    assert grid.cell_at(99, 101) is None


@pytest.mark.parametrize(
    "columns, rows, why",
    [
        (places(10), places(7), "6 rows and 9 columns"),
        (places(10), [*places(9), 281.5], "rows are not evenly spaced"),
        (places(10), places(10, 24), "not square"),
        (places(18), places(18), "17 rows"),
    ],
)
def test_lines_that_make_no_grid_are_told(
    columns: list[float], rows: list[float], why: str
) -> None:
    grids, (broken,) = lattices(ruled(columns, rows))
    assert grids == []
    assert why in broken.why


def test_strokes_beyond_any_page_hide_no_grid() -> None:
    """No page of a PDF reaches farther than 14,400 points (ISO 32000-1, annex C)."""
    far = [Stroke(1e6, y, 2e6, y, 1.0, None) for y in places(10)]
    (grid,), broken = lattices([*far, *ruled(places(10), places(10)), *far])
    assert (grid.size, broken) == (9, [])


def test_paths_in_forms_lie_where_the_matrices_of_all_forms_put_them() -> None:
    """One matrix after another (ISO 32000-1, 8.3.4 and 8.10.1), reckoned by numpy."""
    pdf = pikepdf.new()
    moves = ([2, 1, -1, 3, 40, 50], [1, 0.5, 0.25, 2, 7, 11], [0, 1, -1, 0, 9, 4])
    content, form = b"1 w 1 2 m 5 8 l S", None
    for move in reversed(moves):
        told = b" ".join(b"%g" % v for v in move)
        if form is not None:
            content = b"q " + told + b" cm /Fm Do Q"
        made = pdf.make_stream(content)
        made.update({"/Type": pikepdf.Name.XObject, "/Subtype": pikepdf.Name.Form})
        made["/BBox"] = [-999, -999, 999, 999]
        if form is None:
            made["/Matrix"] = move
        else:
            made["/Resources"] = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Fm=form))
        form = made
    pdf.add_blank_page(page_size=(400, 400))
    pdf.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Fm=form))
    pdf.pages[0].Contents = pdf.make_stream(b"/Fm Do")
    out = io.BytesIO()
    pdf.save(out)
    with File(out.getvalue()) as file, file.page(1) as page:
        (drawing,) = page.marks().drawings
    rows = [np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) for a, b, c, d, e, f in moves]
    due = np.array([[1, 2, 1], [5, 8, 1]]) @ rows[2] @ rows[1] @ rows[0]
    assert np.allclose(drawing.tracks[0].points, due[:, :2], atol=1e-3)


@pytest.mark.parametrize("times, told", [(2.0, ""), (1.95, "border-thin"), (1.0, "border-thin")])
def test_a_border_is_twice_as_wide_as_a_cell_line_and_no_less(times: float, told: str) -> None:
    thin, wide = ruled(places(5), places(5), 0.5), (places(5)[0], places(5)[-1])
    heavy = ruled([*wide], [*wide], 1.0) + [
        s._replace(width=0.5 * times) for s in ruled([wide[0], 140.0, wide[1]], [*wide])[3:4]
    ]
    (one,), _ = lattices(thin + heavy)
    halves = tuple(int(cell % 4 > 1) for cell in range(16))
    assert {code for code, *_ in check_borders(one, halves)} == {told} - {""}


@pytest.mark.parametrize("wide, taken", [(0.4, False), (0.55, True), (0.85, True), (0.95, False)])
def test_a_floor_goes_over_more_than_half_of_its_cell_and_not_from_side_to_side(
    wide: float, taken: bool
) -> None:
    (one,), _ = lattices(ruled(places(5), places(5)))
    track = Track(((110 - 10 * wide, 110.0), (110 + 10 * wide, 110.0)), closed=False, curved=False)
    floor = Drawing((track,), Brush((0.0, 0.0, 0.0), 1.0), filled=False, fill=None)
    grid = SimpleNamespace(
        lattice=one,
        filled=SimpleNamespace(candidates=()),
        drawn=SimpleNamespace(others=(floor,)),
    )
    assert read_signs(grid).floors == ({12: 110.0} if taken else {})  # type: ignore[arg-type]


def glyphs(text: str, y: float, x: float = 50.0) -> list[Glyph]:
    return [
        Glyph(letter, "SourceSansPro-Regular", 9.0, x + 5 * k, y, x + 5 + 5 * k, y + 9, x + 5 * k,
              y, False, (0.0, 0.0, 0.0), 0)
        for k, letter in enumerate(text)
    ]  # fmt: skip


def test_the_running_head_is_at_the_outer_end_beside_the_names_of_puzzles() -> None:
    left, right = (
        runs_of([*glyphs("Puzzles", 700), *glyphs("Ebb", 700, 300)]),
        runs_of([*glyphs("Ebb", 700), *glyphs("Puzzles", 700, 300)]),
    )
    assert [section_of(k, runs) for k, runs in ((2, left), (3, right))] == ["Puzzles", "Puzzles"]
    assert [section_of(k, runs) for k, runs in ((3, left), (2, right))] == [
        "Puzzles Ebb",
        "Ebb Puzzles",
    ]
    assert section_of(2, right, facing=False) == "Puzzles"
    assert section_of(1, left) == "Cover"


def test_words_may_go_over_to_the_next_page_after_any_letter() -> None:
    for k in range(1, 7):
        pages = [("elsewhere", f"before{'Foghorn'[:k]}"), (f"{'Foghorn'[k:]}after",)]
        assert _is_told("Foghorn", pages)
        assert not _is_told("Foghorn", pages[::-1])
        assert not _is_told("Foghorn", [pages[0], ("xyz",), pages[1]])


def test_discs_of_a_cover_are_digits_only_by_their_own_sizes() -> None:
    def disc(k: int, wide: float) -> Drawing:
        x, y = 100 + 50 * (k % 2), 100 - 50 * (k // 2)
        r = wide / 2
        track = Track(((x - r, y), (x, y - r), (x + r, y), (x, y + r)), closed=True, curved=True)
        return Drawing((track,), None, filled=True, fill=(0.0, 0.0, 0.0))

    for wide, read in ((10, "1"), (11, "1"), (15, ""), (19, "2"), (20, "2")):
        found = _discs([disc(k, w) for k, w in enumerate((10, 20, wide, 20))], (), 2)
        assert [found[0], found[1], found[3]] == ["1", "2", "2"]
        assert (found[2] == read) if read else found[2] not in ("1", "2")


def test_two_readers_may_put_a_letter_a_little_apart_on_any_side() -> None:
    for x, right, up in product((100.0, 100.4, 100.6), (-0.7, 0, 0.7), (-0.7, 0, 0.7)):
        one, other = Counter({("a", x, 50.3): 1}), Counter({("a", x + right, 50.3 + up): 1})
        assert _unlike(one, other) == ""
        assert _unlike(one, Counter({("a", x + right + 4, 50.3 + up): 1})) == "a"
        assert _unlike(one, Counter({("b", x + right, 50.3 + up): 1})) == "a"


def test_a_line_just_above_the_folio_is_no_part_of_its_line() -> None:
    for number in (11, 12):
        runs = runs_of([*glyphs(str(number), 30.0), *glyphs("Ebb", 31.0)])
        assert [run.text for run in runs] == ["Ebb", str(number)]
        assert folio_of(runs, number) == number


def test_an_image_is_seen_where_it_lies() -> None:
    pdf = pikepdf.new()
    image = pdf.make_stream(bytes(3))
    image.update({"/Type": pikepdf.Name.XObject, "/Subtype": pikepdf.Name.Image, "/Width": 1})
    image.update({"/Height": 1, "/BitsPerComponent": 8, "/ColorSpace": pikepdf.Name.DeviceRGB})
    pdf.add_blank_page(page_size=(400, 400))
    pdf.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im=image))
    pdf.pages[0].Contents = pdf.make_stream(b"30 0 0 40 110 220 cm /Im Do")
    out = io.BytesIO()
    pdf.save(out)
    with File(out.getvalue()) as file, file.page(1) as page:
        (drawing,) = page.marks().drawings
    assert drawing.box == (110, 220, 140, 260)
    assert {*drawing.tracks[0].points} == {(110, 220), (140, 220), (140, 260), (110, 260)}
    assert (drawing.filled, drawing.fill, drawing.brush) == (True, None, None)


def test_a_table_of_three_columns_is_no_grid() -> None:
    assert lattices(ruled(places(4, 100), places(12))) == ([], [])


def test_grids_side_by_side_are_told_apart_and_ordered() -> None:
    low = ruled(places(10, 10), places(10, 10))
    high = ruled(places(5, 10, 300), places(5, 10, 400))
    right = ruled(places(10, 10, 200), places(10, 10))
    found, _ = lattices([*right, *low, *high])
    assert [(g.size, g.x[0]) for g in found] == [(4, 300), (9, 100), (9, 200)]


def test_lines_of_another_grid_may_stand_nearly_in_line() -> None:
    above = ruled(places(5), places(5, start=400))
    below = ruled(places(5, start=100.5), places(5))
    found, broken = lattices([*above, *below])
    assert ([g.x[0] for g in found], broken) == ([100, 100.5], [])


def test_regions_are_what_heavy_lines_part() -> None:
    strokes = ruled(places(5), places(5), 0.5)
    strokes += ruled([100.0, 140.0, 180.0], [100.0, 140.0, 180.0], 2.0)
    (grid,), _ = lattices(strokes)
    assert grid.regions == (0, 0, 1, 1, 0, 0, 1, 1, 2, 2, 3, 3, 2, 2, 3, 3)


# --- shapes --------------------------------------------------------------------------------------


def seen(size: int, pitch: float, shapes: list[Shape], *more: Item) -> SeenGrid:
    """A page with one empty grid and these shapes, printed and read."""
    book = books.lone()
    sheet, empty = PageDesign(load("one-up"), "a4", book.edition), (0,) * (size * size)
    drawn = grid(sheet, latin(size), GridPlace(60.0, 780.0, pitch, size), empty, empty, shapes)
    page = Page(1, "Cover", (Figure(FURNITURE, (*drawn, *more)),))
    plain = replace(book.edition, links=False)
    plan = replace(planned(book), pages=(page,), bookmarks=(), edition=plain)
    with File(printed(plan)) as file, file.page(1) as opened:
        (found,) = look_at(opened.marks()).grids
    return found


cells = st.frozensets(st.integers(0, 24), min_size=1, max_size=14)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(cells, st.sampled_from(PITCHES), st.sampled_from([Fence, Patch]))
def test_any_cells_are_found_by_their_outline(
    some: frozenset[int], pitch: float, kind: type[Fence] | type[Patch]
) -> None:
    """In one piece or several, with holes, touching at corners."""
    shape = kind(tuple(sorted(some)))
    drawn = seen(5, pitch, [shape]).drawn
    assert (drawn.shapes, drawn.others) == ((shape,), ())


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


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(paths(), min_size=1, max_size=3, unique=True), st.sampled_from(PITCHES))
def test_any_lines_are_found_also_where_they_cross(lines: list[Path], pitch: float) -> None:
    drawn = seen(7, pitch, list(lines)).drawn
    assert set(drawn.shapes) == set(lines)
    assert drawn.others == ()


@pytest.mark.parametrize("pitch", PITCHES)
def test_marks_of_every_kind_are_found(pitch: float) -> None:
    shapes: list[Shape] = [
        Edge((0, 1), "white"), Edge((1, 2), "black"), Edge((6, 7), "<"), Edge((7, 8), ">"),
        Edge((3, 8), "white"), Edge((4, 9), "black"), Edge((10, 15), "<"), Edge((11, 16), ">"),
        Ring(12), Ring(13, solid=True), Box(17), Diagonal("down"),
        Diagonal("up"),
    ]  # fmt: skip
    drawn = seen(5, pitch, shapes).drawn
    assert (set(drawn.shapes), drawn.others) == (set(shapes), ())


def test_a_thermometer_along_a_row_is_no_cell_line() -> None:
    """A level grey line over nine cells in ten, and a cage's dashes, leave the grid as it is."""
    row = Path(tuple(range(20, 30)), "thin")
    found = seen(10, 20, [row, Fence(tuple(range(40, 50)))])
    assert found.lattice.size == 10
    assert found.lattice.pitch == pytest.approx(20)


def test_what_lies_outside_is_no_mark() -> None:
    beside = Trace((((300.0, 700.0), (330.0, 690.0)),), 2.0)
    assert seen(5, 30, [], beside).drawn.others == ()


def test_crop_marks_are_none_wherever_their_middle_is() -> None:
    """One path of pieces at the corners of a page; its middle lies in the band of a clue."""
    corners = [(10.0, 840.0), (260.0, 840.0), (10.0, 392.0), (260.0, 392.0)]
    marks = Trace(tuple(((x, y), (x + 9, y)) for x, y in corners), 0.25)
    below = Outside("bottom", 2, "7")
    assert seen(5, 30, [below], marks).drawn.others == ()
    touching = replace(marks, runs=(*marks.runs, ((135.0, 616.0), (139.0, 616.0))))
    assert len(seen(5, 30, [below], touching).drawn.others) == 1


def test_a_clue_is_named_by_its_side_and_its_arrow() -> None:
    assert told(Outside("left", 2, "7"), 6) == "the 7 left of row 3"
    assert cells_of(Outside("top", -1, "7", "down-right"), 6) == (0,)
    assert cells_of(Outside("right", 5, "7"), 6) == (35,)
    assert cells_of(Diagonal("up"), 3) == (2, 4, 6)
