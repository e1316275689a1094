"""The second proof: the grid as clauses, decided by a SAT solver through python-sat.

It shares no code with the kernel; both start from the geometry's houses. Variable
``cell * size + digit`` is true when the cell holds the digit:

- a cell holds at least one digit, and no two;
- a digit stands at most once in a house;
- and at least once in a house with as many cells as there are digits (which follows from the rest,
  and spares the solver the counting).

A pair of cells that must differ is a house of two. Rules that are more than houses add clauses of
their own (`encoding`).

Clues are assumptions, so the clauses of a geometry are loaded once for many grids, and when there
is no solution the solver names the clues that it used.

Glucose 4 was chosen by measurement: over 9x9 and 16x16 grids it was within a third of the fastest
(CaDiCaL 1.5.3), which cannot be stopped when the time is up.
"""

from __future__ import annotations

import random
import signal
import time
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import combinations
from types import TracebackType

import pysolvers
from pysat.solvers import Solver

from packbuilder.errors import Unfinished
from packbuilder.grid import Geometry, Values
from packbuilder.proof.encoding import Encoder
from packbuilder.proof.verdict import Verdict
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import without_houses

ENGINE = "glucose4"
SLICE = 500
"""Conflicts between two looks at the clock: some hundredths of a second on a 16x16 grid."""

RESTARTS = 24
"""Orders in which `clash` leaves out clues before it keeps the smallest set it met."""

CONFLICTS = 20_000
"""Conflicts after which `clash_with_rules` tries no other order: some seconds."""


def prove(
    geometry: Geometry,
    clues: Sequence[int],
    parts: Sequence[Part] = (),
    *,
    time_limit: float | None = None,
) -> Verdict:
    """Whether the grid has no solution, one, or two and more, with the first two as witnesses.

    ``parts`` are those of its rules; the houses that they bring are in ``geometry`` already.
    Undecided after ``time_limit`` seconds. ``nodes`` counts the solver's conflicts. Raises
    ValueError for clues that do not fit the geometry.
    """
    with Prover(geometry, parts) as prover:
        return prover.prove(clues, time_limit=time_limit)


def clash(
    geometry: Geometry, clues: Sequence[int], *, time_limit: float | None = None
) -> tuple[int, ...]:
    """A small set of clues that contradict one another, as cells in order.

    No clue can be left out of the set without the contradiction going away; it is the smallest of
    several such sets, the same on every run. It is empty where no grid fits the geometry at all.
    Raises ValueError where the clues have a solution, Unfinished where ``time_limit`` seconds were
    not enough to find any set; once one is found, the best so far is given.
    """
    return clash_with_rules(geometry, clues, (), time_limit=time_limit)[0]


def clash_with_rules(
    geometry: Geometry,
    clues: Sequence[int],
    parts: Sequence[Part],
    *,
    time_limit: float | None = None,
) -> tuple[tuple[int, ...], tuple[Part, ...]]:
    """A small set of clues and parts that contradict one another: see `clash`.

    The houses that a part brings are left out of the grid together with the part.
    """
    base = without_houses(geometry, parts)
    for house in base.houses:
        for a, b in combinations(sorted(set(house.cells)), 2):
            if clues[a] and clues[a] == clues[b]:
                return (a, b), ()
    deadline = _deadline(time_limit)
    with Prover(geometry, parts, guarded=True) as prover:
        given = [*prover.guards, *prover.assumed(clues)]
        best = prover.core(given, deadline)
        if best is None:
            raise ValueError("the clues do not clash: the grid has a solution")
        for attempt in range(RESTARTS):
            # Only random() is promised to draw the same numbers in every Python.
            draw = random.Random(attempt).random
            order = sorted(given, key=lambda _: draw()) if attempt else given
            try:
                best = min(best, _minimal(prover, order, deadline), key=_smaller)
            except Unfinished:
                break
            if parts and prover.conflicts() > CONFLICTS:
                break
        cells = sorted(prover.cell_of(literal) for literal in best if literal not in prover.guards)
        return tuple(cells), tuple(p for guard, p in prover.guards.items() if guard in best)


class Prover:
    """A solver with the clauses of one geometry loaded, for any number of grids, in one thread.

    What it learns from one grid helps with the next, and may change which solutions it finds
    first; `prove` and `clash` start a new one each time, so that they depend on nothing else.
    ``guarded`` parts bring their own houses, and can be left out of a `core`; ``guards`` are the
    literals that switch them on.
    """

    def __init__(
        self,
        geometry: Geometry,
        parts: Sequence[Part] = (),
        *,
        guarded: bool = False,
        engine: str = ENGINE,
    ) -> None:
        base, clauses = _plain(without_houses(geometry, parts) if parts else geometry)
        encoder = Encoder(base)
        self.guards: dict[int, Part] = {}
        for part in parts:
            if guarded:
                self.guards[encoder.encode_guarded(part)] = part
            else:
                encoder.encode(part)
        self._geometry = geometry
        self._solver = Solver(engine, bootstrap_with=clauses)
        self._solver.append_formula(encoder.clauses)
        self._variables = geometry.cell_count * geometry.size
        self._block = encoder.top

    def __enter__(self) -> Prover:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._solver.delete()

    def prove(self, clues: Sequence[int], *, time_limit: float | None = None) -> Verdict:
        """See `prove` of this module."""
        before = self.conflicts()
        found, complete = self.explore(clues, limit=2, time_limit=time_limit)
        return Verdict(
            len(found) if complete or len(found) == 2 else None,
            found[0] if found else None,
            found[1] if len(found) > 1 else None,
            self.conflicts() - before,
        )

    def explore(
        self, clues: Sequence[int], *, limit: int, time_limit: float | None = None
    ) -> tuple[list[Values], bool]:
        """Up to ``limit`` solutions, and whether they are all that there are."""
        size, deadline = self._geometry.size, _deadline(time_limit)
        if len(clues) != self._geometry.cell_count or not all(0 <= d <= size for d in clues):
            raise ValueError(f"the clues do not fit a {self._geometry.name()}")
        # Each solution is forbidden as it is found, but only under a guard: a variable that no
        # later grid assumes.
        self._block += 1
        assumed = [*self.guards, *self.assumed(clues)]
        found: list[Values] = []
        answer: bool | None = True
        while answer and len(found) < limit:
            answer = self._solve([*assumed, self._block], deadline)
            if answer:
                model = [v for v in self._solver.get_model()[: self._variables] if v > 0]
                found.append(tuple((v - 1) % size + 1 for v in model))
                self._solver.add_clause([-self._block, *(-v for v in model)])
        self._solver.add_clause([-self._block])
        return found, answer is False

    def assumed(self, clues: Sequence[int]) -> list[int]:
        """The literals of the clues."""
        size = self._geometry.size
        return [cell * size + digit for cell, digit in enumerate(clues) if digit]

    def cell_of(self, literal: int) -> int:
        """The cell of which a digit's literal speaks."""
        return (literal - 1) // self._geometry.size

    def core(self, literals: Iterable[int], deadline: float | None = None) -> list[int] | None:
        """Those of the literals that a contradiction used, or None if there is none.

        Raises Unfinished where the deadline passed first.
        """
        answer = self._solve(list(literals), deadline)
        if answer is None:
            raise Unfinished("the time limit ran out before the clashing clues were found")
        return None if answer else list(self._solver.get_core() or [])

    def _solve(self, assumed: list[int], deadline: float | None) -> bool | None:
        """True or False, or None when the deadline has passed."""
        heard_by = signal.getsignal(signal.SIGINT)
        try:
            return self._answer(assumed, deadline)
        except pysolvers.error as fault:  # a solver at work takes Ctrl-C, and does not give it back
            signal.signal(signal.SIGINT, heard_by)
            if hasattr(signal, "pthread_sigmask"):
                signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
            raise KeyboardInterrupt from fault

    def _answer(self, assumed: list[int], deadline: float | None) -> bool | None:
        if deadline is None:
            return bool(self._solver.solve(assumptions=assumed))
        while time.monotonic() < deadline:
            self._solver.conf_budget(SLICE)
            answer = self._solver.solve_limited(assumptions=assumed)
            if answer is not None:
                return bool(answer)
        return None

    def conflicts(self) -> int:
        """How often the solver met a contradiction so far."""
        return int((self._solver.accum_stats() or {}).get("conflicts", 0))


def _minimal(prover: Prover, order: list[int], deadline: float | None) -> list[int]:
    """Leave out one after the other, in the given order, as long as the rest still contradict."""
    core = prover.core(order, deadline) or []
    for literal in sorted(core, key=order.index):
        if literal in core:
            smaller = prover.core([other for other in core if other != literal], deadline)
            core = core if smaller is None else smaller
    return core


def _smaller(literals: list[int]) -> tuple[int, list[int]]:
    return len(literals), sorted(literals)


def _deadline(time_limit: float | None) -> float | None:
    return None if time_limit is None else time.monotonic() + time_limit


@lru_cache(maxsize=8)
def _plain(geometry: Geometry) -> tuple[Geometry, tuple[list[int], ...]]:
    """The clauses of a geometry, and the geometry itself: of equal ones the first, which knows its
    peers already."""
    size = geometry.size
    digits = range(1, size + 1)
    clauses: list[list[int]] = []
    for cell in range(geometry.cell_count):
        held = [cell * size + d for d in digits]
        clauses.append(held)
        clauses += [[-a, -b] for a, b in combinations(held, 2)]
    differ = sorted({pair for h in geometry.houses for pair in combinations(sorted(h.cells), 2)})
    clauses += [[-(a * size + d), -(b * size + d)] for a, b in differ for d in digits]
    for house in geometry.houses:
        if len(house.cells) > size:
            clauses.append([])  # more cells than digits: no grid fits
        if len(house.cells) == size:
            clauses += [[cell * size + d for cell in house.cells] for d in digits]
    return geometry, tuple(clauses)
