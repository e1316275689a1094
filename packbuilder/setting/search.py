"""The search for new grids: lot by lot, here or on all cores, until enough are found."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Collection, Iterator
from concurrent.futures import Executor, Future
from concurrent.futures import TimeoutError as TooLate
from dataclasses import dataclass, field
from itertools import islice

from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry
from packbuilder.kinship import fingerprint
from packbuilder.puzzle import Grade
from packbuilder.setting.alarm import alarm
from packbuilder.setting.judging import Tally
from packbuilder.setting.lots import Lot, lots, outcomes
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.picture import Picture
from packbuilder.setting.request import Request
from packbuilder.workers import Pool, processes, uninterrupted

ALONE = 2.0
"""Seconds for which a search is on one core: others take a second to start."""

GRACE = 0.4
"""Seconds beyond the budget for work that looks at the clock to end by itself, and say at what."""

AHEAD = 3
"""Lots in hand for each of several cores."""


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
    picture: Picture | None = None,
    no_notes: int | None = None,
    minimal: bool = False,
) -> Iterator[NewGrid]:
    """Give ``count`` new grids as they are found: see `Request` and `Search`.

    Raises InputError at once for requests that cannot be met.
    """
    request = Request(
        geometry, clues, symmetry, grade, tuple(dict.fromkeys(needs)),
        tuple(dict.fromkeys(rules)), picture, no_notes, minimal,
        only=tuple(dict.fromkeys(only)),
    )  # fmt: skip
    return iter(Search(request, count, seed=seed, budget=budget, attempts=attempts))


@dataclass
class Search:
    """A search for ``count`` grids that are as asked for, none of them kin to another.

    The same request and seed give the same grids in the same order, on any machine and any number
    of ``workers`` of a ``pool``; only where a search for too much stops depends on it, for
    ``budget`` is in seconds. ``attempts`` bounds the solved grids that are begun with instead.
    Grids whose fingerprint is in ``known`` are passed over. ``report`` is called as grids are
    looked at.

    Raises InputError at once where the request cannot be met. Iterating raises InputError where no
    grid fits the geometry; Unfinished, after the last grid found, where the budget or the attempts
    ran out before ``count``.
    """

    request: Request
    count: int
    seed: int = 0
    budget: float = 120.0
    attempts: int | None = None
    workers: int = 1
    pool: Pool = processes
    known: Collection[str] = ()
    report: Callable[[Search], None] | None = None
    tally: Tally = field(default_factory=Tally)
    found: int = 0
    began: float = 0.0

    def __post_init__(self) -> None:
        if not math.isfinite(self.budget):
            raise InputError(f"budget {self.budget}: write a number of seconds, such as 120")
        self.request.check(self.seed)
        self.began = time.monotonic()

    @property
    def deadline(self) -> float:
        """When the budget is spent, on the monotonic clock."""
        return self.began + self.budget

    def __iter__(self) -> Iterator[NewGrid]:
        kin = set(self.known)
        why = ""
        try:
            for grid in self._timely():
                mark = fingerprint(grid.geometry, grid.clues, grid.parts)
                if mark in kin:
                    self.tally.failed["new"] += 1
                    continue
                kin.add(mark)
                self.found += 1
                yield grid
                if self.found == self.count:
                    return
        except Unfinished as ended:
            why = f": {ended}"
        raise Unfinished(
            f"{self.found} of {self.count} grids found ({self.request.words()}) before the search "
            f"ended{why}; {self.tally.advice()}"
        )

    def _timely(self) -> Iterator[NewGrid]:
        """The grids, each by the deadline."""
        grids = self._grids()
        while True:
            with alarm(self.deadline + GRACE):
                grid = next(grids, None)
            if grid is None:
                return
            yield grid

    def _grids(self) -> Iterator[NewGrid]:
        """Grids that are as asked for, in order; Unfinished at the deadline."""
        pieces = lots(self.request, self.attempts)
        alone = time.monotonic() + ALONE
        for lot in pieces:
            for outcome in outcomes(self.request, self.seed, lot, self.deadline):
                self.tally.add(outcome.judged, outcome.times)
                self._report()
                if outcome.grid:
                    yield outcome.grid
            if self.workers > 1 and time.monotonic() > alone:
                yield from self._on_all_cores(pieces)

    def _on_all_cores(self, pieces: Iterator[Lot]) -> Iterator[NewGrid]:
        with self.pool(self.workers) as pool:
            waiting = [self._begin(pool, lot) for lot in islice(pieces, AHEAD * self.workers)]
            while waiting:
                try:
                    grids, tally, why = waiting.pop(0).result(self.deadline - time.monotonic())
                except TooLate:
                    raise Unfinished("the time ran out") from None
                self.tally.merge(tally)
                self._report()
                yield from grids
                if why:
                    raise Unfinished(why)
                waiting += [self._begin(pool, lot) for lot in islice(pieces, 1)]

    def _begin(self, pool: Executor, lot: Lot) -> Future[Done]:
        with uninterrupted():
            return pool.submit(work_on, self.request, self.seed, lot, by_the_wall(self.deadline))

    def _report(self) -> None:
        if self.report:
            self.report(self)


Done = tuple[list[NewGrid], Tally, str]
"""The grids of a lot, what was met, and why it ended early, if it did."""


def by_the_wall(deadline: float) -> float:
    """A time on the monotonic clock, which is each machine's own, on the clock that all share."""
    return time.time() + deadline - time.monotonic()


def work_on(request: Request, seed: int, lot: Lot, until: float) -> Done:
    """Work on a lot, in another process or on another machine, until a time on the wall's clock."""
    deadline = time.monotonic() + until - time.time()
    grids, tally = list[NewGrid](), Tally()
    try:
        for outcome in outcomes(request, seed, lot, deadline):
            tally.add(outcome.judged, outcome.times)
            grids += [outcome.grid] if outcome.grid else []
    except Unfinished as ended:
        return grids, tally, str(ended)
    return grids, tally, ""
