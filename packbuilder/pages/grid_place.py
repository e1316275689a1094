"""Place: where a grid stands on a page, and the way from its cells to points of the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from packbuilder.layouts.fitting import bands
from packbuilder.plan.items import Box, Point
from packbuilder.rules.shapes import Shape


@dataclass(frozen=True)
class GridPlace:
    """Where a grid stands: its upper left corner and its cell size, in points.

    ``small`` is the least type size of text in it and round it.
    """

    x: float
    top: float
    cell: float
    size: int
    small: float = 5.0

    def box(self, cell: int) -> Box:
        """The box of a cell."""
        row, column = divmod(cell, self.size)
        left, top = self.x + column * self.cell, self.top - row * self.cell
        return (left, top - self.cell, left + self.cell, top)

    def middle(self, cell: int) -> Point:
        """The middle of a cell."""
        row, column = divmod(cell, self.size)
        return self.at(column + 0.5, row + 0.5)

    def at(self, x: float, y: float) -> Point:
        """A point given in cells from the upper left corner, y down."""
        return (self.x + x * self.cell, self.top - y * self.cell)

    def run(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Points given in cells."""
        return tuple(self.at(x, y) for x, y in points)

    def scaled(self, share: float, least: float, most: float = float("inf")) -> float:
        """A length that is a share of a cell, within bounds in points."""
        return min(max(share * self.cell, least), most)

    def type_size(self, share: float, least: float) -> float:
        """A type size that is a share of a cell, no less than ``least`` or the least there is."""
        return self.scaled(share, max(least, self.small))


def placed_in(x: float, top: float, side: float, size: int, shapes: Iterable[Shape]) -> GridPlace:
    """A grid that stands, with the bands of its clues outside, in a square of that side."""
    room = bands(shapes, size)
    cell = side / (size + max(room.across, room.down))
    return GridPlace(x + room.left * cell, top - room.top * cell, cell, size)
