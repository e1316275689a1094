"""Clue removal in lockstep: many solved grids lose clues side by side.

A grid loses its clues in steps, each of which must leave one solution, so one grid alone asks the
kernel some dozens of small questions in a row, and the asking costs more than the answers. Grids
do not depend on one another, though: all of a batch take their next step at once, as one question.

    solved grids      each its own order of orbits      after the last step
    ┌ 124973856… ┐    step 1 │ 2 │ 3 │ …                ┌ 1..97.... ┐
    │ 271935468… │    out? ──┴───┴───┴─────────────►    │ 2..9..... │   and, for each grid,
    └ 618274395… ┘    (kept out where still unique)     └ …         ┘   what was taken, in order
"""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel

NODE_LIMIT = 20_000
"""Branches for one question. A grid that needs more is none for paper: it counts as not unique."""

DEALING = 1.0
"""Seconds after which no more solved grids are added to a batch. Those of 9x9 with blocks take a
few thousandths for a whole batch; crooked regions may take minutes for one."""


@dataclass(frozen=True)
class Stripped:
    """What removal left of one solved grid.

    ``taken`` holds the orbits that were removed, in order. ``attempt`` numbers the grid in its run.
    """

    attempt: int
    solution: Values
    taken: tuple[tuple[int, ...], ...]

    def clues(self, put_back: int = 0) -> Values:
        """The clues that are left, with the last ``put_back`` orbits put back."""
        out = {cell for orbit in self.taken[: len(self.taken) - put_back] for cell in orbit}
        return tuple(0 if i in out else v for i, v in enumerate(self.solution))


def strip(
    geometry: Geometry,
    orbits: Sequence[tuple[int, ...]],
    attempts: Sequence[int],
    *,
    seed: str,
    fewest: int = 0,
    deadline: float | None = None,
) -> list[Stripped]:
    """Strip one solved grid for each of ``attempts``, down to no fewer than ``fewest`` clues.

    Every orbit is tried once, in an order of the grid's own. That is enough: an orbit that cannot
    go while more clues stand cannot go later. Without ``fewest`` what is left has no orbit to
    spare. The grid of an attempt depends on the seed and on its number alone, not on the others.

    Where solved grids are slow to come by, only the first few of ``attempts`` are made, at least
    one. Raises InputError where the geometry has no full grid, Unfinished where none was found, or
    where the ``deadline`` (on the monotonic clock) passed.
    """
    solutions, orders = _deal(geometry, len(orbits), attempts, seed, deadline)
    grids = np.array(solutions, np.uint8)
    sizes = np.array([len(orbit) for orbit in orbits])
    masks = np.zeros((len(orbits), geometry.cell_count), bool)
    for k, orbit in enumerate(orbits):
        masks[k, list(orbit)] = True

    taken = np.zeros(orders.shape, bool)  # by turn, as in ``orders``
    counts = np.full(len(grids), geometry.cell_count)
    for turn, tried in enumerate(orders.T):
        if deadline is not None and time.monotonic() > deadline:
            raise Unfinished("the time ran out while clues were taken away")
        asked = np.flatnonzero(counts - sizes[tried] >= fewest)
        trial = np.where(masks[tried[asked]], 0, grids[asked]).astype(np.uint8)
        found, _ = kernel.prove_many(geometry, trial, node_limit=NODE_LIMIT, threads=1)
        kept = asked[found == 1]
        grids[kept] = trial[found == 1]
        counts[kept] -= sizes[tried[kept]]
        taken[kept, turn] = True
    return [
        Stripped(attempt, solution, tuple(orbits[k] for k in order[took]))
        for attempt, solution, order, took in zip(attempts, solutions, orders, taken, strict=False)
    ]


def _deal(
    geometry: Geometry,
    orbit_count: int,
    attempts: Sequence[int],
    seed: str,
    deadline: float | None,
) -> tuple[list[Values], NDArray[np.int64]]:
    """For each attempt a solved grid, and the order in which it will try the orbits.

    Fewer, but at least one, where they take longer than `DEALING` seconds.
    """
    solutions: list[Values] = []
    orders = []
    enough = time.monotonic() + DEALING
    for attempt in attempts:
        if solutions and time.monotonic() > enough:
            break
        # Only random() is promised to draw the same numbers in every Python; shuffle is not.
        draw = random.Random(f"{seed}/{attempt}").random
        solutions.append(kernel.random_solution(geometry, int(draw() * 2**53), deadline=deadline))
        orders.append(np.argsort([draw() for _ in range(orbit_count)], kind="stable"))
    return solutions, np.array(orders, np.int64).reshape(-1, orbit_count)
