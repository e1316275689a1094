"""Links of a chain over the candidates of a hint: thin arrows, and rings for a colouring."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import ceil, dist, hypot

from packbuilder.ladder.step import Step
from packbuilder.pages.rule_marks import head
from packbuilder.plan.items import Bow, Box, Disc, Item, Point

Spots = Mapping[tuple[int, int], Point]
"""Where each candidate that is shown stands, by cell and digit."""

CHAINS = (
    "Arrows follow a chain: drawn out, from what is false to what is then true; dashed, from what "
    "is true to what is then false."
)
"""What the arrows mean, for the reader."""

COLOURS = "Small rings go round the candidates of one of two colours."
"""What the small rings mean, for the reader."""

_WEIGHT = 0.6
_BENDS = (0.1, 0.16, 0.24, 0.34, 0.46)  # how far a link may leave the straight way, in lengths
_START, _CLEAR = 1.15, 0.85  # from its own candidates, and from others, in rooms of a candidate

_LOOKS = 40  # points, at least, of a curve at which it is looked for what is in its way
_STRIDE = 0.6  # how far those may be apart, in rooms: a long curve would step over a candidate
_SHAPES = ((1.0, 1.0), (1.7, 0.4), (0.4, 1.7), (0.9, -0.9))  # how much either half bends

_Curve = tuple[Point, Point, Point, Point]
_Round = tuple[float, float, float]  # x, y, and the square of a radius


def links(step: Step, spots: Spots, room: float, digits: Sequence[Disc], box: Box) -> list[Item]:
    """What the step's nodes show; nothing for a step without any.

    A link is drawn out where one end false makes the other true, dashed where one true makes the
    other false; links within a cell are left out. They bend round candidates and ``digits`` in
    their way and stay in the grid's ``box``; where one of them finds no way, none is drawn. Of a
    colouring, one colour is ringed. ``room`` is the radius of a candidate's room.
    """
    if len(step.nodes) == 2:  # two colours, not a chain
        cells, digit = step.nodes[0]
        return [Disc(*spots[cell, digit], room, _WEIGHT) for cell in cells]
    if any((cell, digit) not in spots for cells, digit in step.nodes for cell in cells):
        return []  # where a digit is about to be placed, candidates are not shown
    items: list[Item] = []
    for k, (one, other) in enumerate(pairwise(step.nodes)):
        if one[0] == other[0]:
            continue
        start, end = _nearest(_spots(one, spots), _spots(other, spots))
        near = room * _CLEAR
        around = [(*spot, near * near) for spot in spots.values() if spot not in (start, end)]
        around += [(disc.x, disc.y, disc.radius * disc.radius) for disc in digits]
        curve = _way(start, end, around, room, box)
        if curve is None:
            return []
        tip = head(curve[2], curve[3], min(3.2, dist(start, end) * 0.3))
        items.append(Bow(curve, tip, _WEIGHT, dash=(1.8, 1.4) if k % 2 else ()))
    return items


def _spots(node: tuple[tuple[int, ...], int], spots: Spots) -> list[Point]:
    return [spots[cell, node[1]] for cell in node[0]]


def _nearest(ones: Sequence[Point], others: Sequence[Point]) -> tuple[Point, Point]:
    return min(((a, b) for a in ones for b in others), key=lambda pair: dist(*pair))


def _way(
    start: Point, end: Point, around: Sequence[_Round], room: float, box: Box
) -> _Curve | None:
    """The gentlest curve from one candidate to another that keeps clear of what is around."""
    left, bottom, right, top = box
    middle = ((left + right) / 2, (bottom + top) / 2)
    looks = max(_LOOKS, ceil(dist(start, end) / (room * _STRIDE)))
    for curve in _curves(start, end, room, middle):
        points = [_at(curve, t / looks) for t in range(looks + 1)]
        if all(left < x < right and bottom < y < top for x, y in points) and not any(
            (x - a) * (x - a) + (y - b) * (y - b) < near for x, y in points for a, b, near in around
        ):
            return curve
    return None


def _curves(start: Point, end: Point, room: float, middle: Point) -> Iterator[_Curve]:
    """Curves from the gentlest on, each first towards the middle of the grid."""
    length = dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    inward = 1 if (middle[1] - start[1]) * ux >= (middle[0] - start[0]) * uy else -1
    own = min(room * _START, length * 0.3)
    for bend in _BENDS:
        for early, late in _SHAPES:
            for side in (inward, -inward):
                aside = bend * length * side
                b, c = (
                    (
                        start[0] + ux * length * share - uy * aside * much,
                        start[1] + uy * length * share + ux * aside * much,
                    )
                    for share, much in ((0.3, early), (0.7, late))
                )
                yield _towards(start, b, own), b, c, _towards(end, c, own)


def _towards(point: Point, other: Point, far: float) -> Point:
    share = far / hypot(other[0] - point[0], other[1] - point[1])
    return (
        point[0] + (other[0] - point[0]) * share,
        point[1] + (other[1] - point[1]) * share,
    )


def _at(curve: _Curve, t: float) -> Point:
    """A point of a Bezier curve."""
    u = 1 - t
    weights = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
    x, y = (sum(w * p[i] for w, p in zip(weights, curve, strict=True)) for i in (0, 1))
    return x, y
