"""Stream: rate a file of any length, a 9x9 grid a line, on all cores, in constant memory.

Each grid is proved first: only one with exactly one solution has a grade. Each line that is not
blank gives one line of output, in the order of the input:

- plain: grade, hardest step, effort, mark load and the grid, in columns; where there is no grade, a
  dash and the reason; a dash for the mark load where notes are needed, ``?`` if it is not known;
- JSONL: ``{"grid", "solutions", "solution", "grade", "hardest", "effort", "techniques",
  "no_notes"}``, and ``reason`` where the grade is null. A line that is no grid has null for all,
  and ``error``.

With ``needs`` each grid also has the techniques that it needs, each taken alone: at the end of its
line, or as a list of that name.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from os import cpu_count
from typing import Any, BinaryIO, TextIO

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import blocks
from packbuilder.ladder.no_notes import no_notes
from packbuilder.ladder.path import rate
from packbuilder.ladder.promises import needed
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.techniques import DEFAULT
from packbuilder.proof import kernel
from packbuilder.proof.lines import CELLS, Chunk, chunks

TASK = 250
"""Grids that a process takes at a time: about a tenth of a second."""

SMALL = 500
"""Up to so many grids at once, starting other processes costs more than they save."""

REASONS = {0: "no solution", 2: "several solutions", -1: "undecided"}
"""Why a grid has no grade, by the proof's count."""

_GEOMETRY = blocks(3, 3)
_FIELDS = ("grid", "solutions", "solution", "grade", "hardest", "effort", "techniques", "no_notes")

Grids = NDArray[np.uint8]


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


@dataclass(frozen=True)
class _Answers:
    """The lines of some grids, and how many of them have which kind of answer."""

    lines: tuple[str, ...]
    rated: int
    undecided: int


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
    done since it was last called. Memory does not grow with the stream.
    """
    workers = processes or cpu_count() or 1
    wish = _Wish(jsonl, needs, ladder, node_limit)
    tally = RateTally()
    waiting: deque[tuple[Chunk, list[Callable[[], _Answers]]]] = deque()

    def settle(most: int) -> None:
        """Write out what is waiting, until at most so many chunks are left."""
        nonlocal tally
        while len(waiting) > most:
            chunk, parts = waiting.popleft()
            answers = [part() for part in parts]
            for fault in chunk.faults:
                report(fault)
            sink.writelines(_woven(chunk, (line for a in answers for line in a.lines), jsonl))
            tally = _plus(tally, chunk, answers)
            if progress:
                progress(chunk.lines)

    with ExitStack() as stack:
        pool: ProcessPoolExecutor | None = None
        for chunk in chunks(source):
            if pool is None and workers > 1 and len(chunk.grids) > SMALL:
                # A fresh start, not a fork: whoever draws a progress bar has threads running.
                context = get_context("spawn")
                pool = stack.enter_context(ProcessPoolExecutor(workers, mp_context=context))
            waiting.append((chunk, _parts(chunk, pool, wish)))
            settle(0 if chunk.slow or pool is None else 2)
            if chunk.slow:
                sink.flush()
        settle(0)
    return tally


def _answer(solutions: int, solution: str | None, grid: str, wish: _Wish) -> tuple[str, bool]:
    """One grid's line of output, and whether it has a grade."""
    facts: dict[str, Any] = dict.fromkeys(_FIELDS)
    facts |= {"grid": grid, "solutions": solutions if solutions >= 0 else None}
    if solutions != 1:
        reason = REASONS[solutions]
        told = _columns("-", reason, "-", "-", grid)
        return (json.dumps(facts | {"reason": reason}) if wish.jsonl else told) + "\n", False
    clues = tuple(0 if ch in ".0" else int(ch) for ch in grid)
    rating = rate(_GEOMETRY, clues, ladder=wish.ladder)
    unaided = no_notes(_GEOMETRY, clues)
    needs = needed(_GEOMETRY, clues, ladder=wish.ladder) if wish.needs else ()
    if not wish.jsonl:
        marks = "?" if not unaided.known else "-" if unaided.marks is None else str(unaided.marks)
        effort, hardest = f"{rating.effort:.1f}", rating.hardest or "-"
        line = _columns(str(rating.grade), hardest, effort, marks, grid)
        return f"{line}  {', '.join(needs) or '-'}\n" if wish.needs else f"{line}\n", True
    facts |= {
        "solution": solution,
        "grade": rating.grade,
        "hardest": rating.hardest or None,
        "effort": rating.effort,
        "techniques": dict(rating.techniques),
        "no_notes": unaided.as_json,
    }
    return json.dumps(facts | {"needs": needs} if wish.needs else facts) + "\n", True


def _columns(grade: str, hardest: str, effort: str, marks: str, grid: str) -> str:
    return f"{grade:>6}  {hardest:<18} {effort:>7} {marks:>3}  {grid}"


def _parts(
    chunk: Chunk, pool: ProcessPoolExecutor | None, wish: _Wish
) -> list[Callable[[], _Answers]]:
    """The chunk's answers, in parts: each to be called when its turn comes."""
    parts: list[Callable[[], _Answers]] = []
    for k in range(0, len(chunk.grids), TASK):
        texts, grids = chunk.texts[k : k + TASK].tobytes(), chunk.grids[k : k + TASK]
        if pool is None:
            parts.append(partial(_answers, texts, grids, wish))
        else:
            parts.append(pool.submit(_answers, texts, grids, wish).result)
    return parts


def _answers(texts: bytes, grids: Grids, wish: _Wish) -> _Answers:
    counts, solutions = kernel.prove_many(_GEOMETRY, grids, node_limit=wish.node_limit, threads=1)
    lines, rated = [], 0
    for k, count in enumerate(counts.tolist()):
        grid = texts[k * CELLS : (k + 1) * CELLS].decode("ascii")
        solution = "".join(map(str, solutions[k].tolist())) if wish.jsonl else None
        line, graded = _answer(count, solution, grid, wish)
        lines.append(line)
        rated += graded
    return _Answers(tuple(lines), rated, int((counts == -1).sum()))


def _woven(chunk: Chunk, answers: Iterator[str], jsonl: bool) -> Iterator[str]:
    """The lines of the good grids and of the bad lines, as they stood in the input."""
    faults = iter(chunk.faults)
    for good in chunk.good.tolist():
        if good:
            yield next(answers)
        else:
            error = next(faults)
            facts = dict.fromkeys(_FIELDS) | {"error": error}
            yield (json.dumps(facts) if jsonl else _columns("-", "no grid", "-", "-", error)) + "\n"


def _plus(tally: RateTally, chunk: Chunk, answers: list[_Answers]) -> RateTally:
    rated = sum(a.rated for a in answers)
    undecided = sum(a.undecided for a in answers)
    return RateTally(
        tally.rated + rated,
        tally.refused + len(chunk.grids) - rated - undecided,
        tally.undecided + undecided,
        tally.bad + len(chunk.faults),
        tally.lines + chunk.lines,
    )
