"""Glances: what a part of the rules closes with some placed digits, and no candidate written down.

A person sees that beside a dot, behind a bound on a thermometer, next to a known digit of a line.
So only deductions of the lowest rungs count, each by itself, and every empty cell may be anything.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.sparing import spared
from packbuilder.rules.contract import Deduction, Part, Sight
from packbuilder.rules.tools.masks import everything

HIGHEST = 3
"""The highest rung of which a person makes a deduction at a glance."""

Pair = tuple[int, int]
Cells = tuple[int, ...]

LONGEST = 4
"""The most cells of a chain of parts, of which one speaks for all, that a person takes in so."""

_TRIED = 3
"""Digits up to which every choice of them is tried; of more, one by one is left out."""


class Glances:
    """What the parts of a puzzle close in one position. ``rungs`` has each technique's rung."""

    def __init__(
        self, parts: Collection[Part], values: Values, geometry: Geometry, rungs: dict[str, int]
    ) -> None:
        self._values, self._geometry, self._rungs = values, geometry, rungs
        placed = frozenset(cell for cell, value in enumerate(values) if value)
        self._seen = [
            (part, made)
            for part in parts
            if part.at_a_glance
            for made in self._deductions(part, placed)
        ]
        self.closed = frozenset(pair for _, made in self._seen for pair in made.removes)
        """All that any part closes."""

    def closed_by(self, pairs: Collection[Pair]) -> Iterator[tuple[Part, frozenset[Pair]]]:
        """Each part that closes some of these (cell, digit) pairs, and which: thing by thing."""
        for part, made in self._seen:
            if some := frozenset(pairs).intersection(made.removes):
                yield part, some

    def needed(self, part: Part, pairs: Collection[Pair]) -> tuple[Cells, Cells]:
        """The fewest placed digits, by their cells, with which the part closes all these pairs.

        Then the cells about which it then says something.
        """
        wanted = frozenset(pairs)
        some = self._fewest(part, wanted)
        made = sorted(self._deductions(part, some), key=lambda one: len(one.cells))
        chosen = [next(one for one in made if pair in one.removes) for pair in sorted(wanted)]
        return some, tuple(dict.fromkeys(cell for one in chosen for cell in one.cells))

    def _fewest(self, part: Part, wanted: frozenset[Pair]) -> Cells:
        cells = {
            cell
            for speaks, made in self._seen
            if speaks is part and not wanted.isdisjoint(made.removes)
            for cell in made.cells
            if self._values[cell]
        }

        def closes(some: Collection[int]) -> bool:
            return wanted <= _struck(self._deductions(part, some))

        for count in range(min(_TRIED, len(cells)) + 1):
            for some in combinations(sorted(cells), count):
                if closes(some):
                    return some
        kept = sorted(cells)
        if not closes(kept):  # what it rests on is not all told: so everything that stands
            kept = [cell for cell, value in enumerate(self._values) if value]
        return tuple(sorted(spared(kept, closes)))

    def _deductions(self, part: Part, placed: Collection[int]) -> Iterator[Deduction]:
        size = self._geometry.size
        masks = [everything(size)] * len(self._values)
        for cell in placed:
            masks[cell] = 1 << self._values[cell] - 1
        for made in part.deduce(Sight(self._geometry, masks)):
            short = len(made.cells) <= LONGEST or set(made.cells) <= set(part.cells)
            if short and self._rungs[made.technique] <= HIGHEST:
                yield made


def _struck(deductions: Collection[Deduction] | Iterator[Deduction]) -> frozenset[Pair]:
    return frozenset(pair for made in deductions for pair in made.removes)
