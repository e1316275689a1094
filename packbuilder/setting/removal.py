"""Removal: a solved grid loses clues, one step after another, while one solution is left.

Clues go by the orbits of a symmetry, so their picture is symmetrical all the way; where there are
rules, clues of theirs go after that, one by one. Every grid on the way is a *stage*::

    the solved grid,  ──►  fewer digits  ──►  no digit   ──►  no digit and no clue
    all its clues                             to spare        of a rule to spare
    (easiest)                                                 (hardest, mostly)

One grid alone asks the kernel some dozens of small questions in a row, and the asking costs more
than the answers. Without rules, solved grids do not depend on one another: all of a batch take
their next step at once, as one question.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packbuilder import rules as known_rules
from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel, sat
from packbuilder.rules.contract import Draw
from packbuilder.rules.tools.random_clues import shuffled
from packbuilder.setting.solved_grids import Meaning, Rules, SolvedGrid, meaning_of

NODE_LIMIT = 20_000
QUESTION_SECONDS = 10.0
"""Branches, or with rules seconds, for one question. A grid that needs more is none for paper: it
counts as not unique."""

FILLING_SECONDS = 1.0
"""Seconds after which no more solved grids are added to a batch. Those of 9x9 with blocks take a
few thousandths for a whole batch; crooked regions may take minutes for one."""

Orbits = Sequence[tuple[int, ...]]


@dataclass(frozen=True)
class Removal:
    """What was taken from a solved grid, in order: orbits of clues, then clues of rules.

    ``lighter`` are the rules after each of the latter. ``attempt`` numbers the grid in its run.
    """

    attempt: int
    start: SolvedGrid
    taken: tuple[tuple[int, ...], ...]
    lighter: tuple[Rules, ...] = ()

    @property
    def steps(self) -> int:
        """How many steps were taken: as many can be put back."""
        return len(self.taken) + len(self.lighter)

    def clues(self, put_back: int = 0) -> Values:
        """The clues that are left, with the last ``put_back`` steps put back."""
        out = {cell for orbit in self.taken[: self.steps - put_back] for cell in orbit}
        return tuple(0 if i in out else v for i, v in enumerate(self.start.solution))

    def rules(self, put_back: int = 0) -> Rules:
        """The rules that are left."""
        steps = self.steps - put_back - len(self.taken)
        return self.lighter[steps - 1] if steps > 0 else self.start.rules

    def clue_count(self, put_back: int = 0) -> int:
        """How many digits are left."""
        out = sum(map(len, self.taken[: self.steps - put_back]))
        return len(self.start.solution) - out


def remove(
    geometry: Geometry,
    orbits: Orbits,
    attempts: Sequence[int],
    *,
    seed: str,
    fewest: int = 0,
    deadline: float | None = None,
) -> list[Removal]:
    """Take clues from one solved grid for each of ``attempts``, down to ``fewest`` at the least.

    Every orbit is tried once, in an order of the grid's own. That is enough: an orbit that cannot
    go while more clues stand cannot go later. Without ``fewest`` what is left has no orbit to
    spare. The grid of an attempt depends on the seed and on its number alone, not on the others.

    Where solved grids are slow to come by, only the first few of ``attempts`` are made, at least
    one. Raises InputError where the geometry has no full grid, Unfinished where none was found, or
    where the ``deadline`` (on the monotonic clock) passed.
    """
    solutions, orders = _full_grids(geometry, len(orbits), attempts, seed, deadline)
    grids = np.array(solutions, np.uint8)
    sizes = np.array([len(orbit) for orbit in orbits])
    masks = np.zeros((len(orbits), geometry.cell_count), bool)
    for k, orbit in enumerate(orbits):
        masks[k, list(orbit)] = True

    taken = np.zeros(orders.shape, bool)  # by turn, as in ``orders``
    counts = np.full(len(grids), geometry.cell_count)
    for turn, tried in enumerate(orders.T):
        look(deadline, "while clues were taken away")
        asked = np.flatnonzero(counts - sizes[tried] >= fewest)
        trial = np.where(masks[tried[asked]], 0, grids[asked]).astype(np.uint8)
        found, _ = kernel.prove_many(geometry, trial, node_limit=NODE_LIMIT, threads=1)
        kept = asked[found == 1]
        grids[kept] = trial[found == 1]
        counts[kept] -= sizes[tried[kept]]
        taken[kept, turn] = True
    return [
        Removal(attempt, SolvedGrid(geometry, solution), tuple(orbits[k] for k in order[took]))
        for attempt, solution, order, took in zip(attempts, solutions, orders, taken, strict=False)
    ]


def _full_grids(
    geometry: Geometry,
    orbit_count: int,
    attempts: Sequence[int],
    seed: str,
    deadline: float | None,
) -> tuple[list[Values], NDArray[np.int64]]:
    """For each attempt a solved grid, and the order in which it will try the orbits.

    Fewer, but at least one, where they take longer than `FILLING_SECONDS`.
    """
    solutions: list[Values] = []
    orders = []
    enough = time.monotonic() + FILLING_SECONDS
    for attempt in attempts:
        if solutions and time.monotonic() > enough:
            break
        # Only random() is promised to draw the same numbers in every Python; shuffle is not.
        draw = random.Random(f"{seed}/{attempt}").random
        solutions.append(kernel.random_solution(geometry, int(draw() * 2**53), deadline=deadline))
        orders.append(np.argsort([draw() for _ in range(orbit_count)], kind="stable"))
    return solutions, np.array(orders, np.int64).reshape(-1, orbit_count)


def remove_with_rules(
    start: SolvedGrid,
    orbits: Orbits,
    attempt: int,
    draw: Draw,
    *,
    fewest: int = 0,
    deadline: float | None = None,
    whole: Collection[str] = (),
) -> Removal:
    """Take clues from one solved grid with rules, then clues of the rules, until none can go.

    Those of the ``whole`` rules stay. Raises Unfinished where the deadline passed first.
    """
    clues, taken = start.solution, []
    with asking(meaning_of(start.base, start.rules)) as unique:
        for orbit in shuffled(orbits, draw):
            look(deadline, "while clues were taken away")
            fewer = tuple(0 if cell in orbit else v for cell, v in enumerate(clues))
            if sum(v > 0 for v in fewer) >= fewest and unique(fewer):
                clues = fewer
                taken.append(orbit)
    lighter = tuple(_lighter(start, clues, draw, deadline, whole))
    return Removal(attempt, start, tuple(taken), lighter)


def _lighter(
    start: SolvedGrid,
    clues: Values,
    draw: Draw,
    deadline: float | None,
    whole: Collection[str],
) -> Iterator[Rules]:
    """The rules with one of their clues less, and another, as long as one solution is left.

    Each rule keeps half of its clues: it should look like itself.
    """
    kinds, rules = known_rules.kinds(), start.rules
    # A clue that cannot go now cannot go later: each is tried once. Its place among those that are
    # left tells it apart, for `Kind.fewer` keeps their order.
    left = {slug: list(range(len(kinds[slug].fewer(v)))) for slug, v in rules}
    least = {slug: (len(clues) + 1) // 2 for slug, clues in left.items()}
    untried = [(slug, clue) for slug, clues in left.items() for clue in clues]
    untried = [(slug, clue) for slug, clue in untried if slug not in whole]
    for slug, clue in shuffled(untried, draw):
        look(deadline, "while clues of rules were taken away")
        written = dict(rules)
        fewer = kinds[slug].fewer(written[slug])
        if not fewer or len(left[slug]) == least[slug]:
            continue
        place = left[slug].index(clue)
        written[slug] = fewer[place]
        with asking(meaning_of(start.base, tuple(written.items()))) as unique:
            if unique(clues):
                left[slug].pop(place)
                rules = tuple(written.items())
                yield rules


@contextmanager
def asking(meaning: Meaning) -> Iterator[Callable[[Values], bool]]:
    """A question that can be asked again and again: do these clues leave one solution?"""
    geometry, parts = meaning.geometry, meaning.parts
    if all(part.houses_only for part in parts):
        yield lambda clues: kernel.prove(geometry, clues, node_limit=NODE_LIMIT).solutions == 1
        return
    with sat.Prover(geometry, parts) as prover:
        yield lambda clues: prover.prove(clues, time_limit=QUESTION_SECONDS).solutions == 1


def look(deadline: float | None, doing: str) -> None:
    """Raise Unfinished where a deadline (on the monotonic clock) has passed."""
    if deadline is not None and time.monotonic() > deadline:
        raise Unfinished(f"the time ran out {doing}")
