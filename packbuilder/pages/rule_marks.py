"""Shapes of rules over the lines of a grid: fences, marks on edges, small text; and outside it.

How each is drawn is a promise of the house style, from which the proof-reader finds it again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from math import cos, hypot, radians, sin

from packbuilder.layouts.fitting import (
    CORNER_LEAST,
    CORNER_LEFT,
    CORNER_TOP,
    OUTSIDE_RING,
    corner_height,
)
from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Disc, Fills, Item, Point, Text, Trace
from packbuilder.rules.shapes import Corner, Edge, Fence, Outside, Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

STRONG = "SourceSansPro-Semibold"
"""Face of outside numbers, letters on edges and small text in corners: the house's."""

_CAPITAL_HEIGHT = 0.66  # of Source Sans Pro, in ems


def over(place: GridPlace, shapes: Sequence[Shape], outside: Ink = "ink") -> list[Item]:
    """What lies over the lines of a grid and under its digits, and what stands outside it, with
    the ink of numbers there."""
    items: list[Item] = []
    items += [_fence(place, s) for s in shapes if isinstance(s, Fence)]
    for shape in shapes:
        if isinstance(shape, Edge):
            items += _EDGES[shape.mark](place, *_ends(shape, place.size))
    for shape in shapes:
        if isinstance(shape, Corner):
            items += _corner(place, shape)
    for shape in shapes:
        if isinstance(shape, Outside):
            draw = _outside if shape.towards is None else _arrowed
            items += draw(place, shape, outside)
    return items


def _fence(place: GridPlace, shape: Fence) -> Item:
    """A dash and a gap are a seventh of a cell, and so all corners fall in the middle of a dash."""
    period = place.cell / 7
    runs = tuple(place.run(points) for points in outlines(shape.cells, place.size, 1 / 14))
    weight, dash = place.scaled(0.017, 0.4, 0.9), 0.54 * period
    return Trace(runs, weight, closed=True, dash=(dash, period - dash), phase=dash / 2)


def _corner(place: GridPlace, shape: Corner) -> list[Item]:
    """Small text close to the corner of a cell, on a ground that parts it from an outline."""
    size = _corner_size(place)
    row, column = divmod(shape.cell, place.size)
    x, top = place.at(column + CORNER_LEFT, row + CORNER_TOP)
    high, wide, gap = FIGURE_HEIGHT * size, width(shape.text, STRONG, size), 0.02 * place.cell
    ground = Fills(((x - gap, top - high - gap, x + wide + gap, top + gap),), "paper")
    return [ground, Text(x, top - high, shape.text, STRONG, size)]


def _corner_size(place: GridPlace) -> float:
    return place.type_size(0.245, CORNER_LEAST)


def under_corner(place: GridPlace) -> float:
    """The largest type of a digit that stays clear of text in the corner of its cell."""
    taken = corner_height(_corner_size(place))
    return 2 * ((0.5 - CORNER_TOP) * place.cell - taken) / FIGURE_HEIGHT


# --- marks on edges --------------------------------------------------------------------------


def _ends(shape: Edge, size: int) -> tuple[Point, Point]:
    """The middle of the edge, and the way from the first cell to the second, in cells."""
    (r, c), (s, d) = (divmod(cell, size) for cell in shape.cells)
    return ((c + d + 1) / 2, (r + s + 1) / 2), (d - c, s - r)


def _dot(place: GridPlace, middle: Point, _way: Point, *, fill: Ink) -> list[Item]:
    weight = place.scaled(0.027, 0.6, 1.4)
    return [Disc(*place.at(*middle), 0.125 * place.cell, weight, fill=fill)]


def _knock_out(place: GridPlace, middle: Point) -> Item:
    return Disc(*place.at(*middle), 0.16 * place.cell, fill="paper")


def _letter(place: GridPlace, middle: Point, _way: Point, *, letter: str) -> list[Item]:
    x, y = place.at(*middle)
    size = place.type_size(0.32, 5)
    x, y = x - width(letter, STRONG, size) / 2, y - _CAPITAL_HEIGHT * size / 2
    return [_knock_out(place, middle), Text(x, y, letter, STRONG, size)]


def _sign(place: GridPlace, middle: Point, way: Point, *, smaller: int) -> list[Item]:
    """A sign whose point is on the side of the smaller cell: the first (1) or the second (-1)."""
    (x, y), (dx, dy) = middle, (way[0] * smaller, way[1] * smaller)
    point = (x - 0.09 * dx, y - 0.09 * dy)
    ends = [(x + 0.09 * dx - t * dy, y + 0.09 * dy + t * dx) for t in (-0.12, 0.12)]
    run = place.run((ends[0], point, ends[1]))
    return [_knock_out(place, middle), Trace((run,), place.scaled(0.05, 0.7, 1.8))]


_EDGES: dict[str, Callable[[GridPlace, Point, Point], list[Item]]] = {
    "white": partial(_dot, fill="white"),
    "black": partial(_dot, fill="black"),
    "X": partial(_letter, letter="X"),
    "V": partial(_letter, letter="V"),
    "<": partial(_sign, smaller=1),
    ">": partial(_sign, smaller=-1),
}


# --- outside the grid ------------------------------------------------------------------------


def _outward(side: str, size: int, along: float, away: float) -> Point:
    """A point outside the grid: so far along a side, and so far away from it, in cells."""
    return {
        "top": (along, -away),
        "bottom": (along, size + away),
        "left": (-away, along),
        "right": (size + away, along),
    }[side]


def _outside(place: GridPlace, shape: Outside, ink: Ink) -> list[Item]:
    middle = _outward(shape.side, place.size, shape.index + 0.5, 0.45)
    number = _number(place, middle, shape.text, place.type_size(0.46, 9), ink)
    ring = Disc(*place.at(*middle), OUTSIDE_RING * place.cell, place.scaled(0.025, 0.5, 1.0))
    return [ring, number] if shape.ringed else [number]


def _arrowed(place: GridPlace, shape: Outside, ink: Ink) -> list[Item]:
    """A number and an arrow beside each other, so that one cell of the band has room for two."""
    word = "right" if shape.side in ("top", "bottom") else "down"
    turn = 1 if word in (shape.towards or "") else -1

    def at(along: float, away: float) -> Point:
        return _outward(shape.side, place.size, shape.index + 0.5 + turn * along, away)

    start, tip = at(0.21, 0.32), at(0.42, 0.11)
    runs = (place.run((start, tip)), place.run(head(start, tip, 0.13)))
    number = _number(place, at(0.25, 0.6), shape.text, place.type_size(0.34, 8), ink)
    return [number, Trace(runs, place.scaled(0.035, 0.5, 1.2))]


def head(start: Point, tip: Point, length: float) -> tuple[Point, Point, Point]:
    """An arrowhead as three points, at the tip of an arrow that comes from ``start``."""
    dx, dy = start[0] - tip[0], start[1] - tip[1]
    share = length / hypot(dx, dy)
    arms = []
    for angle in (radians(35), radians(-35)):
        c, s = cos(angle), sin(angle)
        arms.append((tip[0] + (dx * c - dy * s) * share, tip[1] + (dx * s + dy * c) * share))
    return arms[0], tip, arms[1]


def _number(place: GridPlace, middle: Point, text: str, size: float, ink: Ink) -> Item:
    x, y = place.at(*middle)
    left, low = x - width(text, STRONG, size) / 2, y - FIGURE_HEIGHT * size / 2
    return Text(left, low, text, STRONG, size, ink)
