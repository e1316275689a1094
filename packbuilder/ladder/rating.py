"""Rating a stream: how hard each grid is. Only one with exactly one solution has a grade.

- plain: grade, hardest step, effort, mark load and the grid, in columns, and the techniques that it
  needs, and that no other could stand in for, if they are asked for; where there is no grade, a
  dash and the reason; a dash for the mark load where notes are needed, ``?`` if it is not known;
- JSONL: ``{"grid", "solutions", "solution", "grade", "hardest", "effort", "techniques",
  "no_notes"}``, ``needs`` and ``only`` if asked for, and ``reason`` where the grade is null. A line
  that is no grid has null for all, and ``error``.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from packbuilder.grid import Geometry, Values, format_grid
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.promises import needed, sole
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof.stream import NINE, Question
from packbuilder.rules.contract import Part

REASONS = {0: "no solution", 2: "several solutions", -1: "undecided"}
"""Why a grid has no grade, by the proof's count."""

_FIELDS = ("grid", "solutions", "solution", "grade", "hardest", "effort", "techniques", "no_notes")


@dataclass(frozen=True)
class Rate(Question):
    """Grade, hardest step, effort and mark load by a ladder; and what is needed, if asked for."""

    needs: bool = False
    ladder: Ladder = DEFAULT

    grids_a_chunk: ClassVar[int] = 100  # a fraction of a second, which is how long it takes to stop
    alone: ClassVar[int | None] = 500

    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        """Columns, or an object."""
        for grid, count, first in zip(grids, counts, solved, strict=True):
            yield self._line(self._facts(grid, count, first))

    def answer(
        self,
        name: str | None,
        geometry: Geometry,
        clues: Values,
        parts: Sequence[Part],
        count: int,
        first: Values | None,
    ) -> str:
        """The same of one puzzle; in columns its id stands for its grid."""
        facts: dict[str, Any] = {} if name is None else {"id": name}
        grid = format_grid(clues)
        if count != 1 or first is None:
            known = count if count >= 0 else None
            facts |= {"grid": grid, "solutions": known, "reason": REASONS[count]}
        else:
            facts |= self._rated(grid, geometry, clues, format_grid(first), parts)
        return self._line(facts)

    def fault(self, told: str) -> str:
        """Dashes and the fault, or an object with it."""
        return self._line({"error": told})

    def _facts(self, grid: str, solutions: int, solution: str) -> dict[str, Any]:
        """What there is to say of one grid."""
        if solutions != 1:
            known = solutions if solutions >= 0 else None
            return {"grid": grid, "solutions": known, "reason": REASONS[solutions]}
        clues = tuple(0 if ch in ".0" else int(ch) for ch in grid)
        return self._rated(grid, NINE, clues, solution, ())

    def _rated(
        self, grid: str, geometry: Geometry, clues: Values, solution: str, parts: Sequence[Part]
    ) -> dict[str, Any]:
        """What there is to say of a grid with one solution."""
        ladder = with_rules(self.ladder, parts)
        rating = rate(geometry, clues, ladder=ladder)
        facts = {
            "grid": grid,
            "solutions": 1,
            "solution": solution,
            "grade": rating.grade,
            "hardest": rating.hardest or None,
            "effort": rating.effort,
            "techniques": dict(rating.techniques),
            "no_notes": no_notes(geometry, clues, parts).as_json,
        }
        if self.needs:
            found = needed(geometry, clues, ladder=ladder)
            facts["needs"] = list(found)
            facts["only"] = list(sole(geometry, clues, found, ladder=ladder))
        return facts

    def _line(self, facts: dict[str, Any]) -> str:
        """The line of output that tells the facts."""
        if self.jsonl:
            fields = (*_FIELDS, "needs", "only") if self.needs else _FIELDS
            own = {"id": facts["id"]} if "id" in facts else {}
            return json.dumps(own | dict.fromkeys(fields) | facts) + "\n"
        if "error" in facts:
            return _columns("-", "no grid", "-", "-", facts["error"])
        what = facts.get("id", facts["grid"])
        lists = ("needs", "only") if self.needs else ()
        needs = [", ".join(facts.get(name) or "-") for name in lists]
        if "reason" in facts:
            return _columns("-", facts["reason"], "-", "-", what, *needs)
        marks = _marks(facts["no_notes"])
        effort, hardest = f"{facts['effort']:.0f}", facts["hardest"] or "-"
        return _columns(str(facts["grade"]), hardest, effort, marks, what, *needs)


def _marks(unaided: dict[str, Any]) -> str:
    if unaided["solved"] is None:
        return "?"
    return str(unaided["marks"]) if unaided["solved"] else "-"


def _columns(grade: str, hardest: str, effort: str, marks: str, *rest: str) -> str:
    return "  ".join((f"{grade:>6}", f"{hardest:<18} {effort:>7} {marks:>3}", *rest)) + "\n"
