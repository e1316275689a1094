"""Lines of rules: light bands with thin contours, those of each rule of a form of their own.

They lie under everything, and leave the middle of a cell to what is written there: a printed digit
stands on a clear disc (on a band a light one on a grey disc), ends and heads reach past it. A
contour is drawn as a wider line beneath its fill, so that lines of one group run into one another
and others pass over.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from itertools import pairwise
from math import hypot

from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Disc, Point, Trace
from packbuilder.rules.shapes import Diagonal, Path

DISC, CIRCLE = 0.37, 0.39
"""Radius of a disc, which is a thermometer's bulb too, and of an open circle, in cells."""

WIDE = 0.47
"""Radius of both where they go round candidates."""

CLEAR, CLEAR_OF_BEADS = 0.3, 0.2
"""Radius of the clear disc under a printed digit, and where no more than beads is in its way."""

_TUBE, _RAILS, _SHAFT, _BEAD, _DASH = 0.34, 0.36, 0.17, 0.2, 0.24  # widths over all, in cells
_TUBE_END, _RAILS_END = 0.12, 0.2  # how far lines go on past the middle of their last cells
_BEADS = (0.35, 0.65, 1.0), (0.25, 0.5, 0.75, 1.0)  # shares of a straight, of a slanting way
_FREE_OF_DASHES = (0.255, 0.40)  # from a cell's middle to a dash, along rows and diagonally
_HEAD_BASE, _HEAD_TIP = (0.245, 0.30), (0.465, 0.56)  # the same of a head, from its cell's middle
_HEAD = 0.35  # width
_DIAGONAL = 0.21  # how far its pieces reach into cells from their corners, along either side

Marks = list[Trace | Disc]
Run = tuple[Point, ...]


def contour(place: GridPlace) -> float:
    """The weight of the line round a fill: lighter ones break up on a bad copier."""
    return place.scaled(0.017, 0.55, 0.9)


def lines(
    place: GridPlace, paths: Sequence[Path], bulbs: Collection[int], wide: Collection[int]
) -> Marks:
    """Lines, the first lowest, without the heads of arrows.

    ``bulbs`` are the cells of bulbs, ``wide`` those in which bulbs are wide.
    """
    broad = [path for path in paths if path.style == "broad"]
    items = _tubes(place, broad, bulbs, wide)
    for path in paths:
        if path.style != "broad":
            items += _FORMS[path.style](place, path)
    return items


def diagonal(place: GridPlace, shape: Diagonal) -> Trace:
    """A long diagonal, in pieces across the corners of its cells."""
    n, runs = place.size, []
    for k in range(n + 1):
        start, end = max(0.0, k - _DIAGONAL), min(n, k + _DIAGONAL)
        ways = ((start, start), (end, end)), ((start, n - start), (end, n - end))
        runs.append(place.run(ways[shape.slope == "up"]))
    return Trace(tuple(runs), place.scaled(0.025, 0.6, 1.4), "contour")


def heads(place: GridPlace, paths: Iterable[Path]) -> Marks:
    """The heads of arrows, at the far side of their last cells."""
    return [_head(place, path) for path in paths if path.head]


def ring(place: GridPlace, cell: int, *, wide: bool) -> Disc:
    """An open circle."""
    radius, weight = WIDE if wide else CIRCLE, place.scaled(0.03, 0.7, 1.8)
    return Disc(*place.middle(cell), radius * place.cell, weight, "contour", "paper")


def disc(place: GridPlace, cell: int, *, wide: bool) -> Disc:
    """A full circle."""
    radius = (WIDE if wide else DISC) * place.cell
    return Disc(*place.middle(cell), radius, contour(place), "contour", "fill")


def crossed(paths: Iterable[Path]) -> dict[int, float]:
    """The cells whose middle lines pass, each with the radius of the disc that a digit needs."""
    found: dict[int, float] = {}
    for path in paths:
        if path.style != "dashed":
            radius = CLEAR_OF_BEADS if path.style == "dotted" else CLEAR
            found |= {cell: max(radius, found.get(cell, 0.0)) for cell in path.cells}
    return found


# --- forms ---------------------------------------------------------------------------------------


def _tubes(
    place: GridPlace, paths: Sequence[Path], bulbs: Collection[int], wide: Collection[int]
) -> Marks:
    """Thermometers: full bands with round ends. Those from one bulb run into one another."""
    groups: dict[object, list[Path]] = {}
    for k, path in enumerate(paths):
        groups.setdefault(path.cells[0] if path.cells[0] in bulbs else (k,), []).append(path)
    items: Marks = []
    outer = _TUBE * place.cell
    for group in groups.values():
        runs = [place.run(_reaching(path, place.size, 0.0, _TUBE_END)) for path in group]
        items += [_band(outer, "contour", run) for run in runs]
        starts = {path.cells[0] for path in group}
        items += [disc(place, cell, wide=cell in wide) for cell in sorted(starts & {*bulbs})]
        items += [_band(outer - 2 * contour(place), "fill", run) for run in runs]
    return items


def _rails(place: GridPlace, path: Path) -> Marks:
    """Two thin lines side by side, with bare paper between them and open ends."""
    run = place.run(_reaching(path, place.size, _RAILS_END, _RAILS_END))
    outer, rail = _RAILS * place.cell, place.scaled(0.022, 0.6, 1.2)
    return [
        Trace((run,), weight, ink, round_joints=True)
        for weight, ink in _layers(outer, rail, "paper")
    ]


def _dashes(place: GridPlace, path: Path) -> Marks:
    """A dash across each border that the line crosses: it joins two cells and leaves both free."""
    half, runs = _DASH / 2, []
    for a, b in pairwise(_centres(path, place.size)):
        start, end = (_towards(p, q, _slanted(_FREE_OF_DASHES, a, b)) for p, q in ((a, b), (b, a)))
        side = _side(a, b, half)
        runs.append(place.run(_sides(start, end, side)))
    return [Trace(tuple(runs), contour(place), "contour", "fill", closed=True)]


def _beads(place: GridPlace, path: Path) -> Marks:
    """Beads, one in the middle of each cell and others between them."""
    points = _centres(path, place.size)
    found = points[:1]
    for a, b in pairwise(points):
        found += [
            (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
            for share in _BEADS[_is_slanted(a, b)]
        ]
    dots = tuple(place.run(((x - 0.003, y), (x + 0.003, y))) for x, y in found)
    return [
        Trace(dots, weight, ink, round_ends=True)
        for weight, ink in _layers(_BEAD * place.cell, contour(place), "fill")
    ]


def _shaft(place: GridPlace, path: Path) -> Marks:
    """A narrow band, of an arrow up to its head."""
    centres = _centres(path, place.size)
    past = _slanted(_HEAD_BASE, *centres[-2:]) if path.head else 0.0
    run = place.run(_reaching(path, place.size, 0.0, past))
    layers = _layers(_SHAFT * place.cell, contour(place), "fill")
    return [Trace((run,), weight, ink, round_joints=True) for weight, ink in layers]


def _head(place: GridPlace, path: Path) -> Trace:
    """A triangle whose base is the end of the shaft."""
    before, last = _centres(path, place.size)[-2:]
    base = _towards(last, before, -_slanted(_HEAD_BASE, before, last))
    tip = _towards(last, before, -_slanted(_HEAD_TIP, before, last))
    dx, dy = _side(before, last, _HEAD / 2)
    corners = ((base[0] - dx, base[1] - dy), tip, (base[0] + dx, base[1] + dy))
    return Trace((place.run(corners),), contour(place), "contour", "fill", closed=True)


_FORMS: dict[str, Callable[[GridPlace, Path], Marks]] = {
    "thin": _shaft, "double": _rails, "dashed": _dashes, "dotted": _beads,
}  # fmt: skip


def _layers(outer: float, edge: float, fill: Ink) -> tuple[tuple[float, Ink], tuple[float, Ink]]:
    """The widths and inks of a line's contour and of its fill."""
    return (outer, "contour"), (outer - 2 * edge, fill)


def _band(weight: float, ink: Ink, run: Run) -> Trace:
    return Trace((run,), weight, ink, round_ends=True, round_joints=True)


# --- points, in cells ----------------------------------------------------------------------------


def _centres(path: Path, size: int) -> list[Point]:
    return [(cell % size + 0.5, cell // size + 0.5) for cell in path.cells]


def _reaching(path: Path, size: int, first: float, last: float) -> list[Point]:
    """The middles of a line's cells, its ends moved outwards."""
    points = _centres(path, size)
    start, end = _towards(points[0], points[1], -first), _towards(points[-1], points[-2], -last)
    return [start, *points[1:-1], end]


def _towards(point: Point, other: Point, far: float) -> Point:
    """The point that lies so far from one towards another."""
    dx, dy = other[0] - point[0], other[1] - point[1]
    share = far / hypot(dx, dy)
    return point[0] + dx * share, point[1] + dy * share


def _is_slanted(a: Point, b: Point) -> bool:
    return a[0] != b[0] and a[1] != b[1]


def _slanted(pair: tuple[float, float], a: Point, b: Point) -> float:
    """The first of two lengths, or the second where the way from a point to another is diagonal."""
    return pair[_is_slanted(a, b)]


def _side(a: Point, b: Point, length: float) -> Point:
    """A vector of a length that is square to the way from one point to another."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return -dy * length / hypot(dx, dy), dx * length / hypot(dx, dy)


def _sides(a: Point, b: Point, side: Point) -> Run:
    """The corners of the rectangle that reaches from one point to another, and so far aside."""
    dx, dy = side
    return (a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy), (b[0] - dx, b[1] - dy), (
        a[0] - dx, a[1] - dy)  # fmt: skip
