"""Rules that are houses and nothing else: diagonals, extra regions, cells that may not be equal.

Their houses stand in the puzzle's geometry beside rows, columns and blocks. So the kernel, the
clauses, the search and the ladder meet them there; the parts themselves have no clauses and no
deductions of their own.
"""

from __future__ import annotations

from abc import abstractmethod
from typing import ClassVar

from packbuilder.rules.contract import Clauses, Part
from packbuilder.rules.relations import Relation


class HousesOnly(Part):
    """A part that forbids repeats, and that is all."""

    houses_only: ClassVar[bool] = True
    renaming = "any"

    @abstractmethod
    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """The sets of cells that may not repeat a digit."""

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """None: its houses say all."""
        return ()

    def encode(self, clauses: Clauses) -> None:
        """Nothing: the clauses are those of its houses."""

    def prune(self, masks: list[int], size: int) -> bool:
        """Strike placed digits from the cells that see them; no more than its houses say."""
        for group in self.groups(size):
            seen = 0
            for cell in group:
                if masks[cell] & masks[cell] - 1 == 0:
                    if masks[cell] & seen or not masks[cell]:
                        return False
                    seen |= masks[cell]
            for cell in group:
                if masks[cell] & masks[cell] - 1:
                    masks[cell] &= ~seen
                    if not masks[cell]:
                        return False
        return True
