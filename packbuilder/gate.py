"""The gate: promises held against computed facts.

``check`` proves and solves every puzzle of a pack and gives findings. One finding of level
``refuse`` and nothing is released. Each finding says what is wrong, in which cells, and how to
mend it; the codes are an interface that scripts may rely on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from packbuilder import symmetry
from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name, format_grid
from packbuilder.kinship import fingerprint
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.promises import find_need
from packbuilder.proof import kernel
from packbuilder.proof.certify import Proof, certify
from packbuilder.puzzle import BEYOND, Pack, Puzzle

Level = Literal["refuse", "warn"]


@dataclass(frozen=True)
class Finding:
    """One thing that the gate has to say.

    ``message`` is a sentence on what is wrong; ``mend`` one on what to do; ``cells`` are cell
    numbers of the puzzle that it speaks of.
    """

    level: Level
    code: str
    message: str
    mend: str
    cells: tuple[int, ...] = ()


@dataclass(frozen=True)
class Checked:
    """A puzzle with the facts that were computed of it and the findings that follow.

    ``proof`` is None where the clues clash and nothing was left to prove; ``path`` is None where
    the puzzle has no single solution; ``kin`` is its fingerprint, the same in every disguise.
    """

    puzzle: Puzzle
    proof: Proof | None
    path: Path | None
    kin: str
    findings: tuple[Finding, ...]

    @property
    def solution(self) -> Values | None:
        """The proved solution; None unless there is exactly one."""
        return self.proof.verdict.first if self.path and self.proof else None


@dataclass(frozen=True)
class Report:
    """What the gate says of a pack."""

    pack: Pack
    checked: tuple[Checked, ...]
    findings: tuple[Finding, ...]

    @property
    def passed(self) -> bool:
        """True if no finding, of the pack or of a puzzle, is of level ``refuse``."""
        everything = [*self.findings, *(f for c in self.checked for f in c.findings)]
        return all(f.level != "refuse" for f in everything)


def check(
    pack: Pack,
    *,
    node_limit: int = kernel.NODE_LIMIT,
    time_limit: float | None = 60.0,
    done: Callable[[Puzzle], None] | None = None,
) -> Report:
    """Hold every promise of a pack against the facts.

    ``node_limit`` and ``time_limit`` (seconds) bound each proof by the first and by the second
    engine; where one runs out the puzzle is ``undecided`` and refused. ``done`` is called as each
    puzzle is finished, for a progress bar.
    """
    checked = []
    for puzzle in pack.puzzles:
        checked.append(_check_puzzle(puzzle, pack, node_limit, time_limit))
        if done:
            done(puzzle)
    return Report(pack, tuple(_mark_repeats(checked)), ())


def _check_puzzle(puzzle: Puzzle, pack: Pack, node_limit: int, time_limit: float | None) -> Checked:
    kin = fingerprint(puzzle.geometry, puzzle.clues)
    paperwork = [*_permission(puzzle, pack), *_clue_count(puzzle), *_symmetry(puzzle)]
    paperwork += _scattered_regions(puzzle.geometry)
    clashes = list(_clue_clashes(puzzle))
    if clashes:
        return Checked(puzzle, None, None, kin, (*clashes, *paperwork))
    proof = certify(puzzle.geometry, puzzle.clues, node_limit=node_limit, time_limit=time_limit)
    trouble = list(_proof_findings(puzzle, proof))
    if trouble or proof.verdict.first is None:
        return Checked(puzzle, proof, None, kin, (*trouble, *paperwork))
    path = walk(puzzle.geometry, puzzle.clues)
    promises = [
        *_given_solution(puzzle, proof.verdict.first),
        *_grade(puzzle, path),
        *_needs(puzzle, pack),
        *_uses(puzzle, path),
        *_minimal(puzzle),
    ]
    return Checked(puzzle, proof, path, kin, (*promises, *paperwork))


# --- is it one puzzle? -----------------------------------------------------------------------


def _clue_clashes(puzzle: Puzzle) -> Iterator[Finding]:
    """Equal clues in one house: nothing needs proving to see that."""
    seen: set[tuple[int, ...]] = set()
    for house in puzzle.geometry.houses:
        by_digit: dict[int, list[int]] = defaultdict(list)
        for cell in house.cells:
            if puzzle.clues[cell]:
                by_digit[puzzle.clues[cell]].append(cell)
        for digit, cells in by_digit.items():
            if len(cells) > 1 and tuple(cells) not in seen:
                seen.add(tuple(cells))
                yield Finding(
                    "refuse",
                    "clue-clash",
                    f"{house.label} has the clue {SYMBOLS[digit]} "
                    f"{'twice' if len(cells) == 2 else f'{len(cells)} times'}, "
                    f"at {_names(cells, puzzle.size)}",
                    "compare these cells with the setter's original and correct the wrong one",
                    tuple(cells),
                )


def _proof_findings(puzzle: Puzzle, proof: Proof) -> Iterator[Finding]:
    verdict, size = proof.verdict, puzzle.size
    if not proof.agree:
        yield Finding(
            "refuse",
            "engines-disagree",
            "the two proof engines disagree on how many solutions this grid has",
            "this is a fault of packbuilder: report it with the grid; nothing is released",
        )
    elif verdict.solutions is None:
        yield Finding(
            "refuse",
            "undecided",
            "the limit ran out before the number of solutions was known: " + proof.undecided,
            "add clues, or raise the limits with --node-limit and --time-limit",
        )
    elif verdict.solutions == 0:
        cells = proof.clash
        yield Finding(
            "refuse",
            "no-solution",
            "the grid has no solution; these clues already contradict one another: "
            + _clue_list(cells, puzzle),
            "compare these clues with the setter's original; at least one of them must change",
            cells,
        )
    elif verdict.solutions == 2 and verdict.first and verdict.second:
        yield Finding(
            "refuse",
            "not-unique",
            f"the grid has more than one solution; two of them differ in "
            f"{_names(proof.differing, size)}: {format_grid(verdict.first)} and "
            f"{format_grid(verdict.second)}",
            _mend_words(proof, puzzle),
            proof.differing,
        )


def _mend_words(proof: Proof, puzzle: Puzzle) -> str:
    if proof.mend is None:
        return (
            "no single added clue makes it unique (or none was found within the limits); "
            "add clues among the cells that differ"
        )
    cell, digit = proof.mend
    return (
        f"a clue {SYMBOLS[digit]} at {cell_name(cell, puzzle.size)} would leave one solution; "
        "if the setter meant another, add that clue instead"
    )


def _given_solution(puzzle: Puzzle, proved: Values) -> Iterator[Finding]:
    if puzzle.solution is None or puzzle.solution == proved:
        return
    cells = tuple(i for i, (a, b) in enumerate(zip(puzzle.solution, proved, strict=True)) if a != b)
    yield Finding(
        "refuse",
        "wrong-solution",
        f"the solution in the manifest differs from the proved one in {_names(cells, puzzle.size)}",
        f"the proved solution is {format_grid(proved)}; correct the solution or the clues",
        cells,
    )


# --- is it as promised? ----------------------------------------------------------------------


def _grade(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    promised = puzzle.promise.grade
    if promised == path.grade:
        return
    if path.grade == BEYOND:
        left = path.positions_left()
        yield Finding(
            "refuse",
            "wrong-grade",
            (f"grade {promised} is promised" if promised else "no grade is promised")
            + f", but the ladder cannot finish this grid: it is stuck with {left} cells empty",
            "choose another grid, or promise `grade: beyond` and say so to the reader",
            (),
        )
    elif promised is not None:
        last = next(s for s in path.steps if s.rung == path.grade)
        yield Finding(
            "refuse",
            "wrong-grade",
            f"grade {promised} is promised, but the hardest step is {_a(path.hardest)}: "
            f"grade {path.grade}",
            f"promise `grade: {path.grade}`, or change the clues",
            tuple(sorted({*last.cells, *(c for c, _ in (*last.places, *last.removes))})),
        )


def _needs(puzzle: Puzzle, pack: Pack) -> Iterator[Finding]:
    slugs = tuple(dict.fromkeys((*pack.needs, *puzzle.promise.needs)))
    if not slugs:
        return
    need = find_need(puzzle.geometry, puzzle.clues, slugs)
    if not need.holds:
        yield Finding(
            "refuse",
            "not-needed",
            need.words,
            "choose another grid, or withdraw the promise under `needs:`"
            + (" (it stands in the pack's own `needs:`)" if pack.needs else ""),
        )


def _uses(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    used = dict(path.techniques)
    for slug in puzzle.promise.uses:
        if slug not in used:
            yield Finding(
                "refuse",
                "not-used",
                f"{slug} is promised, but the easiest-first path does without it; it uses "
                + ", ".join(used),
                "withdraw the promise under `uses:`, or change the clues",
            )


def _minimal(puzzle: Puzzle) -> Iterator[Finding]:
    if not puzzle.promise.minimal:
        return
    spare = _spare_clues(puzzle)
    if spare:
        yield Finding(
            "refuse",
            "not-minimal",
            f"a minimal grid is promised, but any one of these clues can be left out: "
            f"{_clue_list(spare, puzzle)}",
            "leave one of them out and check again, or withdraw `minimal: true`",
            spare,
        )


def _spare_clues(puzzle: Puzzle) -> tuple[int, ...]:
    """The clues any one of which can be left out with the grid still unique."""
    clued = [cell for cell, digit in enumerate(puzzle.clues) if digit]
    without = [puzzle.clues[:cell] + (0,) + puzzle.clues[cell + 1 :] for cell in clued]
    counts, _ = kernel.prove_many(puzzle.geometry, np.array(without, np.uint8))
    return tuple(cell for cell, count in zip(clued, counts.tolist(), strict=True) if count == 1)


def _clue_count(puzzle: Puzzle) -> Iterator[Finding]:
    promised, found = puzzle.promise.clues, sum(v > 0 for v in puzzle.clues)
    if promised is not None and promised != found:
        yield Finding(
            "refuse",
            "wrong-clue-count",
            f"{promised} clues are promised, but the grid has {found}",
            f"promise `clues: {found}`, or compare the grid with the setter's original",
        )


def _symmetry(puzzle: Puzzle) -> Iterator[Finding]:
    name = puzzle.promise.symmetry
    if name is None:
        return
    cells = tuple(symmetry.broken_cells(name, puzzle.clues, puzzle.size))
    if cells:
        yield Finding(
            "refuse",
            "wrong-symmetry",
            f"{name} symmetry is promised, but it is broken at {_names(cells, puzzle.size)}",
            "compare these cells with the setter's original, or promise another `symmetry:`",
            cells,
        )


def _permission(puzzle: Puzzle, pack: Pack) -> Iterator[Finding]:
    if puzzle.setter != pack.byline and not puzzle.permission:
        yield Finding(
            "refuse",
            "no-permission",
            f"the setter is {puzzle.setter}, and no permission is on record",
            "ask the setter, then say under `permission:` how and when it was given",
        )


def _scattered_regions(geometry: Geometry) -> Iterator[Finding]:
    """An irregular region in two pieces is legal, but is mostly a slip in the picture."""
    for house in geometry.houses:
        if house.kind == "region" and not _connected(house.cells, geometry.size):
            yield Finding(
                "warn",
                "region-in-pieces",
                f"{house.label} is not connected",
                "look at the picture under `blocks:`; leave it if it is meant so",
                house.cells,
            )


def _connected(cells: tuple[int, ...], size: int) -> bool:
    todo, left = [cells[0]], set(cells[1:])
    while todo:
        cell = todo.pop()
        near = {cell - size, cell + size}
        near |= {cell - 1} if cell % size else set()
        near |= {cell + 1} if cell % size < size - 1 else set()
        todo += near & left
        left -= near
    return not left


def _mark_repeats(checked: Iterable[Checked]) -> Iterator[Checked]:
    """Refuse a puzzle that is an earlier one of the pack, in whatever disguise."""
    first: dict[str, Puzzle] = {}
    for one in checked:
        earlier = first.setdefault(one.kin, one.puzzle)
        if earlier is one.puzzle:
            yield one
            continue
        plain = earlier.clues == one.puzzle.clues
        finding = Finding(
            "refuse",
            "same-puzzle",
            f"this is {earlier.id} again, "
            + (
                "clue for clue"
                if plain
                else "in disguise: digits renamed, or lines moved, or the grid turned"
            ),
            "leave one of the two out",
        )
        yield Checked(one.puzzle, one.proof, one.path, one.kin, (*one.findings, finding))


# --- in words and in JSON --------------------------------------------------------------------


def _names(cells: Iterable[int], size: int, most: int = 12) -> str:
    """``r1c1, r1c2 and r3c4``; a long list is cut with its length."""
    names = [cell_name(c, size) for c in cells]
    if len(names) > most:
        return ", ".join(names[:most]) + f" and {len(names) - most} more cells"
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def _clue_list(cells: Iterable[int], puzzle: Puzzle) -> str:
    return ", ".join(f"{SYMBOLS[puzzle.clues[c]]} at {cell_name(c, puzzle.size)}" for c in cells)


def _a(slug: str) -> str:
    return f"{'an' if slug[0] in 'aeiou' else 'a'} {slug.replace('-', ' ')}"


def as_json(report: Report) -> dict[str, Any]:
    """The report as the one JSON document of ``check --json``."""
    return {
        "pack": report.pack.slug,
        "verdict": "pass" if report.passed else "refused",
        "puzzles": [_puzzle_json(c) for c in report.checked],
        "findings": [_finding_json(f, 9) for f in report.findings],
    }


def facts(checked: Checked) -> dict[str, Any]:
    """A puzzle's computed facts, as they stand in ``check --json`` and in the release record."""
    path, solution = checked.path, checked.solution
    return {
        "id": checked.puzzle.id,
        "solutions": checked.proof.verdict.solutions if checked.proof else 0,
        "solution": format_grid(solution) if solution else None,
        "grade": path.grade if path else None,
        "hardest": path.hardest if path else None,
        "effort": path.effort if path else None,
        "techniques": dict(path.techniques) if path else {},
    }


def _puzzle_json(checked: Checked) -> dict[str, Any]:
    findings = [_finding_json(f, checked.puzzle.size) for f in checked.findings]
    return {**facts(checked), "findings": findings}


def _finding_json(finding: Finding, size: int) -> dict[str, Any]:
    return {
        "level": finding.level,
        "code": finding.code,
        "message": finding.message,
        "mend": finding.mend,
        "cells": [cell_name(c, size) for c in finding.cells],
    }
