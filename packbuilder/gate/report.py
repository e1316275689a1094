"""What the gate says: findings, a puzzle's facts, the whole report; and their JSON."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from packbuilder.gate.codes import CODES, Level
from packbuilder.gate.entry_cells import EntryCells
from packbuilder.grid import MAX_SIZE, Values, cell_name, format_grid
from packbuilder.ladder.head.load import NoNotes
from packbuilder.ladder.path import Path
from packbuilder.proof.certify import Proof
from packbuilder.puzzle import Pack, Puzzle


@dataclass(frozen=True)
class Finding:
    """One thing that the gate has to say.

    ``message`` is a sentence on what is wrong; ``mend`` one on what to do, where more can be said
    than the code's own mend; ``cells`` are cell numbers of the puzzle that it speaks of. What does
    not fit has the ``field`` that it is of, and the ``editions`` in which there is no room.
    """

    code: str
    message: str
    mend: str = ""
    cells: tuple[int, ...] = ()
    field: str = ""
    editions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        usual = CODES[self.code].mend
        object.__setattr__(self, "mend", self.mend or usual)

    @property
    def level(self) -> Level:
        """``refuse`` where it keeps the pack from print, else ``warn``."""
        return CODES[self.code].level

    @property
    def refuses(self) -> bool:
        """Whether it keeps the pack from print."""
        return self.level == "refuse"


def does_not_fit(message: str, mend: str, field: str, editions: tuple[str, ...]) -> Finding:
    """A text or a grid that has no room on the pages of some editions."""
    return Finding("does-not-fit", message, mend, (), field, editions)


@dataclass(frozen=True)
class Checked:
    """A puzzle with the facts that were computed of it and the findings that follow.

    ``proof`` is None where the clues clash and nothing was left to prove; ``path`` and
    ``no_notes`` are None where the puzzle has no single solution; ``kin`` is its fingerprint, the
    same in every disguise. ``entry`` are the cells of its letters, where it has any.
    """

    puzzle: Puzzle
    proof: Proof | None
    path: Path | None
    no_notes: NoNotes | None
    kin: str
    findings: tuple[Finding, ...]
    entry: EntryCells | None = None

    def also(self, *findings: Finding) -> Checked:
        """The same with more findings."""
        return replace(self, findings=(*self.findings, *findings))

    @property
    def refused(self) -> bool:
        """Whether one of its findings keeps it from print."""
        return any(finding.refuses for finding in self.findings)

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
        return not self.refusals and not any(one.refused for one in self.checked)

    @property
    def refusals(self) -> list[Finding]:
        """Why the pack itself is refused, whatever its puzzles are."""
        return [finding for finding in self.findings if finding.refuses]


def as_json(report: Report) -> dict[str, Any]:
    """The report as the one JSON document of ``check --json``."""
    return {
        "pack": report.pack.slug,
        "verdict": "pass" if report.passed else "refused",
        "puzzles": [_puzzle_json(c) for c in report.checked],
        "findings": [_finding_json(f, MAX_SIZE) for f in report.findings],
    }


def facts(checked: Checked) -> dict[str, Any]:
    """A puzzle's computed facts, as they stand in ``check --json`` and in the release record."""
    path, solution = checked.path, checked.solution
    return {
        "id": checked.puzzle.id,
        "solutions": checked.proof.verdict.solutions if checked.proof else 0,
        "solution": format_grid(solution) if solution else None,
        "grade": path.grade if path else None,
        "hardest": (path.hardest or None) if path else None,
        "effort": path.effort if path else None,
        "techniques": dict(path.techniques) if path else {},
        "no_notes": checked.no_notes.as_json if checked.no_notes else None,
        **({"entry": _entry_json(checked.entry, checked.puzzle.size)} if checked.entry else {}),
    }


def _entry_json(entry: EntryCells, size: int) -> dict[str, Any]:
    return {"cells": [cell_name(cell, size) for cell in entry.cells], "odds": entry.odds}


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
        **({"field": finding.field} if finding.field else {}),
        **({"editions": list(finding.editions)} if finding.editions else {}),
    }
