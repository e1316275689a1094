"""What the gate says: findings, a puzzle's facts, the whole report; and their JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from packbuilder.grid import MAX_SIZE, Values, cell_name, format_grid
from packbuilder.ladder.head.load import NoNotes
from packbuilder.ladder.path import Path
from packbuilder.proof.certify import Proof
from packbuilder.puzzle import Pack, Puzzle

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

    ``proof`` is None where the clues clash and nothing was left to prove; ``path`` and
    ``no_notes`` are None where the puzzle has no single solution; ``kin`` is its fingerprint, the
    same in every disguise.
    """

    puzzle: Puzzle
    proof: Proof | None
    path: Path | None
    no_notes: NoNotes | None
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
