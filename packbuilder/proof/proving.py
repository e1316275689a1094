"""Proving a stream: how many solutions each grid has.

- plain: ``0``, ``1`` or ``2`` (two or more) solutions, ``?`` where the limit ran out first, ``-``
  for a line that is no grid;
- JSONL: ``{"grid", "solutions", "solution"}``; the grid as it stood in its line; ``solutions`` null
  where undecided, ``solution`` null unless there is exactly one. A line that is no grid has null
  for all three, and ``error`` says why.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from packbuilder.grid import Geometry, Values, format_grid
from packbuilder.proof.stream import Question
from packbuilder.rules.contract import Part

_PLAIN = {0: "0\n", 1: "1\n", 2: "2\n", -1: "?\n"}
_NUMBER = {0: "0", 1: "1", 2: "2", -1: "null"}


@dataclass(frozen=True)
class Prove(Question):
    """The number of solutions, and in JSONL the only one."""

    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        """A digit, or an object."""
        if not self.jsonl:
            return [_PLAIN[count] for count in counts]
        return [
            f'{{"grid": "{grid}", "solutions": {_NUMBER[count]}, "solution": '
            + (f'"{first}"}}\n' if count == 1 else "null}\n")
            for grid, count, first in zip(grids, counts, solved, strict=True)
        ]

    def answer(
        self,
        name: str | None,
        geometry: Geometry,
        clues: Values,
        parts: Sequence[Part],
        count: int,
        first: Values | None,
    ) -> str:
        """The same of one puzzle, an object with its id."""
        if not self.jsonl:
            return _PLAIN[count]
        found: dict[str, object] = {"id": name} if name is not None else {}
        found |= {"grid": format_grid(clues), "solutions": count if count >= 0 else None}
        found["solution"] = format_grid(first) if first and count == 1 else None
        return json.dumps(found) + "\n"

    def fault(self, told: str) -> str:
        """A dash, or an object with the fault."""
        nothing = {"grid": None, "solutions": None, "solution": None, "error": told}
        return json.dumps(nothing) + "\n" if self.jsonl else "-\n"
