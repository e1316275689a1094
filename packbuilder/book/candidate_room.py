"""Room for candidates: how large they may be in the cells that a step speaks of.

In a cell that loses some stand two storeys, what stays above what goes. Plain arithmetic in cells
and type sizes, so that a book knows which of its hints an edition can show.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from math import ceil
from typing import NamedTuple

from packbuilder.ladder.hints import Hint
from packbuilder.rules.shapes import Corner, Edge, Fence, Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT

LONE, USUAL = 0.42, 0.30
"""The type size of candidates in cells: where no storey has more than one, and else."""

_WIDE, _HIGH = 0.83, 0.80  # of a cell: their room
_BETWEEN_DOTS = 0.68  # of a cell: its width where dots stand on edges, with white beside them
_IN_FENCE = 0.72  # of a cell: its width in a frame that stands within a fence
_UNDER_CORNER = 0.31  # of a cell: what text in a corner takes from it
DIGIT, BETWEEN, ROW, FLOOR, CROSS = 0.5, 0.1, 0.74, 0.34, 0.36
"""In type sizes: a digit's width, the white beside it, from row to row, what the line between
storeys takes, and what a cross takes after a digit."""


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
    fits = (fit(s, room)[0] for s in found.values())
    return min(*fits, max(wanted, LONE) if is_lone(hint) else wanted, 1.0)


def fit(some: Storeys, room: Room, size: float = 0.0) -> tuple[float, int]:
    """The largest type size at which a cell's candidates have room, and how many are in a row; at a
    ``size`` that is smaller, the most that go in a row."""
    count = max(len(some.stay), len(some.go))
    best = (0.0, 1)
    for across in range(1, count + 1):
        above, below = some.rows(across)
        crossed_row = len(below[-1]) if below else 0
        widest = max(map(len, (*above, *below)))
        wide = max(_row(widest), _row(crossed_row) + CROSS * bool(below))
        fits = min(room.wide / wide, room.high / height(len(above), len(below)))
        if fits > best[0] or (0 < size <= fits):
            best = (fits, across)
    return best


def _row(count: int) -> float:
    return count * DIGIT + (count - 1) * BETWEEN


def height(above: int, below: int) -> float:
    """Of so many rows, in type sizes."""
    return FIGURE_HEIGHT + ROW * (above + below - 1) + FLOOR * (above > 0 and below > 0)


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
