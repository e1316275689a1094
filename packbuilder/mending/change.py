"""Change: other clues for a puzzle, in words, and what the gate would say of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from packbuilder import gate
from packbuilder.gate.report import Finding
from packbuilder.grid import SYMBOLS, Values, cell_name
from packbuilder.phrases import listed
from packbuilder.puzzle import Pack, Puzzle


@dataclass(frozen=True)
class Change:
    """A puzzle with other clues; ``slip`` says how the setter may have come to the old ones.

    ``solutions`` is 1, or 2 for several.
    """

    puzzle: Puzzle
    pack: Pack
    clues: Values
    slip: str = ""
    solutions: int = 1

    @cached_property
    def cells(self) -> tuple[int, ...]:
        """The cells that change."""
        pairs = zip(self.puzzle.clues, self.clues, strict=True)
        return tuple(cell for cell, (old, new) in enumerate(pairs) if old != new)

    @cached_property
    def broken(self) -> tuple[Finding, ...]:
        """What the gate says of the promises that it would not keep."""
        if self.solutions != 1:
            return ()
        return tuple(gate.broken_promises(replace(self.puzzle, clues=self.clues), self.pack))

    @property
    def codes(self) -> set[str]:
        """The codes of what it would not keep."""
        return {finding.code for finding in self.broken}

    @property
    def words(self) -> str:
        """``add 2 at r4c2 and 5 at r6c8``, ``3 at r1c1 for the 8 there``."""
        added, other, out = list[str](), list[str](), list[str]()
        for cell in self.cells:
            old, new = self.puzzle.clues[cell], self.clues[cell]
            name = cell_name(cell, self.puzzle.size)
            if old and new:
                other.append(f"{SYMBOLS[new]} at {name} for the {SYMBOLS[old]} there")
            elif new:
                added.append(f"{SYMBOLS[new]} at {name}")
            else:
                out.append(f"the {SYMBOLS[old]} at {name}")
        told = [f"leave out {listed(out)}"] if out else []
        told += [f"add {listed(added)}"] if added else []
        told += [f"write {listed(other)}"] if other else []
        return "; ".join(told)


def changed(clues: Sequence[int], cells: Iterable[tuple[int, int]]) -> Values:
    """The clues with other digits, 0 for none, in some cells."""
    found = list(clues)
    for cell, digit in cells:
        found[cell] = digit
    return tuple(found)
