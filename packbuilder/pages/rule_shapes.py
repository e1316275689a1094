"""Shapes of rules under the digits: patches, boxes, discs, rings, diagonals and lines, as items.

How each is drawn is a promise of the house style, from which the proof-reader finds it again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from math import cos, dist, hypot, radians, sin

from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Disc, Item, Point, Trace
from packbuilder.rules.shapes import Box, Diagonal, Patch, Path, Ring, Shape

DISC, CIRCLE, SQUARE = 0.36, 0.38, 0.74
"""Radius of a disc and of a circle, side of a square, in cells."""

_HEAD_LENGTH, _HEAD_ANGLE, _OVERSHOOT = 0.22, radians(35), 0.2


def under(place: GridPlace, shapes: Sequence[Shape], line: Ink = "line") -> list[Item]:
    """What lies under the lines and digits of a grid, the lowest first; ``line`` is their ink."""
    solid = {shape.cell for shape in shapes if isinstance(shape, Ring) and shape.solid}
    circled = {shape.cell for shape in shapes if isinstance(shape, Ring) and not shape.solid}
    broad = [s for s in shapes if isinstance(s, Path) and s.style == "broad"]
    bulbs = {cell for path in broad for cell in (path.cells[0], path.cells[-1])} & solid
    items: list[Trace | Disc] = []
    items += [_patch(place, s) for s in shapes if isinstance(s, Patch)]
    items += [_box(place, s) for s in shapes if isinstance(s, Box)]
    items += [_disc(place, cell) for cell in sorted(solid - bulbs)]
    items += [_diagonal(place, s) for s in shapes if isinstance(s, Diagonal)]
    items += _broad(place, broad, bulbs)
    for path in shapes:
        if isinstance(path, Path) and path.style != "broad":
            items += _LINES[path.style](place, _run(path, place.size, circled))
    items += [_circle(place, cell) for cell in sorted(circled)]
    return [replace(item, ink=line) if item.ink == "line" else item for item in items]


def rim(place: GridPlace) -> float:
    """The weight of the line round a fill."""
    return place.scaled(0.035, 0.5, 1.2)


def _patch(place: GridPlace, shape: Patch) -> Trace | Disc:
    runs = tuple(place.run(points) for points in outlines(shape.cells, place.size, 0.06))
    return Trace(runs, rim(place), "line", "fill", closed=True)


def _box(place: GridPlace, shape: Box) -> Trace | Disc:
    x, y = place.middle(shape.cell)
    half = SQUARE / 2 * place.cell
    corners = (
        (x - half, y - half),
        (x + half, y - half),
        (x + half, y + half),
        (x - half, y + half),
    )
    if shape.solid:
        return Trace((corners,), rim(place), "line", "fill", closed=True)
    return Trace((corners,), _ring_weight(place), "line", closed=True)


def _disc(place: GridPlace, cell: int) -> Trace | Disc:
    return Disc(*place.middle(cell), DISC * place.cell, rim(place), "line", "fill")


def _circle(place: GridPlace, cell: int) -> Trace | Disc:
    return Disc(*place.middle(cell), CIRCLE * place.cell, _ring_weight(place), "line")


def _ring_weight(place: GridPlace) -> float:
    return place.scaled(0.06, 0.8, 2.2)


def _diagonal(place: GridPlace, shape: Diagonal) -> Trace | Disc:
    n = place.size
    ends = ((0.0, 0.0), (n, n)) if shape.slope == "down" else ((0.0, n), (n, 0.0))
    return Trace((place.run(ends),), place.scaled(0.05, 0.7, 1.8), "line")


# --- lines -----------------------------------------------------------------------------------


def _broad(place: GridPlace, paths: Iterable[Path], bulbs: set[int]) -> list[Trace | Disc]:
    """Broad lines with a rim. Those from one bulb run into one another; others pass over."""
    groups: dict[object, list[Path]] = {}
    for k, path in enumerate(paths):
        from_bulbs = [cell for cell in (path.cells[0], path.cells[-1]) if cell in bulbs]
        groups.setdefault(from_bulbs[0] if from_bulbs else (k,), []).append(path)
    items: list[Trace | Disc] = []
    outer = 0.42 * place.cell
    inner = outer - 2 * rim(place)
    for group in groups.values():
        runs = [place.run(_centres(path, place.size)) for path in group]
        ends = {cell for path in group for cell in (path.cells[0], path.cells[-1])}
        items += [_round(run, outer, "line") for run in runs]
        items += [_disc(place, cell) for cell in sorted(ends & bulbs)]
        items += [_round(run, inner, "fill") for run in runs]
    return items


def _round(run: tuple[Point, ...], weight: float, ink: Ink) -> Trace | Disc:
    return Trace((run,), weight, ink, round_ends=True, round_joints=True)


_Runs = tuple[tuple[Point, ...], ...]


def _thin(place: GridPlace, runs: _Runs) -> list[Trace]:
    weight = place.scaled(0.07, 0.9, 2.6)
    lines = tuple(place.run(run) for run in runs)
    return [Trace(lines, weight, "line", round_ends=True, round_joints=True)]


def _double(place: GridPlace, runs: _Runs) -> list[Trace]:
    lines = tuple(place.run(run) for run in runs)
    outer = 0.22 * place.cell
    inner = outer - 2 * place.scaled(0.05, 0.7, 1.8)
    both: tuple[tuple[float, Ink], ...] = ((outer, "line"), (inner, "paper"))
    return [Trace(lines, weight, ink, round_joints=True) for weight, ink in both]


def _dashed(place: GridPlace, runs: _Runs) -> list[Trace]:
    lines, u = tuple(place.run(run) for run in runs), place.cell
    weight = place.scaled(0.1, 1.3, 3.4)
    return [Trace(lines, weight, "line", dash=(0.2 * u, 0.12 * u), round_joints=True)]


def _dotted(place: GridPlace, runs: _Runs) -> list[Trace]:
    """Dots about a quarter of a cell apart, one of them on either end."""
    lines, u = tuple(place.run(run) for run in runs), place.cell
    length = sum(dist(a, b) for a, b in pairwise(runs[0]))
    step, dot = length / max(1, round(length / 0.25)), 0.01
    weight, dash = place.scaled(0.15, 2, 5), (dot * u, (step - dot) * u)
    return [
        Trace(
            lines, weight, "line", dash=dash, phase=dot * u / 2, round_ends=True, round_joints=True
        )
    ]


_LINES: dict[str, Callable[[GridPlace, _Runs], list[Trace]]] = {
    "thin": _thin, "double": _double, "dashed": _dashed, "dotted": _dotted,
}  # fmt: skip


def _centres(path: Path, size: int) -> list[Point]:
    return [(cell % size + 0.5, cell // size + 0.5) for cell in path.cells]


def _run(path: Path, size: int, circled: set[int]) -> _Runs:
    """A line in cells, its ends moved onto circles that stand there, and its head as a run."""
    points = _centres(path, size)
    first = _towards(points[0], points[1], CIRCLE) if path.cells[0] in circled else points[0]
    last = points[-1]
    if path.head:
        last = _towards(points[-1], points[-2], -_OVERSHOOT)
    elif path.cells[-1] in circled:
        last = _towards(points[-1], points[-2], CIRCLE)
    run = (first, *points[1:-1], last)
    return (run, head(points[-2], last, _HEAD_LENGTH)) if path.head else (run,)


def _towards(point: Point, other: Point, far: float) -> Point:
    """The point that lies so far from one towards another."""
    dx, dy = other[0] - point[0], other[1] - point[1]
    share = far / hypot(dx, dy)
    return point[0] + dx * share, point[1] + dy * share


def head(start: Point, tip: Point, length: float) -> tuple[Point, Point, Point]:
    """An arrowhead as three points, at the tip of an arrow that comes from ``start``."""
    dx, dy = start[0] - tip[0], start[1] - tip[1]
    share = length / hypot(dx, dy)
    arms = []
    for angle in (_HEAD_ANGLE, -_HEAD_ANGLE):
        c, s = cos(angle), sin(angle)
        arms.append((tip[0] + (dx * c - dy * s) * share, tip[1] + (dx * s + dy * c) * share))
    return arms[0], tip, arms[1]
