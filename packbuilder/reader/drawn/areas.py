"""Shapes with a closed outline: discs and rings, squares, patches, cages; and clear grounds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from packbuilder.reader.drawn.figure import Figure, cell_at, circle, gap, has_dashes, square
from packbuilder.reader.drawn.style import (
    CLEAR,
    CLEAR_SQUARE,
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
    if figure.stroke == "ink" and not figure.drawing.filled:
        dashed = has_dashes(figure, FENCE_DASH, frame)
        if dashed and same_width(figure.width, frame.stroke("fence")):
            cells = _cells_within(figure, frame, FENCE_INSET)
            return Fence(cells) if cells else None
    if figure.stroke != "contour" or figure.dash:
        return None
    if figure.fill == "white" and same_width(figure.width, frame.stroke("circle")):
        cell = _round(figure, frame, RING)
        return None if cell is None else Ring(cell)
    if figure.fill == "fill":
        return _full(figure, frame)
    return None


def _full(figure: Figure, frame: Frame) -> Shape | None:
    if same_width(figure.width, frame.stroke("contour")):
        cell = _round(figure, frame, DISC)
        if cell is not None:
            return Ring(cell, solid=True)
        cell = square(figure, SQUARE, frame)
        if cell is not None:
            return Box(cell)
    return _patch(figure, frame) if same_width(figure.width, frame.stroke("patch")) else None


def cleared(figure: Figure, frame: Frame) -> int | None:
    """The cell in which the lines of rules are cleared away for what is written there."""
    if figure.fill not in ("white", "fill") or figure.drawing.brush:
        return None
    cell = _round(figure, frame, CLEAR)
    return square(figure, CLEAR_SQUARE, frame) if cell is None else cell


def _round(figure: Figure, frame: Frame, radii: Sequence[float]) -> int | None:
    """The cell in whose middle a circle of one of some radii stands."""
    middle = next((m for radius in radii if (m := circle(figure, radius, frame))), None)
    return cell_at(*middle, frame, frame.slack) if middle else None


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
