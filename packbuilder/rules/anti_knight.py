"""Anti-knight: cells a knight's move apart differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.rules.cases import Case, Cases, allowed, at, corner, star
from packbuilder.rules.contract import Part, Wording
from packbuilder.rules.tools.bare import NO_CLUES
from packbuilder.rules.tools.chess_moves import MoveKind, MovesDiffer


@dataclass(frozen=True)
class KnightsDiffer(MovesDiffer):
    """No two equal digits a knight's move apart, anywhere in the grid."""

    piece = "knight"
    moves = ((1, -2), (1, 2), (2, -1), (2, 1))

    def holds(self, values: Values, size: int) -> bool:
        """No cell has its own digit a knight's move away."""
        return not any(
            values[a] == values[b]
            for a in self.cells
            for b in self.cells
            if {abs(a // size - b // size), abs(a % size - b % size)} == {1, 2}
        )


class AntiKnight(MoveKind):
    """Cells a knight's move apart differ."""

    slug = "anti-knight"
    title = "Anti-knight"
    about = "Cells a knight's move apart never hold the same digit."
    part = KnightsDiffer
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

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The knight's move, told for those who play no chess."""
        return Wording(
            "Cells a knight's move apart, two steps one way and one step to the side, never hold "
            "the same digit.",
            text=NO_CLUES,
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Two digits near a block's corner."""
        size, (row, column) = geometry.size, corner(geometry)
        digit, here = size - 1, at(row, column)
        far, near = at(row + 2, column + 2), at(row + 2, column + 1)
        moves = tuple((d, r) for d in (-2, -1, 1, 2) for r in (-2, -1, 1, 2) if abs(d) != abs(r))
        return Cases(
            Case(
                {here: digit, far: digit},
                f"The two {SYMBOLS[digit]}s are two cells apart both ways: no knight's move.",
            ),
            Case(
                {here: digit, near: digit},
                f"{allowed(geometry)}, but the two {SYMBOLS[digit]}s are a knight's move apart.",
                ringed=f"{here} {near}",
                leap=f"{here} {at(row + 2, column)} {near}",
            ),
            star(size, moves, 2, "r3c3 r1c3 r1c4"),
        )


KIND = AntiKnight()
