"""One painted path, measured in cells: its tones, and the simple forms that it may have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import hypot

from packbuilder.reader.drawn.style import Frame, Point, Tone, near, tone
from packbuilder.reader.marks import Drawing


@dataclass(frozen=True)
class Figure:
    """A path in cells; ``stroke`` and ``fill`` are its tones, None where it has another or none."""

    drawing: Drawing
    tracks: tuple[tuple[Point, ...], ...]
    stroke: Tone | None
    fill: Tone | None

    @property
    def width(self) -> float:
        """How wide its stroke is, in points; 0 where it is not stroked."""
        return self.drawing.brush.width if self.drawing.brush else 0.0

    @property
    def dash(self) -> tuple[float, ...]:
        """The dashes of its stroke, in points."""
        return self.drawing.brush.dash if self.drawing.brush else ()

    @property
    def closed(self) -> bool:
        """Whether each of its tracks comes back to its start."""
        return all(track.closed for track in self.drawing.tracks)

    @property
    def straight(self) -> bool:
        """Whether it has no curve."""
        return not any(track.curved for track in self.drawing.tracks)

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of its points."""
        xs, ys = zip(*(point for track in self.tracks for point in track), strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def middle(self) -> Point:
        """The middle of its box."""
        left, top, right, bottom = self.box
        return (left + right) / 2, (top + bottom) / 2

    @property
    def stroked_only(self) -> bool:
        """Whether it is stroked and not filled."""
        return self.drawing.brush is not None and not self.drawing.filled


def figures(frame: Frame, drawings: Iterable[Drawing]) -> Iterator[Figure]:
    """The paths in and near a grid, in the order in which they were painted."""
    for drawing in drawings:
        left, bottom, right, top = drawing.box
        (x0, y0), (x1, y1) = frame.place(left, top), frame.place(right, bottom)
        reach = 1 + (drawing.brush.width / 2 / frame.cell if drawing.brush else 0.0)
        if x1 > -reach and y1 > -reach and x0 < frame.size + reach and y0 < frame.size + reach:
            tracks = tuple(tuple(frame.place(x, y) for x, y in t.points) for t in drawing.tracks)
            stroke = tone(drawing.brush.colour) if drawing.brush else None
            fill = tone(drawing.fill) if drawing.filled else None
            yield Figure(drawing, tracks, stroke, fill)


def is_inside(figure: Figure, frame: Frame) -> bool:
    """Whether a path reaches into a grid and is more than pieces of its cell lines.

    A white one need only reach its frame, which it may hide.
    """
    n, rows, reach = frame.size, frame.rows, figure.width / 2 / frame.cell - frame.slack
    if "white" in (figure.stroke, figure.fill):
        reach += 2 * frame.slack
    left, top, right, bottom = figure.box
    touches = right > -reach and bottom > -reach and left < n + reach and top < rows + reach
    return touches and not is_lines(figure, frame)


def is_lines(figure: Figure, frame: Frame) -> bool:
    """Whether a path is nothing but black sides of cells (or what lies outside)."""
    n, slack = frame.size, 2 * frame.slack
    if figure.drawing.filled or figure.dash or not figure.straight or figure.stroke != "ink":
        return False
    for points, track in zip(figure.tracks, figure.drawing.tracks, strict=True):
        for (ax, ay), (bx, by) in pairwise([*points, *points[: track.closed]]):
            outside = (
                max(ax, bx) < -slack
                or min(ax, bx) > n + slack
                or max(ay, by) < -slack
                or min(ay, by) > frame.rows + slack
            )
            along = near(ax, bx, slack) or near(ay, by, slack)
            # where a corner of a grid ends, its lines go on
            ends = [min(max(v, 0.0), n) for v in (ax, bx)]
            ends += [min(max(v, 0.0), frame.rows) for v in (ay, by)]
            whole = all(near(v, round(v), slack) for v in ends)
            if not (outside or (along and whole)):
                return False
    return True


def circle(figure: Figure, radius: float, frame: Frame) -> Point | None:
    """The middle of a circle of a radius; None for anything else."""
    if len(figure.tracks) != 1 or figure.straight or not figure.closed:
        return None
    xs, ys = zip(*figure.tracks[0], strict=True)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    slack = frame.slack / 2
    round_ = all(near(hypot(a - x, b - y), radius, slack) for a, b in figure.tracks[0])
    return (x, y) if round_ else None


def cell_at(x: float, y: float, frame: Frame, reach: float) -> int | None:
    """The cell whose centre a point (in cells) is within reach of."""
    column, row = int(x // 1), int(y // 1)
    on_grid = 0 <= column < frame.size and 0 <= row < frame.size
    if on_grid and hypot(x - column - 0.5, y - row - 0.5) <= reach:
        return row * frame.size + column
    return None


def gap(a: Point, b: Point) -> float:
    """How far two points lie apart, across or down."""
    return max(abs(a[0] - b[0]), abs(a[1] - b[1]))


def has_dashes(figure: Figure, due: Sequence[float], frame: Frame) -> bool:
    """Whether a stroke's dashes are these (cells), with plain ends: others make them longer."""
    brush = figure.drawing.brush
    return (
        brush is not None
        and brush.cap == 0
        and len(figure.dash) == len(due)
        and all(
            abs(a - b * frame.cell) <= max(b * frame.cell / 6, 0.06)
            for a, b in zip(figure.dash, due, strict=True)
        )
    )


def square(figure: Figure, side: float, frame: Frame) -> int | None:
    """The cell in whose middle a level square stands; None for anything else."""
    if len(figure.tracks) != 1 or not figure.straight or len(figure.tracks[0]) != 4:
        return None
    (x, y), half, slack = figure.middle, side / 2, frame.slack
    corners = all(
        near(abs(a - x), half, slack) and near(abs(b - y), half, slack) for a, b in figure.tracks[0]
    )
    return cell_at(x, y, frame, slack) if corners else None
