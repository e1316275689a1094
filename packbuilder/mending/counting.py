"""Counting: how many solutions many small changes of one puzzle have."""

from __future__ import annotations

import time
from collections.abc import Sequence

import numpy as np

from packbuilder.errors import Unfinished
from packbuilder.grid import Values
from packbuilder.proof import kernel, sat
from packbuilder.puzzle import Puzzle

NODES = 20_000
QUESTION_SECONDS = 5.0
"""Branches, or with rules seconds, for one grid; one that needs more is passed over."""

Counted = list[tuple[Values, int]]


class Counter:
    """Counts solutions up to 2, by the kernel or, with rules, by the SAT solver."""

    def __init__(self, puzzle: Puzzle, deadline: float) -> None:
        self.puzzle, self.deadline = puzzle, deadline
        self._prover = (
            None
            if all(part.houses_only for part in puzzle.rules)
            else sat.Prover(puzzle.geometry, puzzle.rules)
        )

    @property
    def plain(self) -> bool:
        """Whether the puzzle's rules bring nothing but houses."""
        return self._prover is None

    def count(self, grids: Sequence[Values]) -> Counted:
        """The grids that have a solution, in order, with 1 or, for several, 2.

        Raises Unfinished at the deadline.
        """
        if not grids:
            return []
        if self._prover is None:
            self.look()
            many = np.array(grids, np.uint8)
            counts, _ = kernel.prove_many(self.puzzle.geometry, many, node_limit=NODES)
            return [(g, int(n)) for g, n in zip(grids, counts, strict=True) if n > 0]
        found: Counted = []
        for grid in grids:
            self.look()
            answer = self._prover.prove(grid, time_limit=QUESTION_SECONDS).solutions
            found += [(grid, answer)] if answer else []
        return found

    def unique(self, grids: Sequence[Values]) -> list[Values]:
        """The grids that have one solution."""
        return [grid for grid, count in self.count(grids) if count == 1]

    def listed(self, limit: int) -> tuple[list[Values], bool]:
        """Solutions of the puzzle, and whether they are all."""
        if self._prover is None:
            found, whole = kernel.explore(self.puzzle.geometry, self.puzzle.clues, limit=limit)
            return [tuple(map(int, row)) for row in found], whole
        limit //= 10
        return self._prover.explore(self.puzzle.clues, limit=limit, time_limit=QUESTION_SECONDS)

    def look(self) -> None:
        """Raise Unfinished at the deadline."""
        if time.monotonic() > self.deadline:
            raise Unfinished("the time ran out")
