"""Mending: which clues would make a faulty grid a puzzle, each answer proved by both engines.

A grid with several solutions is mended by one clue more, or by two where no single one will do. A
grid without a solution is perhaps mended by another digit for one of its clues: a slip of the pen.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, product
from types import TracebackType

import numpy as np

from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel, rule_search, sat
from packbuilder.rules.contract import Part
from packbuilder.symmetry import completions

Clue = tuple[int, int]
"""A cell and its digit."""

SAMPLE = 2_000
"""Solutions that the search for a mending clue looks at before it tries clues one by one."""

MEND_NODES = 20_000
"""Branches for each clue so tried; one that needs more is passed over. With rules, the conflicts
for all of them."""

RULE_SAMPLE = 200
"""Solutions of a grid with rules that are looked at for the same purpose."""

FIRST_CLUES = 12
"""Clues that are tried as the first of two where the solutions are too many to be listed."""

MOST_CORRECTIONS = 5
"""Clues for which another digit is given."""


class Mender:
    """Asks the engines about one grid and its variations; to be used as a context manager.

    ``parts`` are those of the grid's rules that are more than houses. The limits, and the
    ``symmetry``, are those of `certify`.
    """

    def __init__(
        self,
        geometry: Geometry,
        clues: Sequence[int],
        parts: Sequence[Part] = (),
        *,
        node_limit: int = kernel.NODE_LIMIT,
        time_limit: float | None = None,
        symmetry: str = "none",
    ) -> None:
        self.geometry, self.clues, self.parts = geometry, tuple(clues), tuple(parts)
        self.node_limit, self.time_limit = node_limit, time_limit
        self.symmetry = symmetry
        self._prover = sat.Prover(geometry, parts) if parts else None

    def __enter__(self) -> Mender:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._prover:
            self._prover.__exit__(kind, error, trace)

    def even(self) -> tuple[Clue, ...]:
        """One clue, or else two, that leave one solution and a picture with the symmetry; or none.

        Without a symmetry to keep there is nothing to prefer: none, too.
        """
        if self.symmetry == "none":
            return ()
        kept = completions(self.symmetry, self.clues, self.geometry.size)
        for count in (1, 2):
            if found := self._telling(self.clues, [one for one in kept if len(one) == count]):
                return found
        return ()

    def clue(self) -> Clue | None:
        """The first clue in reading order that leaves one solution of several.

        Such a digit stands in its cell in one solution only. Where all solutions can be listed that
        decides it; else every digit that a sample does not rule out is tried. None means that there
        is none, or none within the limits.
        """
        return self._clue(self.clues)

    def pair(self) -> tuple[Clue, Clue] | None:
        """Two clues that leave one solution, for a grid that no single one mends.

        Where all solutions can be listed, the first in reading order that only one of them has;
        else the clues that few solutions of a sample have are tried as the first.
        """
        solutions, complete = self._some(self.clues)
        often = Counter(
            clue for values in solutions for clue in enumerate(values) if not self.clues[clue[0]]
        )
        if complete:
            pairs = self._telling_pairs(solutions)
            return next((pair for pair in pairs if self._confirmed(self._with(*pair))), None)
        for one in sorted(often, key=lambda clue: (often[clue], clue))[:FIRST_CLUES]:
            other = self._clue(self._with(one))
            if other:
                first, second = sorted((one, other))
                return first, second
        return None

    def corrections(self, cells: Iterable[int]) -> tuple[Clue, ...]:
        """Digits that, in the place of the clue in one of these cells, leave one solution.

        One for a cell, the lowest; in reading order, and no more than a few.
        """
        others = (
            ((cell, digit),)
            for cell, digit in product(sorted(cells), range(1, self.geometry.size + 1))
            if self.clues[cell] and self.clues[cell] != digit
        )
        found: dict[int, int] = {}
        for ((cell, digit),) in self._unique(self.clues, others):
            if len(found) == MOST_CORRECTIONS:
                break
            if cell not in found and self._confirmed(self._with((cell, digit))):
                found[cell] = digit
        return tuple(found.items())

    def _clue(self, clues: Values) -> Clue | None:
        open_cells = [(cell,) for cell, clue in enumerate(clues) if not clue]
        return next(iter(self._telling(clues, open_cells)), None)

    def _telling(self, clues: Values, places: Iterable[tuple[int, ...]]) -> tuple[Clue, ...]:
        """The first clues, together in one of these places, that leave one solution."""
        solutions, complete = self._some(clues)
        able = []
        for cells in places:
            often = Counter(tuple(values[cell] for cell in cells) for values in solutions)
            for digits in product(range(1, self.geometry.size + 1), repeat=len(cells)):
                if often[digits] == 1 or (not complete and not often[digits]):
                    able.append(tuple(zip(cells, digits, strict=True)))
        trials = able if complete else self._unique(clues, able)
        return next((more for more in trials if self._confirmed(_laid(clues, more))), ())

    def _with(self, *more: Clue) -> Values:
        return _laid(self.clues, more)

    def _telling_pairs(self, solutions: Sequence[Values]) -> Iterator[tuple[Clue, Clue]]:
        """Two clues that only one of the solutions has, pair of cells by pair of cells."""
        open_cells = [cell for cell, clue in enumerate(self.clues) if not clue]
        for a, b in combinations(open_cells, 2):
            digits = Counter((values[a], values[b]) for values in solutions)
            for d, e in sorted(pair for pair, count in digits.items() if count == 1):
                yield (a, d), (b, e)

    # What the engines are asked.

    def _some(self, clues: Values) -> tuple[list[Values], bool]:
        """Some solutions, and whether they are all."""
        if self._prover:
            return self._prover.explore(clues, limit=RULE_SAMPLE, time_limit=self.time_limit)
        found, complete = kernel.explore(
            self.geometry, clues, limit=SAMPLE, node_limit=self.node_limit
        )
        return [tuple(row) for row in found.tolist()], complete

    def _unique(
        self, clues: Values, trials: Iterable[tuple[Clue, ...]]
    ) -> Iterator[tuple[Clue, ...]]:
        """Those clues with which one engine finds one solution."""
        if not self._prover:
            tried = list(trials)
            nodes = min(self.node_limit, MEND_NODES)
            grids = np.array([_laid(clues, more) for more in tried], np.uint8).reshape(
                -1, self.geometry.cell_count
            )
            counts, _ = kernel.prove_many(self.geometry, grids, node_limit=nodes)
            yield from (more for more, count in zip(tried, counts, strict=True) if count == 1)
            return
        for more in trials:
            if self._prover.conflicts() > MEND_NODES:
                return
            trial = _laid(clues, more)
            if self._prover.prove(trial, time_limit=self.time_limit).solutions == 1:
                yield more

    def _confirmed(self, clues: Values) -> bool:
        """Whether both engines find one solution."""
        geometry, nodes, limit = self.geometry, self.node_limit, self.time_limit
        if not self._prover:
            ours = kernel.prove(geometry, clues, node_limit=nodes)
            return ours.solutions == sat.prove(geometry, clues, time_limit=limit).solutions == 1
        if self._prover.prove(clues, time_limit=limit).solutions != 1:
            return False
        ours = rule_search.prove(geometry, clues, self.parts, node_limit=nodes, time_limit=limit)
        return ours.solutions == 1


def _laid(clues: Values, more: Iterable[Clue]) -> Values:
    laid = list(clues)
    for cell, digit in more:
        laid[cell] = digit
    return tuple(laid)
