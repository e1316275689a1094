"""Diagonals: the two long diagonals are houses like rows and columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import Literal

from packbuilder.grid import SYMBOLS, Geometry, House, Values, cell_name
from packbuilder.rules.cases import Case, Cases, allowed, at
from packbuilder.rules.contract import Clue, Part, RuleFault, Told, Wording
from packbuilder.rules.shapes import Diagonal, Shape
from packbuilder.rules.tools.bare import BareKind
from packbuilder.rules.tools.clue_words import labelled
from packbuilder.rules.tools.houses_only import HousesOnly
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


def _clue(part: LongDiagonal, size: int) -> Clue:
    first, last = (cell_name(part.cells[k], size) for k in (0, -1))
    return Clue(_NAMES[part.slope].removesuffix(" diagonal"), (first, "to", last))


class Diagonals(BareKind):
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

    def whole(self, geometry: Geometry) -> tuple[Part, ...]:
        """Both diagonals."""
        return _diagonal("down", geometry.size), _diagonal("up", geometry.size)

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``falling: r1c1 to r9c9``."""
        return tuple(_clue(part, geometry.size) for part in parts if isinstance(part, LongDiagonal))

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """Those of the two whose corners are told."""
        both = {
            "falling": _diagonal("down", geometry.size),
            "rising": _diagonal("up", geometry.size),
        }
        given = labelled(told, both)
        for label, words in given.items():
            if words != (due := _clue(both[label], geometry.size).words):
                raise RuleFault(f"the {label} diagonal does not run so", f"it runs from {due}")
        return tuple(part for label, part in both.items() if label in given)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """What the two lines mean."""
        return Wording(
            f"Each of the two long diagonals also holds every digit from {all_digits(size)} once."
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """One diagonal filled, and with a digit twice."""
        size = geometry.size
        step = next(k for k in range(2, size) if gcd(k, size) == 1)
        digits = [k * step % size + 1 for k in range(size)]
        twice, last = digits[1], at(size - 1, size - 1)
        full = {at(k, k): digit for k, digit in enumerate(digits, start=1)}
        return Cases(
            Case(
                full,
                f"One diagonal has every digit from {all_digits(size)} once. The other must too.",
            ),
            Case(
                full | {last: twice},
                f"{allowed(geometry)}, but the two {SYMBOLS[twice]}s are on one diagonal.",
                ringed=f"r2c2 {last}",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The diagonals that are drawn."""
        return tuple(
            _diagonal(shape.slope, geometry.size) for shape in shapes if isinstance(shape, Diagonal)
        )


KIND = Diagonals()
