"""A month: many wishes in one search, on all cores, and on from where it was stopped.

Lots of all wishes that are not yet met are worked on side by side. What comes of a wish is taken in
the order of its lots, so the same grids are found on any number of cores. A file beside the wishes
keeps the attempts that gave a grid, and how far each search has come.
"""

from __future__ import annotations

import hashlib
import json
import time
from collections import deque
from collections.abc import Callable, Collection, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from packbuilder.errors import Unfinished
from packbuilder.files import read_json
from packbuilder.kinship import fingerprint
from packbuilder.setting.judging import Tally
from packbuilder.setting.lots import Lot, lots
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.search import AHEAD, Done, by_the_wall, work_on
from packbuilder.setting.wishes import Wish
from packbuilder.workers import Pool, processes, uninterrupted

VERSION = 1


@dataclass
class Progress:
    """How far a wish has come: the attempts that gave its grids, and those done with."""

    found: list[int] = field(default_factory=list)
    done: int = 0


@dataclass
class State:
    """The progress of wishes, kept in a file; one that is not sound counts as none."""

    file: Path | None
    wishes: dict[str, Progress] = field(default_factory=dict)

    @classmethod
    def read(cls, file: Path | None) -> State:
        """What a file holds."""
        state = cls(file)
        with suppress(OSError, ValueError, KeyError, TypeError, AttributeError):
            told = read_json(file) if file else {}
            if told["version"] == VERSION:
                for name, one in told["wishes"].items():
                    found = [int(attempt) for attempt in one["found"]]
                    state.wishes[str(name)] = Progress(found, int(one["done"]))
        return state

    def of(self, wish: Wish) -> Progress:
        """That of a wish."""
        request = wish.request
        told = f"{request.draw(wish.seed)}/{request.geometry}/{wish.count}"
        return self.wishes.setdefault(hashlib.sha256(told.encode()).hexdigest()[:16], Progress())

    def write(self) -> None:
        """Keep it. A folder that cannot be written keeps nothing, and the search goes on."""
        if self.file is None:
            return
        told = {name: vars(one) for name, one in self.wishes.items()}
        aside = self.file.with_name(f".{self.file.name}.new")
        with suppress(OSError):
            told_all = json.dumps({"version": VERSION, "wishes": told})
            aside.write_text(told_all, encoding="utf-8", newline="\n")
            aside.replace(self.file)


class _Sought:
    """A wish on its way."""

    def __init__(self, wish: Wish, progress: Progress) -> None:
        self.wish, self.progress = wish, progress
        self.tally = Tally()
        self.grids: list[NewGrid] = []
        self.waiting: deque[tuple[Lot, Future[Done]]] = deque()
        # Attempts that gave a grid before give it again; then on behind those that were done.
        again = [Lot(attempt, attempt + 1) for attempt in progress.found]
        self.resumed = len(again)
        self.lots = self._pieces(again, progress.done)

    def _pieces(self, again: Sequence[Lot], done: int) -> Iterator[Lot]:
        yield from again
        for lot in lots(self.wish.request, None):
            if lot.end > done + 1:
                yield Lot(max(lot.first, done + 1), lot.end)

    @property
    def met(self) -> bool:
        """Whether all its grids are there."""
        return len(self.grids) == self.wish.count


class Month:
    """The search for the grids of several wishes.

    Iterating gives (wish, grid) as they are found. Raises Unfinished, after the last, where the
    budget ran out. Grids whose fingerprint is in ``known`` are passed over.
    """

    def __init__(
        self,
        wishes: Sequence[Wish],
        *,
        budget: float,
        workers: int,
        pool: Pool = processes,
        known: Collection[str] = (),
        state: State | None = None,
    ) -> None:
        self.began = time.monotonic()
        self.budget, self.workers, self.pool = budget, workers, pool
        self.state = state or State(None)
        self.sought = [_Sought(wish, self.state.of(wish)) for wish in wishes]
        self.report: Callable[[Month], None] | None = None
        self._kin = set(known)

    @property
    def found(self) -> int:
        """How many grids were found."""
        return sum(len(one.grids) for one in self.sought)

    @property
    def count(self) -> int:
        """How many there are to find."""
        return sum(one.wish.count for one in self.sought)

    @property
    def tally(self) -> Tally:
        """What the searches of all wishes have met."""
        whole = Tally()
        for one in self.sought:
            whole.merge(one.tally)
        return whole

    def __iter__(self) -> Iterator[tuple[Wish, NewGrid]]:
        deadline = self.began + self.budget
        with self.pool(self.workers) as pool:
            while open_ := [one for one in self.sought if not one.met]:
                self._fill(pool, open_, deadline)
                heads = [one.waiting[0][1] for one in open_ if one.waiting]
                left = deadline - time.monotonic()
                if left <= 0 or not wait(heads, left, FIRST_COMPLETED).done:
                    raise Unfinished(self._unmet())
                for one in open_:
                    while one.waiting and one.waiting[0][1].done() and not one.met:
                        for grid in self._take(one):
                            yield one.wish, grid
                self.state.write()
                if self.report:
                    self.report(self)

    def _fill(self, pool: Executor, open_: list[_Sought], deadline: float) -> None:
        """Give work to all: always the wish that has the least of it in hand."""
        for _ in range(AHEAD * self.workers - sum(len(one.waiting) for one in self.sought)):
            one = min(open_, key=lambda one: len(one.waiting))
            lot, wish = next(one.lots), one.wish
            with uninterrupted():
                until = by_the_wall(deadline)
                future = pool.submit(work_on, wish.request, wish.seed, lot, until)
            one.waiting.append((lot, future))

    def _take(self, one: _Sought) -> Iterator[NewGrid]:
        """What came of the next lot of a wish."""
        lot, future = one.waiting.popleft()
        grids, tally, why = future.result()
        one.tally.merge(tally)
        for grid in grids:
            mark = fingerprint(grid.geometry, grid.clues, grid.parts)
            again = grid.attempt in one.progress.found
            taken = any(grid.attempt == other.attempt for other in one.grids)
            if one.met or taken or (mark in self._kin and not again):
                continue
            self._kin.add(mark)
            one.grids.append(grid)
            if not again:
                one.progress.found.append(grid.attempt)
            yield grid
        if not why and not one.met:
            one.progress.done = max(one.progress.done, lot.end - 1)
        if one.met:
            for _, late in one.waiting:
                late.cancel()
            one.waiting.clear()

    def _unmet(self) -> str:
        """What was not found, and what stood in its way, wish by wish."""
        unmet = [one for one in self.sought if not one.met]
        told = [
            f"{one.wish.name}: {len(one.grids)} of {one.wish.count} found; {one.tally.advice()}"
            for one in unmet
        ]
        return "the budget ran out; start it again to go on from here\n" + "\n".join(told)
