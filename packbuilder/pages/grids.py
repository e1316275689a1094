"""Grids: cell lines, heavy borders, digits and candidates, as items."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from functools import cache
from typing import NamedTuple

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.pages.chain_links import links
from packbuilder.pages.evidence_marks import crossed, evidence_marks
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.rule_marks import over, under_corner
from packbuilder.pages.rule_shapes import lined, under
from packbuilder.pages.stripes import stripes
from packbuilder.plan.items import (
    Box,
    Disc,
    Fills,
    Glyphs,
    Item,
    NotesField,
    Rings,
    Segment,
    Strokes,
    Tag,
)
from packbuilder.rules.shapes import Corner, Edge, Fence, Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

CLUE, FOUND, CANDIDATE = "SourceSansPro-Semibold", "SourceSansPro-Light", "SourceSansPro-Regular"
"""Faces of digits: the house's, so that clues are always told from what a solver writes."""

_CROSS = 0.14  # of the type size: half a cross beside a candidate
_STRIP = 0.24  # of a cell: what is kept at its top for typing notes
_NOTES = 6.5  # points: no note is smaller; more than have room slide along
_FULL_WEIGHT = 34.0  # points: cells from here on have lines of their full weight


class Crowd(NamedTuple):
    """What stands in cells besides candidates: text in corners, dots on edges."""

    corners: bool = False
    dots: bool = False


_ALONE = Crowd()


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
) -> list[Item]:
    """A grid with its digits: those of ``clues`` as clues, the others of ``all_digits`` light.

    ``shapes`` are those of its rules; none of their lines runs through ``bare`` cells. ``ground``
    lies over those lines, ``rings`` over the cell lines too, but under the marks on edges.
    ``letters`` stand in empty cells, where no digit makes room for them. Without a
    geometry, ``ruled`` are its lines.
    """
    place = replace(place, small=sheet.least.small)
    size = place.cell * sheet.layout.digit
    if crowd_of(shapes).corners:  # digits make a little room for the text above them
        size = max(min(size * 0.9, under_corner(place)), sheet.least.text)
    found = tuple(0 if clue else digit for clue, digit in zip(clues, all_digits, strict=True))
    printed = [cell for cell, digit in enumerate(all_digits) if digit]
    light = [cell for cell, digit in enumerate(found) if digit]
    if geometry is not None:
        ruled = lines(sheet, geometry, place)
    below = [*under(place, shapes, printed, bare, light), *ground, *ruled]
    items = [*below, *rings, *over(place, shapes), *over(place, letters)]
    for face, values in ((CLUE, clues), (FOUND, found)):
        if any(values):
            cells = tuple(cell for cell, digit in enumerate(values) if digit)
            places = tuple(_centred(place, face, size, values))
            items.append(Glyphs(face, size, places, cells=cells))
    return items


def hint_grid(
    sheet: PageDesign,
    geometry: Geometry,
    place: GridPlace,
    clues: Values,
    hint: Hint,
    shapes: Sequence[Shape] = (),
) -> list[Item]:
    """The position of a hint: the step's cells shaded and ringed, its candidates in small.

    Its evidence is marked: see `evidence_marks`. Cells on which the step rests are grey. Those in
    which it acts have a heavy ring, and in it the digit that it writes; or else stripes, and a
    small cross beside each candidate that it strikes.
    """
    acts = sorted({cell for cell, _ in (*hint.step.places, *hint.step.removes)})
    rests = sorted(set(hint.step.cells) - set(acts))
    shaded = Fills(tuple(place.box(cell) for cell in rests), "shade")
    fenced = any(isinstance(shape, Fence) for shape in shapes)
    rings = _rings(sheet, place, rests, acts, fenced=fenced)
    crowd = crowd_of(shapes)
    taken = _taken(place, hint, crowd)
    bare = {cell for cell, _ in hint.shown}
    crossed = bare & lined(shapes, place.size)
    under_lines, over_lines = (
        stripes(place, [cell for cell in hint.loses if (cell in crossed) is above], taken)
        for above in (False, True)
    )
    return [
        *([shaded] if rests else []),
        *under_lines,
        *grid(
            sheet,
            geometry,
            place,
            clues,
            hint.pictured,
            shapes,
            rings=rings,
            bare=bare,
            ground=over_lines,
        ),
        *evidence_marks(place, geometry, hint),
        *_candidates(place, hint, crowd),
        *_links(place, hint, crowd),
    ]


def _rings(
    sheet: PageDesign, place: GridPlace, rests: Sequence[int], acts: Sequence[int], *, fenced: bool
) -> list[Item]:
    """Light rings where a step rests, heavy ones where it acts."""
    border = sheet.layout.lines.border * lightness(place.cell) / 2
    # more candidates, or a fence, leave less room for the ring
    heavy, clear = (1.1, 0.0) if fenced else (1.3 if place.size <= 9 else 1.0, 0.4)
    items: list[Item] = []
    for cells, weight in ((rests, 0.45), (acts, heavy)):
        if cells:
            inset = clear + weight / 2 + border
            boxes = tuple(_inset(place.box(cell), inset) for cell in cells)
            items.append(Rings(weight, place.cell * 0.1, boxes))
    return items


def _links(place: GridPlace, hint: Hint, crowd: Crowd) -> list[Item]:
    """The links of the step's chain, round the candidates that are shown and the digits."""
    if not hint.shown or len(hint.step.nodes) < 2:
        return []
    spots = {
        (cell, digit): candidate_at(place, cell, digit, crowd)
        for cell, digits in hint.shown
        for digit in digits
    }
    room = candidate_size(place.cell, place.size, crowd) * 0.5
    digits = [
        Disc(*place.middle(cell), 0.24 * place.cell)
        for cell, digit in enumerate(hint.position)
        if digit
    ]
    box = (*place.at(0, place.size), *place.at(place.size, 0))
    return links(hint.step, spots, room, digits, box)


def digit_fields(place: GridPlace, values: Values) -> tuple[tuple[int, Box], ...]:
    """Where a digit is typed into each cell without one, by cell: all of it but a strip for notes.

    Fields that overlap would be a trap: which of two takes a click, no two viewers agree on.
    """
    return tuple(
        (cell, (left, bottom, right, top - _STRIP * place.cell))
        for cell, (left, bottom, right, top) in _empty(place, values)
    )


def notes_fields(place: GridPlace, values: Values, number: int) -> list[NotesField]:
    """The strip along the top of each cell without a digit, to type notes into."""
    found, high, n = [], _STRIP * place.cell, place.size
    size = max(_NOTES, min(0.9 * high, (place.cell - 3) / (0.5 * n + 0.3)))
    for cell, (left, _, right, top) in _empty(place, values):
        row, column = divmod(cell, n)
        name = f"p{number}-{cell_name(cell, n)}-notes"
        words = f"Puzzle {number}, notes in row {row + 1}, column {column + 1}"
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


def crowd_of(shapes: Iterable[Shape]) -> Crowd:
    """What of a puzzle's marks candidates must leave room for."""
    corners = any(isinstance(shape, Corner) for shape in shapes)
    dots = any(isinstance(shape, Edge) and shape.mark in ("white", "black") for shape in shapes)
    return Crowd(corners, dots)


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


def candidate_size(cell: float, size: int, crowd: Crowd = _ALONE) -> float:
    """Type size of candidates in a cell of a hint grid of that size."""
    lattice = _lattice(cell, size, crowd)
    pitch = min(lattice.across, lattice.down) if crowd.corners else lattice.across
    return pitch * 1.22  # a figure is two thirds as high as its type


def lightness(cell: float) -> float:
    """What line weights are multiplied by: full lines would make small grids look all line."""
    return min(1.0, max(0.65, cell / _FULL_WEIGHT))


class _Lattice(NamedTuple):
    """The places of candidates in a cell: how many a side, their pitches, and the first one."""

    side: int
    across: float
    down: float
    left: float
    top: float


def _lattice(cell: float, size: int, crowd: Crowd) -> _Lattice:
    side = 3 if size <= 9 else 4
    margin = 0.11 if size <= 9 else 0.1
    top = bottom = margin
    if crowd.dots:  # figures end where dots begin
        top = bottom = margin + (0.022 if size <= 9 else 0.042)
    if crowd.corners:
        top, bottom = 0.31, 0.11 if crowd.dots else 0.07
    across, down = (1 - 2 * margin) / side, (1 - top - bottom) / side
    left, top = margin + across / 2, top + down / 2
    return _Lattice(side, across * cell, down * cell, left * cell, top * cell)


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


def candidate_at(place: GridPlace, cell: int, digit: int, crowd: Crowd) -> tuple[float, float]:
    """The middle of a candidate's place in its cell."""
    lattice = _lattice(place.cell, place.size, crowd)
    left, _, _, top = place.box(cell)
    row, column = divmod(digit - 1, lattice.side)
    x = left + lattice.left + column * lattice.across
    return x, top - lattice.top - row * lattice.down


def _taken(place: GridPlace, hint: Hint, crowd: Crowd) -> dict[int, list[Box]]:
    """The rooms of the candidates that are shown, by cell, in cells from its upper left corner."""
    side, across, down, left, top = _lattice(1.0, place.size, crowd)
    x, y = left - across / 2, top - down / 2

    def room(digit: int) -> Box:
        row, column = divmod(digit - 1, side)
        return (
            x + column * across,
            y + row * down,
            x + (column + 1) * across,
            y + (row + 1) * down,
        )

    return {cell: [room(digit) for digit in digits] for cell, digits in hint.shown}


def _candidates(place: GridPlace, hint: Hint, crowd: Crowd) -> list[Item]:
    size = candidate_size(place.cell, place.size, crowd)
    arm = size * _CROSS
    struck = set(hint.struck)
    glyphs, strokes, cells = [], list[Segment](), []
    for cell, digits in hint.shown:
        cells += [cell] * len(digits)
        for digit in digits:
            x, y = candidate_at(place, cell, digit, crowd)
            letter = SYMBOLS[digit]
            left = x - width(letter, CANDIDATE, size) / 2
            glyphs.append((left, y - FIGURE_HEIGHT * size / 2, letter))
            if (cell, digit) in struck:
                x += width(letter, CANDIDATE, size) / 2 + arm + 0.02 * size
                y += FIGURE_HEIGHT * size / 2
                strokes += crossed(x, y, arm)
    items: list[Item] = (
        [Glyphs(CANDIDATE, size, tuple(glyphs), cells=tuple(cells))] if glyphs else []
    )
    return items + ([Strokes(max(0.5, 0.09 * size), tuple(strokes))] if strokes else [])


def _inset(box: Box, by: float) -> Box:
    return (box[0] + by, box[1] + by, box[2] - by, box[3] - by)
