"""Anti-knight: cells a knight's move apart differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.grid import Values
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


KIND = AntiKnight()
