"""Stream: rate a file of any length, a 9x9 grid a line, on all cores, in constant memory.

Each grid is proved first: only one with exactly one solution has a grade. Each line that is not
blank gives one line of output, in the order of the input:

- plain: grade, hardest step, effort, mark load and the grid, in columns, and the techniques that it
  needs, and that no other could stand in for, if they are asked for; where there is no grade, a
  dash and the reason; a dash for the mark load where notes are needed, ``?`` if it is not known;
- JSONL: ``{"grid", "solutions", "solution", "grade", "hardest", "effort", "techniques",
  "no_notes"}``, ``needs`` and ``only`` if asked for, and ``reason`` where the grade is null. A line
  that is no grid has null for all, and ``error``.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from os import cpu_count
from typing import Any, BinaryIO, TextIO

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import blocks
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.promises import needed, sole
from packbuilder.ladder.rating import rate
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel
from packbuilder.proof.grid_lines import CELLS, Chunk
from packbuilder.proof.workers import Done, Processes, flow, woven

TASK = 100
"""Grids that a process takes at a time: a fraction of a second, which is also how long it takes to
stop."""

SMALL = 500
"""Up to so many grids, starting other processes costs more than they save."""

REASONS = {0: "no solution", 2: "several solutions", -1: "undecided"}
"""Why a grid has no grade, by the proof's count."""

Row = NDArray[np.uint8]
_GEOMETRY = blocks(3, 3)
_FIELDS = ("grid", "solutions", "solution", "grade", "hardest", "effort", "techniques", "no_notes")


@dataclass(frozen=True)
class RateTally:
    """What a stream held: grids rated, grids without exactly one solution, and bad lines."""

    rated: int = 0
    refused: int = 0
    undecided: int = 0
    bad: int = 0
    lines: int = 0


@dataclass(frozen=True)
class _Wish:
    """What is asked of every grid."""

    jsonl: bool
    needs: bool
    ladder: Ladder
    node_limit: int

    @property
    def fields(self) -> tuple[str, ...]:
        return (*_FIELDS, "needs", "only") if self.needs else _FIELDS


def run(
    source: BinaryIO,
    sink: TextIO,
    *,
    jsonl: bool,
    report: Callable[[str], None],
    progress: Callable[[int], None] | None = None,
    needs: bool = False,
    ladder: Ladder = DEFAULT,
    node_limit: int = kernel.NODE_LIMIT,
    processes: int | None = None,
) -> RateTally:
    """Rate each line of ``source`` by the ``ladder``; write the answers to ``sink``, in order.

    ``report`` gets a sentence for each line that is no grid, ``progress`` the number of lines
    done since it was last called. Memory does not grow with the stream. Raises InputError where
    the source is no plain text.
    """
    work = partial(_rated, wish=_Wish(jsonl, needs, ladder, node_limit))
    with Processes(work, processes or cpu_count() or 1, alone=SMALL) as crew:
        block = TASK * (CELLS + 1)
        tally = flow(source, sink, crew, report=report, progress=progress, block=block)
    return RateTally(**tally)


def _rated(chunk: Chunk, wish: _Wish) -> Done:
    counts, solutions = kernel.prove_many(
        _GEOMETRY, chunk.grids, node_limit=wish.node_limit, threads=1
    )
    answers = [
        _line(_facts(text.tobytes().decode("ascii"), count, solution, wish), wish)
        for text, count, solution in zip(chunk.texts, counts.tolist(), solutions, strict=True)
    ]
    rated, undecided = int((counts == 1).sum()), int((counts == -1).sum())
    kinds = Counter(rated=rated, undecided=undecided, refused=len(answers) - rated - undecided)
    return woven(chunk, answers, lambda fault: _line({"error": fault}, wish)), kinds


def _facts(grid: str, solutions: int, solution: Row, wish: _Wish) -> dict[str, Any]:
    """What there is to say of one grid."""
    if solutions != 1:
        known = solutions if solutions >= 0 else None
        return {"grid": grid, "solutions": known, "reason": REASONS[solutions]}
    clues = tuple(0 if ch in ".0" else int(ch) for ch in grid)
    rating = rate(_GEOMETRY, clues, ladder=wish.ladder)
    facts = {
        "grid": grid,
        "solutions": 1,
        "solution": "".join(map(str, solution.tolist())),
        "grade": rating.grade,
        "hardest": rating.hardest or None,
        "effort": rating.effort,
        "techniques": dict(rating.techniques),
        "no_notes": no_notes(_GEOMETRY, clues).as_json,
    }
    if wish.needs:
        found = needed(_GEOMETRY, clues, ladder=wish.ladder)
        facts["needs"] = list(found)
        facts["only"] = list(sole(_GEOMETRY, clues, found, ladder=wish.ladder))
    return facts


def _line(facts: dict[str, Any], wish: _Wish) -> str:
    """The line of output that tells the facts."""
    if wish.jsonl:
        return json.dumps(dict.fromkeys(wish.fields) | facts) + "\n"
    if "error" in facts:
        return _columns("-", "no grid", "-", "-", facts["error"])
    lists = ("needs", "only") if wish.needs else ()
    needs = [", ".join(facts.get(what) or "-") for what in lists]
    if "reason" in facts:
        return _columns("-", facts["reason"], "-", "-", facts["grid"], *needs)
    marks = _marks(facts["no_notes"])
    effort, hardest = f"{facts['effort']:.0f}", facts["hardest"] or "-"
    return _columns(str(facts["grade"]), hardest, effort, marks, facts["grid"], *needs)


def _marks(unaided: dict[str, Any]) -> str:
    if "at_least" in unaided:
        return "?"
    return "-" if unaided["marks"] is None else str(unaided["marks"])


def _columns(grade: str, hardest: str, effort: str, marks: str, *rest: str) -> str:
    return "  ".join((f"{grade:>6}", f"{hardest:<18} {effort:>7} {marks:>3}", *rest)) + "\n"
