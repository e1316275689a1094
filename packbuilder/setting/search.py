"""The search for new grids: solved grids lose clues until they are what was asked for.

The fewer clues the harder the grid, mostly: so a grid is stripped as far as the wanted clue count
allows, and while it is harder than wanted the last steps are put back.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable, Iterator
from functools import cache

from packbuilder import symmetry as symmetries
from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.kinship import fingerprint
from packbuilder.ladder import promises
from packbuilder.ladder.head.load import first_failure
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rounds import Rating, rate
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.setting.new_grid import NewGrid, certified
from packbuilder.setting.removal import Removal, asking, look, remove, remove_with_rules
from packbuilder.setting.request import Request
from packbuilder.setting.solved_grids import Meaning, meaning_of, solved_with_rules

FIRST_BATCH, LARGEST_BATCH = 2_500, 10_000
"""Cells to strip side by side, at first and at most: about 30 and 120 grids of 9x9. A small batch
costs more a grid; a large one strips more grids that nobody asks for in the end."""


def usual_clues(geometry: Geometry, with_rules: bool = False) -> tuple[int, int]:
    """Clue counts to look for where none are asked for.

    From 30 to 40 in 100 cells (24 to 32 of 81); with rules as few as they allow, to 30, for a rule
    should do most of the work. Common practice in print, no source.
    """
    cells = geometry.cell_count
    return (0, cells * 30 // 100) if with_rules else (cells * 30 // 100, cells * 40 // 100)


def set_grids(
    geometry: Geometry,
    *,
    count: int,
    clues: tuple[int, int],
    rules: tuple[str, ...] = (),
    grade: Grade | None = None,
    symmetry: str = "rotational",
    seed: int = 0,
    budget: float = 120.0,
    attempts: int | None = None,
    needs: tuple[str, ...] = (),
    only: tuple[str, ...] = (),
    no_notes: int | None = None,
) -> Iterator[NewGrid]:
    """Give ``count`` new grids as they are found.

    Each has all of the ``rules`` (slugs), none of them for show (without any one of them it would
    have more solutions), exactly the ``grade`` (None: any that the ladder can finish), the
    ``symmetry``, a clue count within ``clues`` (low, high), and holds the promises of ``needs``
    and ``only``, and that of ``no_notes``. The same arguments give the same grids in the same
    order, on any machine; only where a search for too much stops depends on it, for ``budget`` is
    in seconds. ``attempts``
    bounds the solved grids instead.

    Raises InputError at once for requests that cannot be met, or at the first grid where none fits
    the geometry; Unfinished, after the last grid found, where the budget or the attempts ran out
    before ``count``.
    """
    if not math.isfinite(budget):
        raise InputError(f"budget {budget}: write a number of seconds, such as 120")
    needs, rules = tuple(dict.fromkeys(needs)), tuple(dict.fromkeys(rules))
    only = tuple(dict.fromkeys(only))
    request = Request(geometry, grade, symmetry, clues, needs, rules, only, no_notes)
    request.check(seed)
    return _search(request, count, seed, time.monotonic() + budget, attempts)


def _search(
    request: Request, count: int, seed: int, deadline: float, attempts: int | None
) -> Iterator[NewGrid]:
    found = 0
    kin: set[str] = set()
    why = ""
    try:
        for removal in _removals(request, seed, deadline, attempts):
            grid = _fit(request, removal, seed, deadline)
            if grid is None:
                continue
            mark = fingerprint(grid.geometry, grid.clues, grid.parts)
            if mark in kin or not _all_needed(request, grid) or not certified(grid, deadline):
                continue
            kin.add(mark)
            found += 1
            yield grid
            if found == count:
                return
    except Unfinished as ended:
        why = f": {ended}"
    raise Unfinished(
        f"{found} of {count} grids found ({request.words()}) before the search ended{why}; raise "
        "the budget, allow more clue counts, or try another grade, symmetry, size or regions"
    )


def _removals(
    request: Request, seed: int, deadline: float, attempts: int | None
) -> Iterator[Removal]:
    """What removal leaves of one solved grid after another; Unfinished at the deadline."""
    orbits = symmetries.orbits(request.symmetry, request.geometry.size)
    first, cells, fewest = 1, FIRST_BATCH, request.clues[0]
    while attempts is None or first <= attempts:
        if request.rules:
            name = f"{request.draw(seed)}/{first}"
            start = solved_with_rules(request.geometry, request.rules, name, deadline=deadline)
            look(deadline, "while a grid was filled")
            if start:
                draw = random.Random(f"{name}/order").random
                yield remove_with_rules(
                    start, orbits, first, draw, fewest=fewest, deadline=deadline
                )
            first += 1
            continue
        end = first + max(4, cells // request.geometry.cell_count)
        numbers = range(first, end if attempts is None else min(end, attempts + 1))
        batch = remove(
            request.geometry, orbits, numbers,
            seed=request.draw(seed), fewest=fewest, deadline=deadline,
        )  # fmt: skip
        yield from batch
        first, cells = first + len(batch), min(2 * cells, LARGEST_BATCH)


def _fit(request: Request, removal: Removal, seed: int, deadline: float) -> NewGrid | None:
    """The hardest stage that is not harder than wanted, or the next that fits, if any does.

    More clues hardly ever make a grid harder, so the hardest is found by halving. Raises Unfinished
    where the deadline passed first.
    """
    low, high = request.clues
    stages = [k for k in range(removal.steps, -1, -1) if low <= removal.clue_count(k) <= high]

    @cache
    def rated(stage: int) -> tuple[Meaning, Ladder, Rating]:
        look(deadline, "while a grid was rated")
        put_back = stages[stage]
        meaning = meaning_of(removal.start.base, removal.rules(put_back))
        ladder = with_rules(DEFAULT, meaning.parts)
        return meaning, ladder, rate(meaning.geometry, removal.clues(put_back), ladder=ladder)

    def too_hard(stage: int) -> bool:
        grade = rated(stage)[2].grade
        return grade == BEYOND if request.grade is None else easier(request.grade, grade)

    for stage in range(_last(len(stages), too_hard), -1, -1):
        meaning, ladder, rating = rated(stage)
        clues = removal.clues(stages[stage])
        if easier(rating.grade, request.grade):
            return None
        if request.grade not in (None, rating.grade) or too_hard(stage):
            continue
        promised = request.needs, request.only
        if promises.kept(meaning.geometry, clues, *promised, ladder=ladder) and _in_the_head(
            request, meaning, clues
        ):
            return NewGrid(
                geometry=meaning.geometry,
                clues=clues,
                solution=removal.start.solution,
                grade=rating.grade,
                hardest=rating.hardest,
                effort=rating.effort,
                symmetry=request.symmetry,
                needs=request.needs,
                seed=seed,
                attempt=removal.attempt,
                request=request.name(seed),
                rules=removal.rules(stages[stage]),
                parts=meaning.parts,
                only=request.only,
                no_notes=request.no_notes,
            )
        if request.rules:
            return None  # a look takes long here, and another grid is as good a try
    return None


def _in_the_head(request: Request, meaning: Meaning, clues: Values) -> bool:
    """Whether it can be solved with as few marks in mind as were asked for."""
    if request.no_notes is None:
        return True
    return first_failure(meaning.geometry, clues, request.no_notes, meaning.parts) is None


def easier(grade: Grade, wanted: Grade | None) -> bool:
    """True if a grade is below the wanted one."""
    if wanted is None or grade == BEYOND:
        return False
    return wanted == BEYOND or grade < wanted


def _last(count: int, too_hard: Callable[[int], bool]) -> int:
    """The last of 0 to count - 1 that is not too hard, -1 if all are; by halving."""
    good, bad = -1, count
    probe = count - 1  # mostly the last will do
    while bad - good > 1:
        if too_hard(probe):
            bad = probe
        else:
            good = probe
        probe = (good + bad) // 2
    return good


def _all_needed(request: Request, grid: NewGrid) -> bool:
    """True if without any one of its rules the grid would have more solutions."""
    for k in range(len(grid.rules)):
        with asking(meaning_of(request.geometry, grid.rules[:k] + grid.rules[k + 1 :])) as unique:
            if unique(grid.clues):
                return False
    return True
