"""Shapes with a closed outline: discs and rings, squares, patches, cages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from packbuilder.reader.drawn.figure import Figure, cell_at, circle, gap, has_dashes
from packbuilder.reader.drawn.style import (
    CAPS,
    DISC,
    FENCE_DASH,
    FENCE_INSET,
    PATCH_INSET,
    RING,
    SQUARE,
    Frame,
    Point,
    near,
    same_width,
)
from packbuilder.rules.shapes import Box, Fence, Patch, Ring, Shape


def area(figure: Figure, frame: Frame) -> Shape | None:
    """A shape with a closed outline."""
    if not figure.closed or not figure.drawing.brush:
        return None
    solid = figure.fill == "fill"
    if figure.stroke == "line" and (solid or not figure.drawing.filled):
        width = frame.rim if solid else frame.stroke("outline")
        if figure.dash:
            return None
        if same_width(figure.width, width):
            return (
                _ring(figure, frame, solid=solid)
                or _square(figure, frame, solid=solid)
                or (_patch(figure, frame) if solid else None)
            )
    if figure.stroke == "ink" and not figure.drawing.filled:
        dashed = has_dashes(figure, FENCE_DASH, CAPS["fence"], frame)
        if dashed and same_width(figure.width, frame.stroke("fence")):
            cells = _cells_within(figure, frame, FENCE_INSET)
            return Fence(cells) if cells else None
    return None


def _ring(figure: Figure, frame: Frame, *, solid: bool) -> Ring | None:
    middle = circle(figure, DISC if solid else RING, frame)
    cell = cell_at(*middle, frame, frame.slack) if middle else None
    return None if cell is None else Ring(cell, solid)


def _square(figure: Figure, frame: Frame, *, solid: bool) -> Box | None:
    if len(figure.tracks) != 1 or not figure.straight or len(figure.tracks[0]) != 4:
        return None
    xs, ys = zip(*figure.tracks[0], strict=True)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    cell = cell_at(x, y, frame, frame.slack)
    half, slack = SQUARE / 2, frame.slack
    corners = all(
        near(abs(a - x), half, slack) and near(abs(b - y), half, slack) for a, b in figure.tracks[0]
    )
    return Box(cell, solid) if corners and cell is not None else None


def _patch(figure: Figure, frame: Frame) -> Patch | None:
    cells = _cells_within(figure, frame, PATCH_INSET)
    return Patch(cells) if cells else None


def _cells_within(figure: Figure, frame: Frame, inset: float) -> tuple[int, ...]:
    """The cells that an outline goes round just inside their border; none for another outline."""
    n = frame.size
    if not figure.straight:
        return ()
    cells = {c for c in range(n * n) if _within(c % n + 0.5, c // n + 0.5, figure.tracks)}
    due = _corners(cells, n, inset)
    drawn = [point for track in figure.tracks for point in _turns(track, frame.slack)]
    if len(due) != len(drawn) or any(min(gap(p, q) for q in due) > frame.slack for p in drawn):
        return ()
    level = all(
        near(a[0], b[0], frame.slack / 2) or near(a[1], b[1], frame.slack / 2)
        for track in figure.tracks
        for a, b in pairwise([*track, track[0]])
    )
    return tuple(sorted(cells)) if level else ()


def _within(x: float, y: float, tracks: Iterable[Sequence[Point]]) -> bool:
    """Whether a point lies inside, by counting the sides to its right."""
    inside = False
    for track in tracks:
        for (ax, ay), (bx, by) in pairwise([*track, track[0]]):
            if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
                inside = not inside
    return inside


def _corners(cells: set[int], n: int, inset: float) -> list[Point]:
    """The corners of the outline of cells that lies ``inset`` inside their border.

    Looking from a cell to one of its corners, the outline turns there where neither neighbour
    belongs to the cells, or both do and the cell between them does not.
    """
    rows = {(c // n, c % n) for c in cells}
    found = []
    for row, column in rows:
        for down in (-1, 1):
            for right in (-1, 1):
                beside = (row, column + right) in rows
                above = (row + down, column) in rows
                if beside == above and not (beside and (row + down, column + right) in rows):
                    reach = 0.5 - inset
                    found.append((column + 0.5 + right * reach, row + 0.5 + down * reach))
    return found


def _turns(track: Sequence[Point], slack: float) -> list[Point]:
    """The points at which a closed line turns."""
    found = []
    for before, at, after in zip([track[-1], *track], track, [*track[1:], track[0]], strict=False):
        cross = (at[0] - before[0]) * (after[1] - at[1]) - (at[1] - before[1]) * (after[0] - at[0])
        if abs(cross) > slack * slack:
            found.append(at)
    return found
