"""Anti-knight: cells a knight's move apart differ.

Each such pair is a house of two cells, so every engine and every technique counts the two among
the cells that see each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from packbuilder.grid import Geometry, House, Values
from packbuilder.rules.contract import Kind, Part
from packbuilder.rules.shapes import Shape
from packbuilder.rules.tools.cells import leaps, nothing
from packbuilder.rules.tools.houses_only import HousesOnly, pair_houses
from packbuilder.rules.tools.schema import BARE

_DOWN = ((1, -2), (1, 2), (2, -1), (2, 1))
"""Each pair of cells once: the second lies below the first."""


@dataclass(frozen=True)
class KnightsDiffer(HousesOnly):
    """No two equal digits a knight's move apart, anywhere in the grid."""

    cells: tuple[int, ...]

    def name(self, size: int) -> str:
        """``knight's move rule``."""
        return "knight's move rule"

    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """All pairs a knight's move apart."""
        return tuple(leaps(size, _DOWN))

    def holds(self, values: Values, size: int) -> bool:
        """No cell has its own digit a knight's move away."""
        return not any(
            values[a] == values[b]
            for a in self.cells
            for b in self.cells
            if {abs(a // size - b // size), abs(a % size - b % size)} == {1, 2}
        )

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The pairs that no other house holds."""
        return pair_houses(leaps(geometry.size, _DOWN), "knight's move", geometry)

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn: the rule is told in words."""
        return ()


class AntiKnight(Kind):
    """Cells a knight's move apart differ."""

    slug = "anti-knight"
    title = "Anti-knight"
    about = "Cells a knight's move apart never hold the same digit."
    example = """\
id: anti-knight
title: Anti-knight
size: 6
grid: |
  5....4
  ...2..
  3.....
  ......
  .6....
  4.....
rules:
  - anti-knight
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The rule, once for the whole grid."""
        nothing(value, self.slug)
        return (KnightsDiffer(tuple(range(geometry.cell_count))),)

    def schema(self) -> dict[str, Any]:
        """A bare name."""
        return BARE

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """The knight's move, told for those who play no chess."""
        return (
            "Cells a knight's move apart, two steps one way and one step to the side, never hold "
            "the same digit."
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Nothing: the rule has no shape."""
        return ()


KIND = AntiKnight()
