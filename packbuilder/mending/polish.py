"""Polish: clues that can go while all else that is promised holds, or the least change to it.

Changes are tried the smaller before the larger: clues more or less, another digit; then a clue
elsewhere, or two more or less; and then other digits in the same cells, as near as can be found.
All keep the symmetry that is promised; where the number of clues is promised, it may change as
clues go, for that is what was asked for.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, product

from packbuilder import gate, symmetry
from packbuilder.errors import InputError, Unfinished
from packbuilder.gate.report import Finding
from packbuilder.grid import Values
from packbuilder.mending.change import Change, changed
from packbuilder.mending.counting import Counter
from packbuilder.proof.certify import certify
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.setting.request import Request
from packbuilder.setting.sieve import asked_of

Orbit = tuple[int, ...]

ENOUGH = 3
"""Changes of one size that will do; then no more are looked for."""

STROLL, STROLLS = 400, 400
"""Changes of digits in one walk from the clues as they are, and walks at the most."""


@dataclass(frozen=True)
class Polished:
    """What was found of a puzzle with one solution.

    ``broken``: the promises that it does not keep. If it keeps all, ``lighter`` is first what is
    left when one clue after the other has gone, then without any one of those that can go (those of
    an orbit together). Else ``least`` are the least changes after which it keeps them. ``whole`` is
    False where the time ran out first.
    """

    broken: tuple[Finding, ...]
    lighter: tuple[Change, ...] = ()
    least: tuple[Change, ...] = ()
    whole: bool = True


def polished(puzzle: Puzzle, pack: Pack, *, budget: float = 60.0) -> Polished:
    """Polish a puzzle. Raises InputError where it has not one solution: that is for `mend`."""
    deadline = time.monotonic() + budget
    proof = certify(puzzle.geometry, puzzle.clues, puzzle.rules, time_limit=budget)
    if not proof.unique or proof.verdict.first is None:
        raise InputError(
            f"{puzzle.id} has not exactly one solution; `packbuilder mend` says what would mend it"
        )
    desk = _Desk(puzzle, pack, proof.verdict.first, Counter(puzzle, deadline))
    broken = tuple(gate.broken_promises(puzzle, pack))
    return desk.reach(broken) if broken else desk.lighten()


@dataclass(frozen=True)
class _Desk:
    puzzle: Puzzle
    pack: Pack
    solution: Values
    counter: Counter

    def change(self, clues: Values) -> Change:
        return Change(self.puzzle, self.pack, clues)

    def orbits(self, given: bool) -> list[Orbit]:
        """Cells that go together: those with a clue, or those without."""
        found = symmetry.orbits(self.puzzle.promise.symmetry or "none", self.puzzle.size)
        return [one for one in found if bool(self.puzzle.clues[one[0]]) == given]

    def without(self, clues: Values, *orbits: Orbit) -> Values:
        return changed(clues, [(cell, 0) for orbit in orbits for cell in orbit])

    def with_more(self, clues: Values, *orbits: Orbit) -> Values:
        return changed(clues, [(c, self.solution[c]) for orbit in orbits for c in orbit])

    # --- what can go --------------------------------------------------------------------------

    def lighten(self) -> Polished:
        spare: list[Change] = []
        clues, whole = self.puzzle.clues, True
        try:
            singly = [self.without(clues, orbit) for orbit in self.orbits(True)]
            spare = [self.change(one) for one in self.counter.unique(singly) if self._kept(one)]
            for one in spare:
                fewer = self.without(clues, one.cells)
                if self.counter.unique([fewer]) and self._kept(fewer):
                    clues = fewer
        except Unfinished:
            whole = False
        lighter = [self.change(clues), *spare] if len(spare) > 1 else spare
        return Polished((), tuple(lighter), whole=whole)

    def _kept(self, clues: Values) -> bool:
        """Whether all promises but that of the number of clues are kept."""
        self.counter.look()
        return self.change(clues).codes <= {"wrong-clue-count"}

    # --- what is promised, and not yet so -----------------------------------------------------

    def reach(self, broken: tuple[Finding, ...]) -> Polished:
        found: list[Change] = []
        whole = True
        try:
            for trials in self._sizes():
                for clues in self._unique(trials):
                    self.counter.look()
                    change = self.change(clues)
                    if not change.broken and self._proved(clues):
                        found.append(change)
                    if len(found) == ENOUGH:
                        break
                if found:
                    break
            else:
                found = self._strolls()
        except Unfinished:
            whole = False
        return Polished(broken, least=tuple(found), whole=whole)

    def _unique(self, trials: Iterable[Values]) -> Iterator[Values]:
        trials = list(dict.fromkeys(trials))
        for k in range(0, len(trials), 50):
            yield from self.counter.unique(trials[k : k + 50])

    def _proved(self, clues: Values) -> bool:
        return certify(self.puzzle.geometry, clues, self.puzzle.rules).unique

    def _sizes(self) -> Iterator[Iterable[Values]]:
        """Other clues, by how much changes; of one size in no order of the grid."""
        draw = random.Random(0).random  # the same on every run
        clues, fixed = self.puzzle.clues, self.puzzle.promise.clues is not None
        given, open_ = self.orbits(True), self.orbits(False)
        singly = [self.without(clues, one) for one in given]
        singly += [self.with_more(clues, one) for one in open_]
        misread = (
            changed(clues, [(cell, digit)])
            for cell, old in enumerate(clues)
            for digit in range(1, self.puzzle.size + 1)
            if old and digit != old
        )
        yield [*([] if fixed else singly), *misread]
        twice = [self.with_more(self.without(clues, a), b) for a, b in product(given, open_)]
        if not fixed:
            twice += [self.without(clues, a, b) for a, b in combinations(given, 2)]
            twice += [self.with_more(clues, a, b) for a, b in combinations(open_, 2)]
        yield sorted(twice, key=lambda _: draw())

    def _strolls(self) -> list[Change]:
        """Other digits in the same cells: walks from the clues as they are, the nearest first."""
        if not self.counter.plain:
            return []
        from packbuilder.proof.picture_kernel import Walk

        puzzle, count = self.puzzle, sum(map(bool, self.puzzle.clues))
        promise = puzzle.promise
        needs = tuple(dict.fromkeys((*self.pack.needs, *promise.needs, *promise.only)))
        asked = asked_of(Request(puzzle.geometry, (count, count), grade=promise.grade, needs=needs))
        cells = [cell for cell, digit in enumerate(puzzle.clues) if digit]
        found: list[Change] = []
        for seed in range(STROLLS):
            walk = Walk(puzzle.geometry, puzzle.clues, cells, (), seed)
            for clues in walk.go(asked, tries=STROLL, most=2):
                self.counter.look()
                change = self.change(clues)
                if not change.broken and self._proved(clues):
                    found.append(change)
            if len(found) >= ENOUGH:
                break
        return sorted(found, key=lambda change: len(change.cells))[:ENOUGH]
