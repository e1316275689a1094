"""Anti-king: cells that touch at a corner differ.

Each such pair is a house of two cells, so every engine and every technique counts the two among
the cells that see each other. (Cells that share a side lie in one row or column.)
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

_DOWN = ((1, -1), (1, 1))
"""Each pair of cells once: the second lies below the first."""


@dataclass(frozen=True)
class KingsDiffer(HousesOnly):
    """No two equal digits that touch at a corner, anywhere in the grid."""

    cells: tuple[int, ...]

    def name(self, size: int) -> str:
        """``king's move rule``."""
        return "king's move rule"

    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """All pairs that touch at a corner."""
        return tuple(leaps(size, _DOWN))

    def holds(self, values: Values, size: int) -> bool:
        """No cell has its own digit at one of its corners."""
        return not any(
            values[a] == values[b]
            for a in self.cells
            for b in self.cells
            if abs(a // size - b // size) == 1 == abs(a % size - b % size)
        )

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The pairs that no other house holds."""
        return pair_houses(leaps(geometry.size, _DOWN), "king's move", geometry)

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn: the rule is told in words."""
        return ()


class AntiKing(Kind):
    """Cells that touch at a corner differ."""

    slug = "anti-king"
    title = "Anti-king"
    about = "Cells that touch at a corner never hold the same digit."
    example = """\
id: anti-king
title: Anti-king
size: 6
grid: |
  .6...1
  ......
  .3..5.
  .5.2.6
  ......
  ......
rules:
  - anti-king
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The rule, once for the whole grid."""
        nothing(value, self.slug)
        return (KingsDiffer(tuple(range(geometry.cell_count))),)

    def schema(self) -> dict[str, Any]:
        """A bare name."""
        return BARE

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """The king's move, told for those who play no chess."""
        return (
            "Cells a king's move apart never hold the same digit: not even those that touch only "
            "at a corner."
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Nothing: the rule has no shape."""
        return ()


KIND = AntiKing()
