"""Diagonals: the two long diagonals are houses like rows and columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from packbuilder.grid import Geometry, House, Values
from packbuilder.rules.contract import Kind, Part
from packbuilder.rules.shapes import Diagonal, Shape
from packbuilder.rules.tools.cells import nothing
from packbuilder.rules.tools.houses_only import HousesOnly
from packbuilder.rules.tools.schema import BARE
from packbuilder.rules.tools.words import all_digits

Slope = Literal["down", "up"]
_NAMES = {"down": "falling diagonal", "up": "rising diagonal"}


@dataclass(frozen=True)
class LongDiagonal(HousesOnly):
    """One long diagonal: ``down`` falls from the top left corner, ``up`` rises to the top right."""

    cells: tuple[int, ...]
    slope: Slope

    def name(self, size: int) -> str:
        """``falling diagonal``."""
        return _NAMES[self.slope]

    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """All its cells."""
        return (self.cells,)

    def holds(self, values: Values, size: int) -> bool:
        """No digit comes twice on it."""
        rows = [values[k : k + size] for k in range(0, size * size, size)]
        if self.slope == "up":
            rows.reverse()
        return len({row[k] for k, row in enumerate(rows)}) == size

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The diagonal."""
        return (House("diagonal", f"the {_NAMES[self.slope]}", self.cells),)

    def shapes(self) -> tuple[Shape, ...]:
        """A thin line from corner to corner."""
        return (Diagonal(self.slope),)


def _diagonal(slope: Slope, size: int) -> LongDiagonal:
    if slope == "down":
        return LongDiagonal(tuple(r * (size + 1) for r in range(size)), slope)
    return LongDiagonal(tuple((size - 1 - c) * size + c for c in range(size)), slope)


class Diagonals(Kind):
    """Both long diagonals hold every digit once."""

    slug = "diagonals"
    title = "Diagonals"
    about = "Both long diagonals hold every digit once."
    example = """\
id: diagonals
title: Diagonals
size: 6
grid: |
  2.....
  .4....
  .....5
  ....46
  ......
  3.....
rules:
  - diagonals
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """Both diagonals."""
        nothing(value, self.slug)
        return _diagonal("down", geometry.size), _diagonal("up", geometry.size)

    def schema(self) -> dict[str, Any]:
        """A bare name."""
        return BARE

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """What the two lines mean."""
        return f"Each of the two long diagonals also holds the digits {all_digits(size)} once."

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The diagonals that are drawn."""
        return tuple(
            _diagonal(shape.slope, geometry.size) for shape in shapes if isinstance(shape, Diagonal)
        )


KIND = Diagonals()
