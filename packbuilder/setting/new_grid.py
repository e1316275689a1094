"""New grids: what a search gives, proved by both engines and rated before anybody sees it."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

from packbuilder.errors import PackbuilderError
from packbuilder.grid import Geometry, Values, format_grid
from packbuilder.proof.certify import certify
from packbuilder.puzzle import Grade
from packbuilder.rules.contract import Part

PROOF_SECONDS = 60.0
"""Time for the second engine, a grid. A 9x9 grid needs a few thousandths of one."""


@dataclass(frozen=True)
class NewGrid:
    """A new grid: proved by both engines, rated, and kin to no other of its run.

    ``seed`` and ``attempt`` (the solved grid it was made from, counted from 1) make it again.
    ``request`` names what its run was asked for, in four characters: runs with one seed and other
    requests have other names. ``rules`` are those of the grid, each with its value in the manifest
    (None for a bare name); ``parts`` are what they mean, and ``geometry`` has their houses.
    ``needs``, ``only``, ``no_notes`` and ``minimal`` are as asked for, and hold.
    """

    geometry: Geometry
    clues: Values
    solution: Values
    grade: Grade
    hardest: str
    effort: float
    symmetry: str
    needs: tuple[str, ...]
    seed: int
    attempt: int
    request: str
    rules: tuple[tuple[str, Any], ...] = ()
    parts: tuple[Part, ...] = ()
    no_notes: int | None = None
    minimal: bool = False
    only: tuple[str, ...] = ()

    @property
    def clue_count(self) -> int:
        """How many clues are given."""
        return sum(v > 0 for v in self.clues)


def certified(grid: NewGrid, deadline: float) -> bool:
    """True if both engines find the one solution; nothing else may leave this room.

    False where a limit ran out first. Raises PackbuilderError where the engines say otherwise.
    """
    left = max(0.1, deadline - time.monotonic())
    proof = certify(grid.geometry, grid.clues, grid.parts, time_limit=min(PROOF_SECONDS, left))
    if proof.agree and proof.verdict.solutions is None:
        return False
    if not proof.unique or proof.verdict.first != grid.solution:
        raise PackbuilderError(
            f"the proof engines do not both confirm the grid {format_grid(grid.clues)}, made from "
            f"seed {grid.seed}, attempt {grid.attempt}: a fault of packbuilder; please report it"
        )
    return True
