"""Candidates: small digits in the cells that a step speaks of, what stays above what goes.

In a cell that loses some stand two storeys: what stays, a line, and what goes with one cross after
it. Nothing is drawn across a digit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from packbuilder.book.candidate_room import (
    BETWEEN,
    CROSS,
    FLOOR,
    ROW,
    Room,
    fit,
    height,
    storeys,
)
from packbuilder.grid import SYMBOLS
from packbuilder.ladder.hints import Hint
from packbuilder.pages.evidence_marks import crossed
from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.items import Glyphs, Item, Segment, Strokes
from packbuilder.rules.shapes import Corner, Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

CANDIDATE = "SourceSansPro-Semibold"
"""The face of candidates: small, they must be as strong as clues are."""

_SILL = 0.335  # of a cell: how far below its middle a frame within a fence begins
_ARM = 0.14  # ems: half of a cross
_LINE = 0.5  # points


def candidates(place: GridPlace, hint: Hint, shapes: Iterable[Shape], size: float) -> list[Item]:
    """The candidates of a hint at a type size in points: digits, lines between storeys, crosses."""
    room, glyphs, cells = Room.among(shapes), list[tuple[float, float, str]](), list[int]()
    under_corners = {shape.cell for shape in shapes if isinstance(shape, Corner)}
    floors, crosses = list[Segment](), list[Segment]()
    for cell, some in storeys(hint).items():
        _, across = fit(some, room, size / place.cell)
        above, below = some.rows(across)
        high = height(len(above), len(below)) * size
        x, y = place.middle(cell)
        y += high / 2
        if cell in under_corners:
            y -= max(0.0, min(room.lower * place.cell, _SILL * place.cell - high / 2))
        for k, row in enumerate((*above, *below)):
            last = k + 1 == len(above) + len(below) and bool(below)
            base = y - FIGURE_HEIGHT * size - (ROW * k + FLOOR * (k >= len(above) > 0)) * size
            end = _set_row(glyphs, row, (x, base), size, last=last)
            cells += [cell] * len(row)
            if last:
                mark = (end + (_ARM + 0.07) * size, base + (FIGURE_HEIGHT - _ARM) * size)
                crosses += crossed(*mark, _ARM * size)
        if above and below:
            middle = (ROW + FLOOR - FIGURE_HEIGHT) / 2
            level = y - (FIGURE_HEIGHT + ROW * (len(above) - 1) + middle) * size
            half = 0.36 * place.cell
            floors.append((x - half, level, x + half, level))
    items: list[Item] = []
    if glyphs:
        items.append(Glyphs(CANDIDATE, size, tuple(glyphs), cells=tuple(cells)))
    if floors:
        items.append(Strokes(_LINE, tuple(floors)))
    if crosses:
        items.append(Strokes(max(0.6, 0.1 * size), tuple(crosses)))
    return items


def _set_row(
    glyphs: list[tuple[float, float, str]],
    row: Sequence[int],
    middle: tuple[float, float],
    size: float,
    *,
    last: bool,
) -> float:
    """Set a row of digits about a middle, with room for a cross if it is the last; its end."""
    wide = [width(SYMBOLS[d], CANDIDATE, size) for d in row]
    gap = BETWEEN * size
    x = middle[0] - (sum(wide) + gap * (len(row) - 1) + CROSS * size * last) / 2
    for d, w in zip(row, wide, strict=True):
        glyphs.append((x, middle[1], SYMBOLS[d]))
        x += w + gap
    return x - gap
