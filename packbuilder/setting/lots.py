"""Lots: a search cut into pieces that depend on nothing but the request, the seed and a number.

So the same grids come in the same order, whoever works on which piece and when.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from packbuilder import symmetry as symmetries
from packbuilder.grid import Values
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rounds import Rating, rate
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.setting.designs import begun
from packbuilder.setting.judging import HARDEST, Judged, judge, within_reach
from packbuilder.setting.new_grid import NewGrid, certified
from packbuilder.setting.removal import Removal, asking, look, remove, remove_with_rules
from packbuilder.setting.request import Request
from packbuilder.setting.solved_grids import Meaning, Rules, meaning_of, solved_with_rules

FIRST_BATCH, LARGEST_BATCH = 2_500, 10_000
"""Cells to strip side by side, at first and at most: about 30 and 120 grids of 9x9. A small batch
costs more a grid; a large one strips more grids that nobody asks for in the end."""


class Lot(NamedTuple):
    """The attempts from ``first`` up to ``end``, that one left out."""

    first: int
    end: int


@dataclass(frozen=True)
class Outcome:
    """What became of a grid that was looked at: the new grid, where it is as asked for.

    Or of so many ``times`` a grid.
    """

    judged: Judged
    grid: NewGrid | None = None
    times: int = 1


def lots(request: Request, attempts: int | None) -> Iterator[Lot]:
    """The pieces of a search, in order; without end where no number of attempts bounds it."""
    first, cells = 1, FIRST_BATCH
    while attempts is None or first <= attempts:
        one = request.rules or request.picture or request.in_picture
        many = 1 if one else cells // request.geometry.cell_count
        end = first + (many if many == 1 else max(4, many))
        yield Lot(first, end if attempts is None else min(end, attempts + 1))
        first, cells = end, min(2 * cells, LARGEST_BATCH)


def outcomes(request: Request, seed: int, lot: Lot, deadline: float) -> Iterator[Outcome]:
    """What becomes of the grids of a lot; Unfinished at the deadline.

    A new grid is proved by both engines, and no rule of it is for show (a creator's design apart):
    without any one of them it would have more solutions.
    """
    for outcome in _looked_at(request, seed, lot, deadline):
        grid = outcome.grid
        if grid and not request.picture and not _all_rules_count(request, grid):
            yield Outcome(Judged("a use for each rule", outcome.judged.rating))
        elif grid and not certified(grid, deadline):
            yield Outcome(Judged("proof in time", outcome.judged.rating))
        else:
            yield outcome


def _looked_at(request: Request, seed: int, lot: Lot, deadline: float) -> Iterator[Outcome]:
    if request.in_picture:
        for attempt in range(*lot):
            yield from _in_picture(request, seed, attempt, deadline)
        return
    for removal in _removals(request, seed, lot, deadline):
        yield (
            Outcome(Judged("so few clues" if request.picture else "room for the rules' clues"))
            if removal is None
            else _fit(request, removal, seed, deadline)
        )


def _all_rules_count(request: Request, grid: NewGrid) -> bool:
    for k in range(len(grid.rules)):
        others = grid.rules[:k] + grid.rules[k + 1 :]
        with asking(meaning_of(request.geometry, others)) as unique:
            if unique(grid.clues):
                return False
    return True


def _in_picture(request: Request, seed: int, attempt: int, deadline: float) -> Iterator[Outcome]:
    """The grids of one start, to the first that is as asked for: the rest would be much like it."""
    from packbuilder.setting.in_picture import candidates

    rules = request.written
    meaning = meaning_of(request.geometry, rules)
    draw = request.draw(seed)
    for clues in candidates(request, meaning.geometry, draw, attempt, deadline):
        look(deadline, "while a grid was rated")
        if isinstance(clues, int):
            yield Outcome(Judged(request.hardest_part), times=clues)
            continue
        judged = judge(request, meaning.geometry, clues, meaning.parts)
        if judged.failed or not judged.rating:
            yield Outcome(judged)
            continue
        solution = kernel.prove(meaning.geometry, clues).first
        assert solution is not None
        yield Outcome(
            judged, _new(request, seed, attempt, clues, solution, judged.rating, meaning, rules)
        )
        return


def _removals(request: Request, seed: int, lot: Lot, deadline: float) -> Iterator[Removal | None]:
    """What removal leaves of the solved grids of a lot; None where there is no such grid."""
    orbits = symmetries.orbits(request.symmetry, request.geometry.size)
    fewest, draw, counts = request.clues[0], request.draw(seed), dict(request.counts)
    if request.picture:
        for attempt in range(*lot):
            yield begun(request, draw, attempt, deadline)
        return
    if request.rules:
        for attempt in range(*lot):
            name = f"{draw}/{attempt}"
            start = solved_with_rules(
                request.geometry, request.rules, name, counts=counts, deadline=deadline
            )
            look(deadline, "while a grid was filled")
            order = random.Random(f"{name}/order").random
            yield (
                remove_with_rules(
                    start, orbits, attempt, order, fewest=fewest, deadline=deadline, whole=counts
                )
                if start
                else None
            )
        return
    numbers = range(*lot)
    while numbers:
        batch = remove(
            request.geometry, orbits, numbers, seed=draw, fewest=fewest, deadline=deadline
        )
        yield from batch
        numbers = numbers[len(batch) :]


def _fit(request: Request, removal: Removal, seed: int, deadline: float) -> Outcome:
    """The hardest stage that is not harder than wanted, or the next that fits, if any does.

    More clues hardly ever make a grid harder, so the hardest is found by halving. Raises Unfinished
    where the deadline passed first.
    """
    low, high = request.clues
    stages = [k for k in range(removal.steps, -1, -1) if low <= removal.clue_count(k) <= high]

    @cache
    def rated(stage: int) -> tuple[Meaning, Rating]:
        look(deadline, "while a grid was rated")
        put_back = stages[stage]
        meaning = meaning_of(removal.start.base, removal.rules(put_back))
        ladder = with_rules(DEFAULT, meaning.parts)
        return meaning, rate(meaning.geometry, removal.clues(put_back), ladder=ladder)

    def too_hard(stage: int) -> bool:
        grade = rated(stage)[1].grade
        if request.grade is not None:
            return easier(request.grade, grade)
        return not within_reach(request, grade)

    judged = Judged(
        "so few clues" if not stages else f"grade {request.grade or f'up to {HARDEST}'}"
    )
    for stage in range(_last(len(stages), too_hard), -1, -1):
        meaning, rating = rated(stage)
        clues, rules = removal.clues(stages[stage]), removal.rules(stages[stage])
        if easier(rating.grade, request.grade):
            return Outcome(Judged(f"grade {request.grade}", rating))
        if request.grade not in (None, rating.grade) or too_hard(stage):
            continue
        judged = judge(request, meaning.geometry, clues, meaning.parts, rating)
        if not judged.failed and request.minimal and not _is_minimal(meaning, clues):
            judged = Judged("minimal", rating)
        if not judged.failed:
            solution, attempt = removal.start.solution, removal.attempt
            return Outcome(
                judged, _new(request, seed, attempt, clues, solution, rating, meaning, rules)
            )
        if request.rules:
            return Outcome(judged)  # a look takes long here, and another grid is as good a try
    return Outcome(judged)


def _new(
    request: Request,
    seed: int,
    attempt: int,
    clues: Values,
    solution: Values,
    rating: Rating,
    meaning: Meaning,
    rules: Rules,
) -> NewGrid:
    return NewGrid(
        geometry=meaning.geometry,
        clues=clues,
        solution=solution,
        grade=rating.grade,
        hardest=rating.hardest,
        effort=rating.effort,
        symmetry=request.symmetry if not request.picture else finest(clues, request.geometry.size),
        needs=request.needs,
        seed=seed,
        attempt=attempt,
        request=request.name(seed),
        rules=rules,
        parts=meaning.parts,
        no_notes=request.no_notes,
        minimal=request.minimal,
        only=request.only,
    )


def finest(clues: Values, size: int) -> str:
    """The symmetry of the clues' picture that says the most."""
    held = [name for name in symmetries.NAMES if symmetries.holds(name, clues, size)]
    return min(held, key=lambda name: len(symmetries.orbits(name, size)))


def _is_minimal(meaning: Meaning, clues: Values) -> bool:
    """Whether without any one of its clues the grid has more solutions."""
    with asking(meaning) as unique:
        return not any(
            unique((*clues[:cell], 0, *clues[cell + 1 :]))
            for cell, digit in enumerate(clues)
            if digit
        )


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
