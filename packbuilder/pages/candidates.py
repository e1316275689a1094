"""Candidates: small digits in the cells that a step speaks of, what stays above what goes.

In a cell that loses some stand two storeys: what stays, a line, and what goes with one cross after
it. Nothing is drawn across a digit.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from math import ceil
from typing import NamedTuple

from packbuilder.grid import SYMBOLS
from packbuilder.ladder.hints import Hint
from packbuilder.pages.evidence_marks import crossed
from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.items import Glyphs, Item, Segment, Strokes
from packbuilder.rules.shapes import Corner, Edge, Fence, Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

CANDIDATE = "SourceSansPro-Semibold"
"""The face of candidates: small, they must be as strong as clues are."""

LONE, USUAL = 0.42, 0.30
"""Their type size in cells: where no storey has more than one, and else."""

_WIDE, _HIGH = 0.83, 0.80  # of a cell: their room
_BETWEEN_DOTS = 0.74  # of a cell: its width where dots stand on edges
_IN_FENCE = 0.72  # of a cell: its width in a frame that stands within a fence
_UNDER_CORNER = 0.31  # of a cell: what text in a corner takes from it
_SILL = 0.335  # of a cell: how far below its middle a frame within a fence begins
_DIGIT, _GAP, _ROW, _FLOOR = 0.5, 0.1, 0.74, 0.34  # ems: width, white beside, row to row, the line
_CROSS, _ARM = 0.36, 0.14  # ems: what a cross takes after a digit, and half of it
_LINE = 0.5  # points


class Storeys(NamedTuple):
    """The candidates of a cell: those that stay and those that go."""

    stay: tuple[int, ...]
    go: tuple[int, ...]

    def rows(self, across: int) -> tuple[list[tuple[int, ...]], list[tuple[int, ...]]]:
        """Both in rows of so many at most."""
        return _rows(self.stay, across), _rows(self.go, across)


def storeys(hint: Hint) -> dict[int, Storeys]:
    """The candidates of each cell that shows some."""
    struck = set(hint.struck)
    return {
        cell: Storeys(
            tuple(d for d in digits if (cell, d) not in struck),
            tuple(d for d in digits if (cell, d) in struck),
        )
        for cell, digits in hint.shown
    }


class Room(NamedTuple):
    """What candidates have of a cell, in cells."""

    wide: float
    high: float
    lower: float

    @classmethod
    def among(cls, shapes: Iterable[Shape]) -> Room:
        """The room that a puzzle's marks leave."""
        some = list(shapes)
        dots = any(isinstance(s, Edge) and s.mark in ("white", "black") for s in some)
        taken = (_UNDER_CORNER - 0.1) * has_corners(some)
        fenced = any(isinstance(s, Fence) for s in some)
        wide = _IN_FENCE if fenced else _BETWEEN_DOTS if dots else _WIDE
        return cls(wide, _HIGH - taken, taken / 2)


def has_corners(shapes: Iterable[Shape]) -> bool:
    """Whether text in the corners of cells takes room from candidates."""
    return any(isinstance(shape, Corner) for shape in shapes)


def is_lone(hint: Hint) -> bool:
    """Whether no cell of a hint shows more than one candidate that stays, or one that goes."""
    return all(len(some.stay) < 2 and len(some.go) < 2 for some in storeys(hint).values())


def candidate_size(hint: Hint, shapes: Iterable[Shape] = (), wanted: float = USUAL) -> float:
    """The type size of a hint's candidates, in cells: no more than ``wanted`` if cells show
    several, and so small that those of every cell have room."""
    found, room = storeys(hint), Room.among(shapes)
    fits = (_fit(s, room)[0] for s in found.values())
    return min(*fits, max(wanted, LONE) if is_lone(hint) else wanted, 1.0)


def candidates(place: GridPlace, hint: Hint, shapes: Iterable[Shape], size: float) -> list[Item]:
    """The candidates of a hint at a type size in points: digits, lines between storeys, crosses."""
    room, glyphs, cells = Room.among(shapes), list[tuple[float, float, str]](), list[int]()
    under_corners = {shape.cell for shape in shapes if isinstance(shape, Corner)}
    floors, crosses = list[Segment](), list[Segment]()
    for cell, some in storeys(hint).items():
        _, across = _fit(some, room, size / place.cell)
        above, below = some.rows(across)
        high = _height(len(above), len(below)) * size
        x, y = place.middle(cell)
        y += high / 2
        if cell in under_corners:
            y -= max(0.0, min(room.lower * place.cell, _SILL * place.cell - high / 2))
        for k, row in enumerate((*above, *below)):
            last = k + 1 == len(above) + len(below) and bool(below)
            base = y - FIGURE_HEIGHT * size - (_ROW * k + _FLOOR * (k >= len(above) > 0)) * size
            end = _set_row(glyphs, row, (x, base), size, last=last)
            cells += [cell] * len(row)
            if last:
                mark = (end + (_ARM + 0.07) * size, base + (FIGURE_HEIGHT - _ARM) * size)
                crosses += crossed(*mark, _ARM * size)
        if above and below:
            middle = (_ROW + _FLOOR - FIGURE_HEIGHT) / 2
            level = y - (FIGURE_HEIGHT + _ROW * (len(above) - 1) + middle) * size
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
    gap = _GAP * size
    x = middle[0] - (sum(wide) + gap * (len(row) - 1) + _CROSS * size * last) / 2
    for d, w in zip(row, wide, strict=True):
        glyphs.append((x, middle[1], SYMBOLS[d]))
        x += w + gap
    return x - gap


def _fit(some: Storeys, room: Room, size: float = 0.0) -> tuple[float, int]:
    """The largest type size at which a cell's candidates have room, and how many are in a row; at a
    ``size`` that is smaller, the most that go in a row."""
    count = max(len(some.stay), len(some.go))
    best = (0.0, 1)
    for across in range(1, count + 1):
        above, below = some.rows(across)
        crossed_row = len(below[-1]) if below else 0
        widest = max(map(len, (*above, *below)))
        wide = max(_row(widest), _row(crossed_row) + _CROSS * bool(below))
        fits = min(room.wide / wide, room.high / _height(len(above), len(below)))
        if fits > best[0] or (0 < size <= fits):
            best = (fits, across)
    return best


def _row(count: int) -> float:
    return count * _DIGIT + (count - 1) * _GAP


def _height(above: int, below: int) -> float:
    """Of so many rows, in type sizes."""
    return FIGURE_HEIGHT + _ROW * (above + below - 1) + _FLOOR * (above > 0 and below > 0)


def _rows(digits: Collection[int], across: int) -> list[tuple[int, ...]]:
    """Digits in as few rows as can be, as even as can be."""
    some = list(digits)
    count = ceil(len(some) / across)
    return list(_evenly(some, count)) if count else []


def _evenly(some: Sequence[int], count: int) -> Iterator[tuple[int, ...]]:
    start = 0
    for k in range(count):
        end = start + ceil((len(some) - start) / (count - k))
        yield tuple(some[start:end])
        start = end
