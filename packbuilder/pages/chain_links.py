"""Links of a chain over the candidates of a hint: thin arrows, and rings for a colouring."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import dist, hypot

from packbuilder.ladder.step import Step
from packbuilder.pages.items import Bow, Disc, Item, Point
from packbuilder.pages.shapes import head

At = Callable[[int, int], Point]
"""Where the candidate of a cell and digit stands."""

_WEIGHT = 0.6
_BEND = 0.14  # how far a link leaves the straight way, as a part of its length


def links(step: Step, at: At, reach: float, centre: Point) -> list[Item]:
    """What the step's nodes show; nothing for a step without any.

    A link is drawn out where one end false makes the other true, dashed where one true makes the
    other false; they bend towards ``centre``, the grid's. Of a colouring, one colour is ringed.
    ``reach`` is the room of a candidate.
    """
    if len(step.nodes) == 2:  # two colours, not a chain
        cells, digit = step.nodes[0]
        return [Disc(*at(cell, digit), reach, _WEIGHT) for cell in cells]
    items: list[Item] = []
    for k, (one, other) in enumerate(pairwise(step.nodes)):
        if one[0] == other[0]:
            continue  # two digits of one cell: there is no room, and nothing to find
        start, end = _nearest([at(c, one[1]) for c in one[0]], [at(c, other[1]) for c in other[0]])
        items.append(_bow(start, end, reach, centre, dashed=k % 2 == 1))
    return items


def _nearest(ones: Sequence[Point], others: Sequence[Point]) -> tuple[Point, Point]:
    return min(((a, b) for a in ones for b in others), key=lambda pair: dist(*pair))


def _bow(start: Point, end: Point, reach: float, centre: Point, *, dashed: bool) -> Item:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    room = min(reach * 1.15, length * 0.3)  # digits at both ends stay clear
    ux, uy = dx / length, dy / length
    a = (start[0] + ux * room, start[1] + uy * room)
    d = (end[0] - ux * room, end[1] - uy * room)
    side = (centre[1] - start[1]) * ux - (centre[0] - start[0]) * uy
    aside = length * (_BEND if side >= 0 else -_BEND)
    b, c = (
        (a[0] + (d[0] - a[0]) * share - uy * aside, a[1] + (d[1] - a[1]) * share + ux * aside)
        for share in (0.3, 0.7)
    )
    tip = head(c, d, min(3.2, length * 0.3))
    return Bow((a, b, c, d), tip, _WEIGHT, dash=(1.8, 1.4) if dashed else ())
