"""Lines: the diagonals of a grid, paths through its cells, and the small arrows outside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, hypot
from typing import Literal

from packbuilder.reader.drawn.figure import Figure, cell_at, gap, has_dashes
from packbuilder.reader.drawn.style import (
    ARROW_OFF,
    ARROW_OUT,
    BROAD,
    CAPS,
    DASHES,
    DOUBLE,
    HEAD_ANGLE,
    HEAD_ARM,
    SIDES,
    Frame,
    Point,
    near,
    same_width,
)
from packbuilder.reader.marks import Drawing
from packbuilder.rules.shapes import Diagonal, Path, Shape, Side

Style = Literal["broad", "thin", "double", "dashed", "dotted"]

ON_CENTRE, IN_CELL = 0.08, 0.42
"""How far from a cell's centre the vertices of a path may lie: within it, and at its ends."""


@dataclass(frozen=True)
class Arrow:
    """A small arrow outside the grid: where it stands, and whether it goes on along its side
    (1) or back (-1)."""

    side: Side
    index: int
    way: int
    drawing: Drawing


def line(figure: Figure, frame: Frame) -> Shape | None:
    """A diagonal of the grid, or a path of one stroke."""
    if figure.stroke != "line" or figure.drawing.filled or not figure.straight or figure.closed:
        return None
    whole = not figure.dash and len(figure.tracks) == 1 and len(figure.tracks[0]) == 2
    if whole and same_width(figure.width, frame.stroke("diagonal")):
        (ax, ay), (bx, by) = sorted(figure.tracks[0])
        n, slack = frame.size, frame.slack
        if near(ax, 0, slack) and near(bx, n, slack):
            if near(ay, 0, slack) and near(by, n, slack):
                return Diagonal("down")
            if near(ay, n, slack) and near(by, 0, slack):
                return Diagonal("up")
    styles: tuple[Style, ...] = ("thin", "dashed", "dotted")
    for style in styles:
        dashes = has_dashes(figure, DASHES[style], CAPS.get(style), frame)
        if dashes and same_width(figure.width, frame.stroke(style)):
            return _path(figure, style, frame)
    return None


def _path(figure: Figure, style: Style, frame: Frame) -> Path | None:
    """The path of a stroke through the centres of cells."""
    headed = len(figure.tracks) == 2
    if headed:
        shaft, head = figure.tracks
        arms = len(head) == 3 and all(
            near(hypot(x - head[1][0], y - head[1][1]), HEAD_ARM, frame.slack)
            for x, y in (head[0], head[2])
        )
        if not arms or len(shaft) < 2 or not _is_head(shaft, head, frame):
            return None
    elif len(figure.tracks) != 1:
        return None
    track = figure.tracks[0]
    reaches = [IN_CELL, *[ON_CENTRE] * (len(track) - 2), IN_CELL]
    cells = [cell_at(x, y, frame, r) for (x, y), r in zip(track, reaches, strict=False)]
    if len(cells) < 2 or None in cells or any(a == b for a, b in pairwise(cells)):
        return None
    return Path(tuple(c for c in cells if c is not None), style, headed)


def arrow(figure: Figure, frame: Frame) -> Arrow | None:
    """A shaft with a head, outside the grid."""
    if figure.stroke != "ink" or figure.drawing.filled or figure.dash or not figure.straight:
        return None
    if [len(track) for track in figure.tracks] != [2, 3]:
        return None
    if not same_width(figure.width, frame.rim) or not _is_head(
        figure.tracks[0], figure.tracks[1], frame
    ):
        return None
    start, end = figure.tracks[0]
    for side in SIDES:
        (out, along), (out_end, along_end) = frame.out(side, *start), frame.out(side, *end)
        for way in (1, -1):
            index = along - 0.5 - way * ARROW_OFF[0]
            if (
                near(out, ARROW_OUT[0], frame.slack)
                and near(out_end, ARROW_OUT[1], frame.slack)
                and near(index, round(index), frame.slack)
                and near(along_end - along, way * (ARROW_OFF[1] - ARROW_OFF[0]), frame.slack)
            ):
                return Arrow(side, round(index), way, figure.drawing)
    return None


def _is_head(shaft: Sequence[Point], head: Sequence[Point], frame: Frame) -> bool:
    """Whether a head's middle is the shaft's end, and its arms lie back along the shaft."""
    (ax, ay), tip = shaft[-2], shaft[-1]
    one, middle, other = head
    if gap(tip, middle) > frame.slack:
        return False
    back = atan2(ay - tip[1], ax - tip[0])
    angles = []
    for x, y in (one, other):
        turn = degrees(atan2(y - tip[1], x - tip[0]) - back)
        angles.append((turn + 180) % 360 - 180)
    low, high = sorted(angles)
    return near(low, -HEAD_ANGLE, 12) and near(high, HEAD_ANGLE, 12)


class Pairs:
    """Broad and double lines: two strokes of one path, the second narrower than the first."""

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self._open: list[tuple[Figure, Path]] = []
        self.paired: list[tuple[Path, Figure, Figure]] = []

    @property
    def alone(self) -> list[Figure]:
        """First strokes without a second."""
        return [figure for figure, _ in self._open]

    def take(self, figure: Figure) -> bool:
        """Take a path if it is one of the two strokes, and say so."""
        plain = figure.stroked_only and figure.straight and not figure.closed and not figure.dash
        if not plain or len(figure.tracks) != 1:
            return False
        if figure.stroke == "line":
            return self._first(figure)
        return figure.stroke in ("fill", "white") and self._second(figure)

    def _first(self, figure: Figure) -> bool:
        styles: tuple[tuple[Style, float], ...] = (("broad", BROAD), ("double", DOUBLE))
        for style, share in styles:
            if same_width(figure.width, share * self._frame.cell):
                path = _path(figure, style, self._frame)
                if path:
                    self._open.append((figure, path))
                    return True
        return False

    def _second(self, figure: Figure) -> bool:
        style = "broad" if figure.stroke == "fill" else "double"
        rim = self._frame.rim if style == "broad" else self._frame.stroke("diagonal")
        for k, (first, path) in enumerate(self._open):
            one, other = first.tracks[0], figure.tracks[0]
            along = len(one) == len(other) and all(
                gap(a, b) <= self._frame.slack / 2 for a, b in zip(one, other, strict=True)
            )
            if path.style == style and along and same_width(figure.width, first.width - 2 * rim):
                self.paired.append((path, first, figure))
                del self._open[k]
                return True
        return False
