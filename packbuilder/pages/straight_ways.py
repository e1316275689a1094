"""Straight ways: from the middle of one cell to another's, clear of what stands between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import dist

from packbuilder.plan.items import Point

_LEAST = 0.08
"""Cells: no piece of a way is shorter."""


@dataclass(frozen=True)
class Way:
    """The way between two cells of a grid of a size; lengths and points are in cells, y down."""

    one: int
    other: int
    size: int

    @property
    def ends(self) -> tuple[Point, Point]:
        """The middles of both cells."""
        (r, c), (q, k) = divmod(self.one, self.size), divmod(self.other, self.size)
        return (c + 0.5, r + 0.5), (k + 0.5, q + 0.5)

    @property
    def length(self) -> float:
        """From middle to middle."""
        return dist(*self.ends)

    @property
    def is_level(self) -> bool:
        """Whether it runs along a row or a column."""
        (a, b), (c, d) = self.ends
        return a == c or b == d

    def at(self, far: float, aside: float = 0.0) -> Point:
        """The point so far along it, and so far to its left."""
        (a, b), (c, d) = self.ends
        x, y = (c - a) / self.length, (d - b) / self.length
        return a + x * far + y * aside, b + y * far - x * aside

    def clear(
        self, start: float, end: float, rooms: Mapping[int, float], apart: float = 0.0
    ) -> list[tuple[float, float]]:
        """The pieces of the way, less so much at its start and its end, that keep out of rooms:
        discs about the middles of cells. ``apart`` is half the width of what goes along it."""
        pieces = [(start, self.length - end)]
        (a, b), (c, d) = self.ends
        x, y = (c - a) / self.length, (d - b) / self.length
        for cell, room in rooms.items():
            row, column = divmod(cell, self.size)
            u, v = column + 0.5 - a, row + 0.5 - b
            along, off = u * x + v * y, abs(u * y - v * x)
            reach = room + apart if not self.is_level else room
            if cell in (self.one, self.other) or off >= (0.1 if self.is_level else reach):
                continue
            half = (reach * reach - off * off) ** 0.5
            pieces = [
                piece
                for low, high in pieces
                for piece in ((low, min(high, along - half)), (max(low, along + half), high))
                if piece[1] - piece[0] > _LEAST
            ]
        return pieces
