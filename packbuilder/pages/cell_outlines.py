"""Outlines: the rim of some cells taken together, a little inside their border."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from packbuilder.plan.items import Point


class _Side(NamedTuple):
    """One side of a cell, from a corner of the grid on, its cell at the right of the way."""

    at: tuple[int, int]
    way: tuple[int, int]


def outlines(cells: Collection[int], size: int, inset: float) -> tuple[tuple[Point, ...], ...]:
    """The rims of a set of cells, each as the corners of a closed run; holes have rims too.

    Points are in cells from the grid's upper left corner, y down. Every side lies ``inset`` inside
    the border of the set. Cells that touch only at a corner stay apart.
    """
    sides = _sides(cells, size)
    left, rims = set(sides), []
    while left:
        start = side = min(left)
        rim: list[Point] = []
        while side in left:
            left.discard(side)
            after = _after(side, sides)
            if after.way != side.way:
                rim.append(_corner(side, after, inset))
            side = after
        assert side == start  # each side has one that follows and one that goes before
        rims.append(tuple(rim))
    return tuple(rims)


def _sides(cells: Collection[int], size: int) -> set[_Side]:
    """The sides of the cells that part them from others, clockwise round each cell."""
    spots = {divmod(cell, size) for cell in cells}
    found = set()
    for row, column in spots:
        for near, at, way in (
            ((row - 1, column), (column, row), (1, 0)),
            ((row, column + 1), (column + 1, row), (0, 1)),
            ((row + 1, column), (column + 1, row + 1), (-1, 0)),
            ((row, column - 1), (column, row + 1), (0, -1)),
        ):
            if near not in spots:
                found.add(_Side(at, way))
    return found


def _after(side: _Side, sides: set[_Side]) -> _Side:
    """The side that goes on where this one ends: the one that turns most to the right."""
    (x, y), (dx, dy) = side
    there = (x + dx, y + dy)
    ways = ((-dy, dx), (dx, dy), (dy, -dx))
    return next(found for way in ways if (found := _Side(there, way)) in sides)


def _corner(side: _Side, after: _Side, inset: float) -> Point:
    """Where two sides meet, moved inwards from both."""
    (ax, ay), (bx, by) = side.way, after.way
    return after.at[0] - (ay + by) * inset, after.at[1] + (ax + bx) * inset
