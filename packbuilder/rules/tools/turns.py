"""The eight ways to lay a square grid: what turning and mirroring the page does to shapes.

A way is told by where the cells go: ``turn[cell]`` is the new number of a cell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from packbuilder.rules.shapes import (
    Box,
    Corner,
    Diagonal,
    Edge,
    Fence,
    Outside,
    Patch,
    Path,
    Ring,
    Shape,
)

Spot = tuple[int, int]
_FLIPPED = {"<": ">", ">": "<"}


@dataclass(frozen=True)
class Turn:
    """One way to lay the page: ``spot`` maps row and column (rows outside the grid too)."""

    size: int
    spot: Callable[[int, int], Spot]

    def cell(self, cell: int) -> int:
        """Where a cell goes."""
        row, column = self.spot(*divmod(cell, self.size))
        return row * self.size + column

    def cells(self, cells: tuple[int, ...]) -> tuple[int, ...]:
        """Where cells go, in the same order."""
        return tuple(map(self.cell, cells))

    def shape(self, shape: Shape) -> Shape:
        """The shape as it looks afterwards, but for the corner that a small text stands in."""
        match shape:
            case Path() | Fence() | Patch():
                return replace(shape, cells=self.cells(shape.cells))
            case Ring() | Box() | Corner():
                return replace(shape, cell=self.cell(shape.cell))
            case Edge():
                return self._edge(shape)
            case Diagonal():
                return self._diagonal(shape)
            case Outside():
                return self._outside(shape)

    def _edge(self, shape: Edge) -> Edge:
        a, b = self.cells(shape.cells)
        if a < b:
            return Edge((a, b), shape.mark)
        mark = _FLIPPED.get(shape.mark, shape.mark)
        return Edge((b, a), mark)  # type: ignore[arg-type]

    def _diagonal(self, shape: Diagonal) -> Diagonal:
        corner = self.cell(0 if shape.slope == "down" else self.size - 1)
        return Diagonal("down" if corner in (0, self.size**2 - 1) else "up")

    def _outside(self, shape: Outside) -> Outside:
        inside = -1 if shape.side in ("top", "left") else self.size
        at = (inside, shape.index) if shape.side in ("top", "bottom") else (shape.index, inside)
        row, column = self.spot(*at)
        towards = None
        if shape.towards is not None:
            down, across = (1 if word in shape.towards else -1 for word in ("down", "right"))
            to_row, to_column = self.spot(at[0] + down, at[1] + across)
            towards = (
                f"{'down' if to_row > row else 'up'}-{'right' if to_column > column else 'left'}"
            )
        if row in (-1, self.size):
            return Outside("top" if row < 0 else "bottom", column, shape.text, towards)
        return Outside("left" if column < 0 else "right", row, shape.text, towards)


def turns(size: int) -> Iterator[Turn]:
    """All eight ways, the page as it is first."""
    last = size - 1
    yield Turn(size, lambda r, c: (r, c))
    yield Turn(size, lambda r, c: (c, last - r))
    yield Turn(size, lambda r, c: (last - r, last - c))
    yield Turn(size, lambda r, c: (last - c, r))
    yield Turn(size, lambda r, c: (r, last - c))
    yield Turn(size, lambda r, c: (last - r, c))
    yield Turn(size, lambda r, c: (c, r))
    yield Turn(size, lambda r, c: (last - c, last - r))
