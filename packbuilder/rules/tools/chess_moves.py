"""Cells a move of chess apart that may not be equal: each pair of them is a house of two cells.

So every engine and every technique counts the two among the cells that see each other. `holds`
stands in the rule's own file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from packbuilder.grid import Geometry, House, cell_name
from packbuilder.rules.contract import Part
from packbuilder.rules.shapes import Shape
from packbuilder.rules.tools.bare import BareKind
from packbuilder.rules.tools.cells import leaps
from packbuilder.rules.tools.houses_only import HousesOnly


@dataclass(frozen=True)
class MovesDiffer(HousesOnly):
    """No two equal digits a move apart, anywhere in the grid."""

    cells: tuple[int, ...]

    piece: ClassVar[str]
    """``knight``."""
    moves: ClassVar[tuple[tuple[int, int], ...]]
    """Rows down and columns right, each pair of cells once: the second lies below the first."""

    def name(self, size: int) -> str:
        """``knight's move rule``."""
        return f"{self.piece}'s move rule"

    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """All pairs a move apart."""
        return tuple(leaps(size, self.moves))

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The pairs that no row, column, block or region holds already."""
        size, regions = geometry.size, geometry.regions

        def together(a: int, b: int) -> bool:
            in_line = a // size == b // size or a % size == b % size
            return in_line or (regions is not None and regions[a] == regions[b])

        return tuple(
            House(f"{self.piece}'s move", f"{cell_name(a, size)} and {cell_name(b, size)}", (a, b))
            for a, b in leaps(size, self.moves)
            if not together(a, b)
        )

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn: the rule is told in words."""
        return ()


class MoveKind(BareKind):
    """The rule of one piece of chess."""

    part: ClassVar[type[MovesDiffer]]

    def whole(self, geometry: Geometry) -> tuple[Part, ...]:
        """One part, for all cells."""
        return (self.part(tuple(range(geometry.cell_count))),)
