"""Anti-king: cells that touch at a corner differ. (Those that share a side lie in one line.)"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.rules.cases import Case, Cases, allowed, at, corner, star
from packbuilder.rules.contract import Part, Wording
from packbuilder.rules.tools.bare import NO_CLUES
from packbuilder.rules.tools.chess_moves import MoveKind, MovesDiffer


@dataclass(frozen=True)
class KingsDiffer(MovesDiffer):
    """No two equal digits that touch at a corner, anywhere in the grid."""

    piece = "king"
    moves = ((1, -1), (1, 1))

    def holds(self, values: Values, size: int) -> bool:
        """No cell has its own digit at one of its corners."""
        return not any(
            values[a] == values[b]
            for a in self.cells
            for b in self.cells
            if abs(a // size - b // size) == 1 == abs(a % size - b % size)
        )


class AntiKing(MoveKind):
    """Cells that touch at a corner differ."""

    slug = "anti-king"
    title = "Anti-king"
    about = "Cells that touch at a corner never hold the same digit."
    part = KingsDiffer
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

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The king's move, told for those who play no chess."""
        return Wording(
            "Cells a king's move apart never hold the same digit: not even those that touch only "
            "at a corner.",
            text=NO_CLUES,
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Two digits near a block's corner."""
        size, (row, column) = geometry.size, corner(geometry)
        digit, here = size - 1, at(row, column)
        far, near = at(row + 1, column + 2), at(row + 1, column + 1)
        return Cases(
            Case({here: digit, far: digit}, f"The two {SYMBOLS[digit]}s do not touch."),
            Case(
                {here: digit, near: digit},
                f"{allowed(geometry)}, but the two {SYMBOLS[digit]}s touch at a corner.",
                ringed=f"{here} {near}",
            ),
            star(size, tuple((d, r) for d in (-1, 0, 1) for r in (-1, 0, 1) if d or r), 1),
        )


KIND = AntiKing()
