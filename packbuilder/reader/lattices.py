"""From strokes to grids: which lines stand evenly, cross each other, and how wide each piece is.

A grid of size n is n+1 level lines and n+1 upright lines at one even pitch, each drawn over most
of its length. Lines may come as long strokes, as a stroke a cell, as rectangles, in any order and
more than once; what counts is what is covered.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import median_low
from typing import NamedTuple

from packbuilder.grid import MAX_SIZE, MIN_SIZE
from packbuilder.reader.marks import Box, Stroke

SAME = 0.6
"""Strokes that stand nearer than this (points) are one line."""
TOUCH = 1.6
"""Ends this near (points) touch: thin lines may stop at a heavy frame's inner edge."""
UNEVEN = 0.04
"""How far a line may stand off its even place, in cells (or SAME, where that is more)."""
WHOLE = 0.6
"""Share of its length that must be drawn for a line to be taken for a cell line at all."""
HEAVIER = 2.0
"""A border is at least so many times as wide as a cell line (the house style)."""
BORDER = 1.4
"""From this ratio a line is meant as a border, even where it is thinner than it must be."""

MIN_ROWS = 2
"""Rows of a corner of a grid, at least."""

FAR = 15_000.0
"""Points; no PDF page reaches further (ISO 32000-1, annex C: 14,400)."""


@dataclass(frozen=True)
class Lattice:
    """The lines of a grid, or of a corner of one that has no more rows than columns.

    ``x`` runs from the left, ``y`` from the top down (falling values).

    ``across[k][c]`` is the width of line k (above row k) over column c; ``down[k][r]`` that of
    upright line k (left of column k) beside row r; 0 where nothing is drawn.
    """

    x: tuple[float, ...]
    y: tuple[float, ...]
    across: tuple[tuple[float, ...], ...]
    down: tuple[tuple[float, ...], ...]

    @property
    def size(self) -> int:
        """Cells along one side: across."""
        return len(self.x) - 1

    @property
    def rows(self) -> int:
        """Cells down: as many as across, but in a corner of a grid."""
        return len(self.y) - 1

    @property
    def cells(self) -> range:
        """All cells, counted row by row."""
        return range(self.rows * self.size)

    @property
    def pitch(self) -> float:
        """The side of a cell, in points."""
        return (self.x[-1] - self.x[0]) / self.size

    @property
    def box(self) -> Box:
        """Left, bottom, right, top."""
        return self.x[0], self.y[-1], self.x[-1], self.y[0]

    def cell_at(self, x: float, y: float) -> int | None:
        """The cell that holds a point; None outside."""
        column = bisect_right(self.x, x) - 1
        row = bisect_right(self._rising, -y) - 1
        if 0 <= column < self.size and 0 <= row < self.rows:
            return row * self.size + column
        return None

    def nearest(self, x: float, y: float) -> int:
        """The cell that is nearest to a point."""
        left, bottom, right, top = self.box
        edge = self.pitch / 2
        cell = self.cell_at(
            min(max(x, left + edge), right - edge), min(max(y, bottom + edge), top - edge)
        )
        assert cell is not None  # clamped into the grid
        return cell

    def middle(self, cell: int) -> tuple[float, float]:
        """The middle of a cell."""
        row, column = divmod(cell, self.size)
        return (
            (self.x[column] + self.x[column + 1]) / 2,
            (self.y[row] + self.y[row + 1]) / 2,
        )

    @cached_property
    def _rising(self) -> tuple[float, ...]:
        return tuple(-v for v in self.y)

    def inner(self) -> list[tuple[int, int, float]]:
        """Every line piece between two cells: (cell, cell right of it or below it, width)."""
        n, rows = self.size, self.rows
        upright = [
            (r * n + c - 1, r * n + c, self.down[c][r]) for r in range(rows) for c in range(1, n)
        ]
        level = [
            ((r - 1) * n + c, r * n + c, self.across[r][c])
            for r in range(1, rows)
            for c in range(n)
        ]
        return upright + level

    def frame(self) -> list[tuple[int, float]]:
        """Every piece of the outer frame: (the cell inside it, width)."""
        n = self.size
        return [
            piece
            for k in range(n)
            for piece in (
                (k, self.across[0][k]),
                ((n - 1) * n + k, self.across[n][k]),
                (k * n, self.down[0][k]),
                (k * n + n - 1, self.down[n][k]),
            )
        ]

    @cached_property
    def thin(self) -> float:
        """The width of a cell line: the middle one of all pieces between two cells.

        At least half of them part cells of one region, in any partition into equal regions.
        """
        return median_low([w for _, _, w in self.inner() if w > 0] or [0.0])

    @cached_property
    def regions(self) -> tuple[int, ...] | None:
        """The regions that the borders part, an index a cell from 0; None where there is one."""
        n = self.size
        region = list(range(n * n))

        def root(i: int) -> int:
            while region[i] != i:
                region[i] = region[region[i]]
                i = region[i]
            return i

        for a, b, width in self.inner():
            if width < BORDER * self.thin:
                region[root(a)] = root(b)
        names: dict[int, int] = {}
        found = tuple(names.setdefault(root(i), len(names)) for i in range(n * n))
        return found if len(names) > 1 else None


class Broken(NamedTuple):
    """Lines that look like a grid and are none: where they stand and what is wrong."""

    box: Box
    why: str


class _Bar(NamedTuple):
    """A level or upright run of touching strokes: its place, and from where to where."""

    at: float
    low: float
    high: float


def lattices(
    strokes: Iterable[Stroke], *, corners: bool = False
) -> tuple[list[Lattice], list[Broken]]:
    """The grids among a page's strokes, from the top left, and what only looks like one.

    With ``corners``, corners of grids are found too: of two rows and four columns or more.
    """
    level, upright = [], []
    for s in strokes:
        if max(map(abs, s[:4])) > FAR:
            continue
        if abs(s.y0 - s.y1) < 0.1 and abs(s.x0 - s.x1) > 1:
            level.append((_Bar(s.y0, min(s.x0, s.x1), max(s.x0, s.x1)), s.width))
        elif abs(s.x0 - s.x1) < 0.1 and abs(s.y0 - s.y1) > 1:
            upright.append((_Bar(s.x0, min(s.y0, s.y1), max(s.y0, s.y1)), s.width))
    found: list[Lattice] = []
    broken: list[Broken] = []
    least = MIN_ROWS if corners else MIN_SIZE
    bars = _merge(b for b, _ in level), _merge(b for b, _ in upright)
    for rows, columns in _crossings(*bars, least):
        lines = _lines(rows, columns, corners=corners)
        if isinstance(lines, Broken):
            broken.append(lines)
        elif lines:
            x, y = lines
            found.append(
                Lattice(
                    x, y, _widths(level, y, x), _widths(upright, x, tuple(reversed(y)), flip=True)
                )
            )
    return sorted(found, key=lambda g: (-g.y[0], g.x[0])), broken


def _merge(bars: Iterable[_Bar]) -> list[_Bar]:
    """Bars at the same place that touch become one, at the place of its own middle one."""
    merged: list[_Bar] = []
    line: list[_Bar] = []
    for bar in [*sorted(bars), _Bar(float("inf"), 0, 0)]:
        if line and bar.at - line[0].at > SAME:
            run: list[_Bar] = []
            for part in sorted(line, key=lambda b: b.low):
                if run and part.low > max(b.high for b in run) + TOUCH:
                    merged.append(_whole(run))
                    run = []
                run.append(part)
            merged.append(_whole(run))
            line = []
        line.append(bar)
    return merged


def _whole(run: Sequence[_Bar]) -> _Bar:
    """The bar that bars make up."""
    at = sorted(run)[len(run) // 2].at  # not of all of a page: another grid's may stand close by
    return _Bar(at, min(b.low for b in run), max(b.high for b in run))


def _crossings(
    level: Sequence[_Bar], upright: Sequence[_Bar], least: int
) -> list[tuple[list[_Bar], list[_Bar]]]:
    """Groups of bars that touch, directly or through others; those that may hold a grid."""
    group = list(range(len(level) + len(upright)))

    def root(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    for i, bar in enumerate(level):
        for j, post in enumerate(upright, start=len(level)):
            if (
                bar.low - TOUCH <= post.at <= bar.high + TOUCH
                and post.low - TOUCH <= bar.at <= post.high + TOUCH
            ):
                group[root(i)] = root(j)
    found: dict[int, tuple[list[_Bar], list[_Bar]]] = {}
    for i, bar in enumerate([*level, *upright]):
        found.setdefault(root(i), ([], []))[i >= len(level)].append(bar)
    return [pair for pair in found.values() if min(map(len, pair)) >= least]


def _lines(
    rows: Sequence[_Bar], columns: Sequence[_Bar], *, corners: bool
) -> tuple[tuple[float, ...], tuple[float, ...]] | Broken | None:
    """The even line places (x rising, y falling) of a group of bars; None where it is no grid."""
    x = _long(columns, min(b.at for b in rows), max(b.at for b in rows))
    y = _long(rows, min(b.at for b in columns), max(b.at for b in columns))
    if len(x) <= MIN_SIZE or len(y) <= (MIN_ROWS if corners else MIN_SIZE):
        return None
    box = (x[0], y[0], x[-1], y[-1])
    if len(y) > len(x) if corners else len(x) != len(y):
        return Broken(box, f"it has {len(y) - 1} rows and {len(x) - 1} columns")
    size = len(x) - 1
    if not MIN_SIZE <= size <= MAX_SIZE:
        return Broken(box, f"it has {size} rows; grids have {MIN_SIZE} to {MAX_SIZE}")
    pitch = (x[-1] - x[0]) / size
    slack = max(SAME, UNEVEN * pitch)
    for places, what in ((x, "columns"), (y, "rows")):
        step = (places[-1] - places[0]) / (len(places) - 1)
        if any(abs(v - places[0] - k * step) > slack for k, v in enumerate(places)):
            return Broken(box, f"its {what} are not evenly spaced")
    if abs(pitch - (y[-1] - y[0]) / (len(y) - 1)) * size > slack:
        return Broken(box, "its cells are not square")
    return tuple(x), tuple(reversed(y))


def _long(bars: Sequence[_Bar], low: float, high: float) -> list[float]:
    """The places at which bars cover most of the way from ``low`` to ``high``, rising."""
    covered: dict[float, float] = {}
    for bar in bars:
        covered[bar.at] = covered.get(bar.at, 0.0) + min(bar.high, high) - max(bar.low, low)
    return sorted(at for at, length in covered.items() if length >= WHOLE * (high - low))


def _widths(
    strokes: Sequence[tuple[_Bar, float]],
    places: Sequence[float],
    steps: Sequence[float],
    *,
    flip: bool = False,
) -> tuple[tuple[float, ...], ...]:
    """For each line place, the width drawn over each step (rising); ``flip`` turns steps round."""
    size = len(steps) - 1
    slack = (steps[-1] - steps[0]) / size * 0.15
    first, last = min(places) - SAME, max(places) + SAME
    table = [[0.0] * size for _ in places]
    for bar, width in strokes:
        if bar.high < steps[0] or bar.low > steps[-1] or not first <= bar.at <= last:
            continue
        for k, place in enumerate(places):
            if abs(bar.at - place) <= SAME:
                for c in range(size):
                    if bar.low <= steps[c] + slack and bar.high >= steps[c + 1] - slack:
                        table[k][c] = max(table[k][c], width)
    return tuple(tuple(reversed(row)) if flip else tuple(row) for row in table)
