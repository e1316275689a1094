"""Grids: cell lines, heavy borders and digits, as items."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from functools import cache

from packbuilder.book.candidate_room import has_corners
from packbuilder.editions import PRINT
from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.rule_marks import over, under_corner
from packbuilder.pages.rule_shapes import under
from packbuilder.plan.items import Box, Glyphs, Item, NotesField, Segment, Strokes, Table, Tag
from packbuilder.rules.shapes import Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

CLUE, FOUND = "SourceSansPro-Semibold", "SourceSansPro-Light"
"""Faces of digits: the house's, so that clues are always told from what a solver writes."""

STRONG_CLUE, STRONG_FOUND = "SourceSansPro-Bold", "SourceSansPro-Regular"
"""The same where the light one is too thin: both in large print, the second in answers and in small
cells."""

_THIN = 26.0  # points: in smaller cells a copier loses light digits
_LARGEST = 60.0  # points: digits of the few large cells of a small grid are no larger
_STRIP = 0.24  # of a cell: what is kept at its top for typing notes
_NOTES = 6.5  # points: no note is smaller; more than have room slide along
_FULL_WEIGHT = 34.0  # points: cells from here on have lines of their full weight


def grid(
    sheet: PageDesign,
    geometry: Geometry | None,
    place: GridPlace,
    clues: Values,
    all_digits: Values,
    shapes: Sequence[Shape] = (),
    *,
    rings: Sequence[Item] = (),
    bare: Collection[int] = (),
    ground: Sequence[Item] = (),
    letters: Sequence[Shape] = (),
    ruled: Sequence[Item] = (),
    answer: bool = False,
) -> list[Item]:
    """A grid with its digits: those of ``clues`` as clues, the others of ``all_digits`` light, in
    an ``answer`` regular, where numbers outside the grid are quiet.

    ``shapes`` are those of its rules; none of their lines runs through ``bare`` cells. ``ground``
    lies over those lines, ``rings`` over the cell lines too, but under the marks on edges.
    ``letters`` stand in empty cells, where no digit makes room for them. Without a
    geometry, ``ruled`` are its lines.
    """
    place = replace(place, small=sheet.least.small)
    size = digit_size(sheet, place, shapes)
    found = tuple(0 if clue else digit for clue, digit in zip(clues, all_digits, strict=True))
    printed = [cell for cell, digit in enumerate(all_digits) if digit]
    light = [cell for cell, digit in enumerate(found) if digit]
    if geometry is not None:
        ruled = lines(sheet, geometry, place)
    below = [*under(place, shapes, printed, bare, light), *ground, *ruled]
    items = [*below, *rings, *over(place, shapes, "quiet" if answer else "ink"),
             *over(place, letters)]  # fmt: skip
    for face, values in zip(faces(sheet, place, answer=answer), (clues, found), strict=True):
        if any(values):
            cells = tuple(cell for cell, digit in enumerate(values) if digit)
            places = tuple(_centred(place, face, size, values))
            items.append(Glyphs(face, size, places, cells=cells))
    return items


def faces(sheet: PageDesign, place: GridPlace, *, answer: bool = False) -> tuple[str, str]:
    """The faces of clues and of found digits."""
    if sheet.edition.digits > PRINT.digits:
        return STRONG_CLUE, STRONG_FOUND
    return CLUE, STRONG_FOUND if answer or place.cell < _THIN else FOUND


def digit_size(sheet: PageDesign, place: GridPlace, shapes: Sequence[Shape] = ()) -> float:
    """The type size of the digits of a grid, which make a little room for text in corners."""
    size = min(place.cell * sheet.layout.digit, _LARGEST)
    if has_corners(shapes):
        place = replace(place, small=sheet.least.small)
        size = max(min(size * 0.9, under_corner(place)), sheet.least.text)
    return size


def digit_fields(place: GridPlace, values: Values) -> tuple[tuple[int, Box], ...]:
    """Where a digit is typed into each cell without one, by cell: all of it but a strip for notes.

    Fields that overlap would be a trap: which of two takes a click, no two viewers agree on.
    """
    return tuple(
        (cell, (left, bottom, right, top - _STRIP * place.cell))
        for cell, (left, bottom, right, top) in _empty(place, values)
    )


def notes_fields(place: GridPlace, values: Values, table: Table) -> list[NotesField]:
    """The strip along the top of each cell without a digit, to type notes into."""
    found, high, n = [], _STRIP * place.cell, place.size
    size = max(_NOTES, min(0.9 * high, (place.cell - 3) / (0.5 * n + 0.3)))
    for cell, (left, _, right, top) in _empty(place, values):
        row, column = divmod(cell, n)
        name = f"{table.name}-{cell_name(cell, n)}-notes"
        words = f"{table.known}, notes in row {row + 1}, column {column + 1}"
        box = (left + 1, top - high, right - 1, top - 1)
        found.append(NotesField(box, name, words, n, size, Tag("Form")))
    return found


def _empty(place: GridPlace, values: Values) -> list[tuple[int, Box]]:
    return [(cell, place.box(cell)) for cell, digit in enumerate(values) if not digit]


def in_words(values: Values, size: int) -> str:
    """``9 by 9 grid; row 1: blank, blank, 3, ...``: a grid as the alternative text of a figure."""
    rows = []
    for row in range(size):
        cells = values[row * size : row * size + size]
        told = ", ".join(SYMBOLS[digit] if digit else "blank" for digit in cells)
        rows.append(f"row {row + 1}: {told}")
    return f"{size} by {size} grid; " + "; ".join(rows)


def lines(sheet: PageDesign, geometry: Geometry, place: GridPlace) -> list[Item]:
    """Every cell line thin, borders of blocks and regions heavy, and the frame."""
    weights, n = sheet.layout.lines, geometry.size
    lighter = lightness(place.cell)
    thin = [(0, k, n, k) for k in range(1, n)] + [(k, 0, k, n) for k in range(1, n)]
    heavy = _borders(n, geometry.regions) if geometry.regions else ()
    frame = ((0, 0, n, 0), (0, n, n, n), (0, 0, 0, n), (n, 0, n, n))
    items: list[Item] = [Strokes(weights.cell * lighter, _placed(thin, place))]
    if heavy:
        items.append(Strokes(weights.border * lighter, _placed(heavy, place), square=True))
    items.append(Strokes(weights.frame * lighter, _placed(frame, place), square=True))
    return items


def lightness(cell: float) -> float:
    """What line weights are multiplied by: full lines would make small grids look all line."""
    return min(1.0, max(0.65, cell / _FULL_WEIGHT))


@cache
def _borders(size: int, regions: tuple[int, ...]) -> tuple[tuple[int, int, int, int], ...]:
    """Inner borders as the longest straight runs, in cells from the upper left corner."""

    def runs(apart: Sequence[bool]) -> Iterable[tuple[int, int]]:
        start = None
        for k, edge in enumerate((*apart, False)):
            if edge and start is None:
                start = k
            elif not edge and start is not None:
                yield start, k
                start = None

    found = []
    for k in range(1, size):
        upright = [regions[r * size + k - 1] != regions[r * size + k] for r in range(size)]
        level = [regions[(k - 1) * size + c] != regions[k * size + c] for c in range(size)]
        found += [(k, a, k, b) for a, b in runs(upright)]
        found += [(a, k, b, k) for a, b in runs(level)]
    return tuple(found)


def _placed(segments: Iterable[tuple[int, int, int, int]], place: GridPlace) -> tuple[Segment, ...]:
    x, top, cell = place.x, place.top, place.cell
    return tuple(
        (x + a * cell, top - b * cell, x + c * cell, top - d * cell) for a, b, c, d in segments
    )


def _centred(place: GridPlace, face: str, size: float, values: Values
             ) -> Iterable[tuple[float, float, str]]:  # fmt: skip
    half, down = place.cell / 2, place.cell / 2 + FIGURE_HEIGHT * size / 2
    wide = {digit: width(SYMBOLS[digit], face, size) / 2 for digit in {*values}}
    for cell, digit in enumerate(values):
        if digit:
            row, column = divmod(cell, place.size)
            x = place.x + column * place.cell + half - wide[digit]
            yield x, place.top - row * place.cell - down, SYMBOLS[digit]
