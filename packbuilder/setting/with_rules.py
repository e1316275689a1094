"""Setting with rules: a solved grid, clues of each rule, then removal while one solution is left.

Clue digits go first, orbit by orbit; then clues of the rules, one by one, where a rule has any to
spare. What was taken is put back from the end until the grid is as hard as wanted, so a grid keeps
its rule's clues as long as digits can go.

    all digits,          ──►  fewer digits  ──►  no digit   ──►  no digit and no
    all clues of rules                           to spare        clue to spare
    (easiest)                                                    (hardest)
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from packbuilder import rules as known_rules
from packbuilder import symmetry as symmetries
from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.kinship import fingerprint
from packbuilder.ladder import promises
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rating import Rating, rate
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel, sat
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.rules.contract import Draw
from packbuilder.rules.tools.random_clues import shuffled
from packbuilder.setting.batch_removal import NODE_LIMIT
from packbuilder.setting.removal import SetGrid, certified, easier
from packbuilder.setting.request import Request
from packbuilder.setting.solved_grids import Ruled, Rules, SolvedGrid, deal, read

QUESTION_SECONDS = 10.0
"""Time for one question. A grid that needs more is none for paper: it counts as not unique."""


def usual_clues(geometry: Geometry) -> tuple[int, int]:
    """Clue counts to look for where none are wished: as few as the rules allow, to 30 in 100 cells.

    Common practice in print, no source: a rule should do most of the work.
    """
    return 0, geometry.cell_count * 30 // 100


def set_grids(
    geometry: Geometry,
    rules: tuple[str, ...],
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
    """Give ``count`` new grids with all of the ``rules`` (slugs), as they are found.

    The other arguments, and what is raised, are those of `removal.set_grids`. No rule is there for
    show: without any one of them a grid would have more solutions.
    """
    if not math.isfinite(budget):
        raise InputError(f"budget {budget}: write a number of seconds, such as 120")
    wish = Request(
        geometry, grade, symmetry, clues, tuple(dict.fromkeys(needs)),
        tuple(dict.fromkeys(rules)), tuple(dict.fromkeys(only)),
    )  # fmt: skip
    wish.check(seed)
    return _search(wish, count, seed, time.monotonic() + budget, attempts)


@dataclass(frozen=True)
class _State:
    """A grid on its way: its clue digits, and its rules with the clues that are left to them."""

    clues: Values
    rules: Rules


def _search(
    wish: Request, count: int, seed: int, deadline: float, attempts: int | None
) -> Iterator[SetGrid]:
    found, attempt = 0, 0
    kin: set[str] = set()
    why = ""
    try:
        while attempts is None or attempt < attempts:
            attempt += 1
            name = f"{wish.draw(seed)}/{attempt}"
            dealt = deal(wish.geometry, wish.rules, name, deadline=deadline)
            _look(deadline)
            if dealt is None:
                continue
            states = strip(dealt, wish, random.Random(f"{name}/order").random, deadline)
            grid = _fit(wish, dealt, states, (seed, attempt), deadline)
            if grid is None:
                continue
            mark = fingerprint(grid.geometry, grid.clues, grid.parts)
            if mark in kin or not _all_needed(wish.geometry, grid) or not certified(grid, deadline):
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
        "budget, allow more clue counts, or try another grade, symmetry or size"
    )


def strip(dealt: SolvedGrid, wish: Request, draw: Draw, deadline: float) -> list[_State]:
    """All grids between the solved one and one with nothing to spare, in order of removal.

    Raises Unfinished where the deadline passed first.
    """
    state = _State(dealt.solution, dealt.rules)
    states = [state]
    with _asking(read(dealt.base, state.rules)) as unique:
        for orbit in shuffled(symmetries.orbits(wish.symmetry, dealt.base.size), draw):
            _look(deadline)
            clues = tuple(0 if cell in orbit else v for cell, v in enumerate(state.clues))
            if sum(v > 0 for v in clues) >= wish.clues[0] and unique(clues):
                state = _State(clues, state.rules)
                states.append(state)
    for lighter in _lighter(state, dealt.base, draw, deadline):
        states.append(lighter)
    return states


def _lighter(state: _State, base: Geometry, draw: Draw, deadline: float) -> Iterator[_State]:
    """The grid with one clue of a rule less, and another, as long as one solution is left.

    Each rule keeps half of its clues: it should look like itself.
    """
    kinds = known_rules.kinds()
    # A clue that cannot go now cannot go later: each is tried once. Its place among those that are
    # left tells it apart, for `Kind.fewer` keeps their order.
    left = {slug: list(range(len(kinds[slug].fewer(v)))) for slug, v in state.rules}
    least = {slug: (len(clues) + 1) // 2 for slug, clues in left.items()}
    untried = [(slug, clue) for slug, clues in left.items() for clue in clues]
    for slug, clue in shuffled(untried, draw):
        _look(deadline)
        written = dict(state.rules)
        fewer = kinds[slug].fewer(written[slug])
        if not fewer or len(left[slug]) == least[slug]:
            continue
        place = left[slug].index(clue)
        written[slug] = fewer[place]
        rules = tuple(written.items())
        with _asking(read(base, rules)) as unique:
            if unique(state.clues):
                left[slug].pop(place)
                state = _State(state.clues, rules)
                yield state


@contextmanager
def _asking(ruled: Ruled) -> Iterator[Callable[[Values], bool]]:
    """A question that can be asked again and again: do these clues leave one solution?"""
    if all(part.houses_only for part in ruled.parts):
        yield (
            lambda clues: kernel.prove(ruled.geometry, clues, node_limit=NODE_LIMIT).solutions == 1
        )
        return
    with sat.Prover(ruled.geometry, ruled.parts) as prover:
        yield lambda clues: prover.prove(clues, time_limit=QUESTION_SECONDS).solutions == 1


def _fit(
    wish: Request, dealt: SolvedGrid, states: list[_State], made: tuple[int, int], deadline: float
) -> SetGrid | None:
    """The hardest of the grids that is not harder than wished, if it fits.

    More clues hardly ever make a grid harder, so it is found by halving.
    """
    low, high = wish.clues
    fitting = [s for s in states if low <= sum(v > 0 for v in s.clues) <= high]
    rated: dict[int, tuple[Rating, Ruled, Ladder]] = {}

    def too_hard(k: int) -> bool:
        _look(deadline)
        ruled = read(dealt.base, fitting[k].rules)
        ladder = with_rules(DEFAULT, ruled.parts)
        rated[k] = rate(ruled.geometry, fitting[k].clues, ladder=ladder), ruled, ladder
        grade = rated[k][0].grade
        return grade == BEYOND if wish.grade is None else easier(wish.grade, grade)

    hardest = _last(len(fitting), too_hard)
    if hardest < 0:
        return None
    rating, ruled, ladder = rated[hardest]
    state = fitting[hardest]
    if wish.grade not in (None, rating.grade):
        return None
    if not promises.kept(ruled.geometry, state.clues, wish.needs, wish.only, ladder=ladder):
        return None
    seed, attempt = made
    return SetGrid(
        geometry=ruled.geometry,
        clues=state.clues,
        solution=dealt.solution,
        grade=rating.grade,
        hardest=rating.hardest,
        effort=rating.effort,
        symmetry=wish.symmetry,
        needs=wish.needs,
        seed=seed,
        attempt=attempt,
        wish=wish.name(seed),
        rules=state.rules,
        parts=ruled.parts,
        only=wish.only,
    )


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


def _all_needed(base: Geometry, grid: SetGrid) -> bool:
    """True if without any one of its rules the grid would have more solutions."""
    for k in range(len(grid.rules)):
        others = read(base, grid.rules[:k] + grid.rules[k + 1 :])
        with _asking(others) as unique:
            if unique(grid.clues):
                return False
    return True


def _look(deadline: float) -> None:
    if time.monotonic() > deadline:
        raise Unfinished("the time ran out")
