"""Setting by removal: start from a solved grid, take clues out while one solution is left.

Clues go by the orbits of a symmetry, so their picture is symmetrical all the way. The fewer clues
the harder the grid, mostly: so a grid is stripped as far as the wanted clue count allows, and
while it is harder than wanted the last orbits are put back, one by one.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from packbuilder import symmetry as symmetries
from packbuilder.errors import InputError, PackbuilderError, Unfinished
from packbuilder.grid import Geometry, Values, format_grid
from packbuilder.kinship import fingerprint
from packbuilder.ladder import promises
from packbuilder.ladder.rating import rate
from packbuilder.proof.certify import certify
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.rules.contract import Part
from packbuilder.setting.batch_removal import Stripped, strip
from packbuilder.setting.request import Request

FIRST_BATCH, LARGEST_BATCH = 2_500, 10_000
"""Cells to strip side by side, at first and at most: about 30 and 120 grids of 9x9. A small batch
costs more a grid; a large one strips more grids that nobody asks for in the end."""

PROOF_SECONDS = 60.0
"""Time for the second engine, a grid. A 9x9 grid needs a few thousandths of one."""


@dataclass(frozen=True)
class SetGrid:
    """A new grid: proved by both engines, rated, and kin to no other of its run.

    ``seed`` and ``attempt`` (the solved grid it was made from, counted from 1) make it again.
    ``wish`` names what its run was asked for, in four characters: runs with one seed and other
    wishes have other names. ``rules`` are those of the grid, each with its value in the manifest
    (None for a bare name); ``parts`` are what they mean, and ``geometry`` has their houses.
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
    wish: str
    rules: tuple[tuple[str, Any], ...] = ()
    parts: tuple[Part, ...] = ()
    only: tuple[str, ...] = ()

    @property
    def clue_count(self) -> int:
        """How many clues are given."""
        return sum(v > 0 for v in self.clues)


def usual_clues(geometry: Geometry) -> tuple[int, int]:
    """Clue counts to look for where none are wished: from 30 to 40 in 100 cells (24 to 32 of 81).

    Common practice in print for 9x9 grids, no source; the same share suits the other sizes.
    """
    return geometry.cell_count * 30 // 100, geometry.cell_count * 40 // 100


def set_grids(
    geometry: Geometry,
    *,
    count: int,
    grade: Grade | None = None,
    symmetry: str = "rotational",
    clues: tuple[int, int],
    seed: int = 0,
    budget: float = 120.0,
    attempts: int | None = None,
    needs: tuple[str, ...] = (),
    only: tuple[str, ...] = (),
) -> Iterator[SetGrid]:
    """Give ``count`` new grids as they are found.

    Each has exactly the ``grade`` (None: any that the ladder can finish), the ``symmetry``, a clue
    count within ``clues`` (low, high), and holds the promises of ``needs`` and ``only``. The same
    arguments give the same grids in the same order, on any machine; only where a search for too
    much stops depends on it, for ``budget`` is in seconds. ``attempts`` bounds the solved grids
    instead.

    Raises InputError at once for wishes that cannot be met, or at the first grid where none fits
    the geometry; Unfinished, after the last grid found, where the budget or the attempts ran out
    before ``count``.
    """
    if not math.isfinite(budget):
        raise InputError(f"budget {budget}: write a number of seconds, such as 120")
    wish = Request(
        geometry, grade, symmetry, clues,
        tuple(dict.fromkeys(needs)), only=tuple(dict.fromkeys(only)),
    )  # fmt: skip
    wish.check(seed)
    return _search(wish, count, seed, time.monotonic() + budget, attempts)


def _search(
    wish: Request, count: int, seed: int, deadline: float, attempts: int | None
) -> Iterator[SetGrid]:
    found = 0
    kin: set[str] = set()
    why = ""
    try:
        for stripped in _stripped(wish, seed, deadline, attempts):
            grid = _fit(wish, stripped, seed, deadline)
            if grid is None:
                continue
            mark = fingerprint(wish.geometry, grid.clues)
            if mark in kin or not certified(grid, deadline):
                continue
            kin.add(mark)
            found += 1
            yield grid
            if found == count:
                return
    except Unfinished as ended:
        why = f": {ended}"
    raise Unfinished(
        f"{found} of {count} grids found ({wish.words()}) before the search ended{why}; raise the "
        "budget, allow more clue counts, or try another grade, symmetry or regions"
    )


def _stripped(
    wish: Request, seed: int, deadline: float, attempts: int | None
) -> Iterator[Stripped]:
    """Stripped grids, batch by batch, until the attempts run out; Unfinished at the deadline."""
    orbits = symmetries.orbits(wish.symmetry, wish.geometry.size)
    first, cells = 1, FIRST_BATCH
    while attempts is None or first <= attempts:
        end = first + max(4, cells // wish.geometry.cell_count)
        numbers = range(first, end if attempts is None else min(end, attempts + 1))
        batch = strip(
            wish.geometry, orbits, numbers,
            seed=wish.draw(seed), fewest=wish.clues[0], deadline=deadline,
        )  # fmt: skip
        yield from batch
        first, cells = first + len(batch), min(2 * cells, LARGEST_BATCH)


def _fit(wish: Request, stripped: Stripped, seed: int, deadline: float) -> SetGrid | None:
    """The stripped grid with as many orbits put back as the wish asks for, if any number does.

    Raises Unfinished where the deadline passed first.
    """
    low, high = wish.clues
    for put_back in range(len(stripped.taken) + 1):
        if time.monotonic() > deadline:
            raise Unfinished("the time ran out while a grid was rated")
        clues = stripped.clues(put_back)
        size = sum(v > 0 for v in clues)
        if size > high:
            return None
        if size < low:
            continue
        rated = rate(wish.geometry, clues)
        if easier(rated.grade, wish.grade):
            return None  # more clues will hardly make it harder
        if wish.grade not in (None, rated.grade) or (wish.grade is None and not rated.solved):
            continue
        if not promises.kept(wish.geometry, clues, wish.needs, wish.only):
            continue
        return SetGrid(
            geometry=wish.geometry,
            clues=clues,
            solution=stripped.solution,
            grade=rated.grade,
            hardest=rated.hardest,
            effort=rated.effort,
            symmetry=wish.symmetry,
            needs=wish.needs,
            seed=seed,
            attempt=stripped.attempt,
            wish=wish.name(seed),
            only=wish.only,
        )
    return None


def easier(grade: Grade, wanted: Grade | None) -> bool:
    """True if a grade is below the wanted one."""
    if wanted is None or grade == BEYOND:
        return False
    return wanted == BEYOND or grade < wanted


def certified(grid: SetGrid, deadline: float) -> bool:
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
