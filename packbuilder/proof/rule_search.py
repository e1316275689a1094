"""The search for grids with rules: candidate masks, driven by houses and by what parts strike.

It proves what the kernel cannot know of, and shares no code with `sat` and `encoding`. A position
is a list of masks, one a cell: bit ``d - 1`` is set while the cell may hold digit ``d``. Houses
strike naked and hidden singles and locked candidates, parts strike what they can, each again when
one of its cells has changed, until nothing moves. Then the search branches: on a cell with few
candidates among constraints that failed often (Boussemart and others, 2004), first with a digit and
then without it. What is found is confirmed by `Part.holds` and `Geometry.holds`, which know nothing
of masks.

Houses, and parts that can be said as pairs and sums (`Part.flat_forms`), strike in compiled code
(`strikes`); where all parts can, the whole search runs there. Other parts are asked to `prune`.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence

import numpy as np

from packbuilder.grid import Geometry, Values
from packbuilder.proof import flat_rules
from packbuilder.proof.flat_rules import Flat
from packbuilder.proof.verdict import Verdict
from packbuilder.rules.contract import Part

NODE_LIMIT = 100_000
"""Branches before a proof gives up: some minutes at worst. Puzzles for people need under 1,000."""

_CLOCK = 64
"""Branches between two looks at the clock."""


def prove(
    geometry: Geometry,
    clues: Sequence[int],
    parts: Sequence[Part],
    *,
    node_limit: int = NODE_LIMIT,
    time_limit: float | None = None,
) -> Verdict:
    """Whether the grid has no solution, one, or two and more, with the first two as witnesses.

    The houses that ``parts`` bring are in ``geometry`` already. Undecided after ``node_limit``
    branches or ``time_limit`` seconds. Raises ValueError for clues that do not fit the geometry.
    """
    found, complete, nodes = _Search(geometry, parts).run(clues, 2, node_limit, time_limit)
    return Verdict(
        len(found) if complete or len(found) == 2 else None,
        found[0] if found else None,
        found[1] if len(found) > 1 else None,
        nodes,
    )


def explore(
    geometry: Geometry,
    clues: Sequence[int],
    parts: Sequence[Part],
    *,
    limit: int,
    node_limit: int = NODE_LIMIT,
    time_limit: float | None = None,
) -> tuple[list[Values], bool]:
    """Up to ``limit`` solutions, and whether they are all that there are."""
    found, complete, _ = _Search(geometry, parts).run(clues, limit, node_limit, time_limit)
    return found, complete


class _Search:
    """One search: ``parts`` are those that are asked to `prune`."""

    def __init__(self, geometry: Geometry, parts: Sequence[Part]) -> None:
        self.geometry = geometry
        self.size = geometry.size
        self.all_parts = tuple(parts)
        self.flat = Flat(geometry, parts)
        self.parts = self.flat.others
        self.parts_of = [0] * geometry.cell_count
        for p, part in enumerate(self.parts):
            for cell in part.cells or range(geometry.cell_count):
                self.parts_of[cell] |= 1 << p
        self.weights = [1.0] * geometry.cell_count
        self.possible = all(len(h.cells) <= geometry.size for h in geometry.houses)

    def run(
        self, clues: Sequence[int], limit: int, node_limit: int, time_limit: float | None
    ) -> tuple[list[Values], bool, int]:
        """Solutions, whether they are all, and how often the search branched."""
        if len(clues) != self.geometry.cell_count or not all(0 <= d <= self.size for d in clues):
            raise ValueError(f"the clues do not fit a {self.geometry.name()}")
        deadline = None if time_limit is None else time.monotonic() + time_limit
        masks = [1 << d - 1 if d else (1 << self.size) - 1 for d in clues]
        if not self.possible or not self.settle([0] * len(masks), masks, self.parts):
            return [], True, 0
        full_grids = (self.branching if self.parts else self.compiled)(masks, node_limit, deadline)
        found: list[Values] = []
        nodes = 0
        for values, nodes in full_grids:
            if values is None:
                return found, False, nodes
            if values and self.confirmed(values):
                found.append(values)
                if len(found) == limit:
                    return found, False, nodes
        return found, True, nodes

    def compiled(
        self, masks: list[int], node_limit: int, deadline: float | None
    ) -> Iterator[tuple[Values | None, int]]:
        """Every full grid with the branches so far; an empty one at the end, None where a limit
        ran out."""
        cells = len(masks)
        stack = np.empty((cells * self.size + 2, cells), np.int64)
        stack[0] = masks
        state = np.array([1, 0], np.int64)
        weights = np.diff(self.flat.houses.of_starts).astype(np.float64)
        while True:
            budget = min(_CLOCK, node_limit - int(state[1]))
            came = flat_rules.search(state, stack, weights, budget, *self.flat.laid)
            nodes = int(state[1])
            if came == flat_rules.FOUND:
                yield tuple(int(mask).bit_length() for mask in stack[state[0]]), nodes
            elif came == flat_rules.FINISHED:
                yield (), nodes
                return
            elif nodes >= node_limit or (deadline is not None and time.monotonic() >= deadline):
                yield None, nodes
                return

    def branching(
        self, masks: list[int], node_limit: int, deadline: float | None
    ) -> Iterator[tuple[Values | None, int]]:
        """The same, where some parts are asked to prune."""
        nodes = 0
        trail = [masks]
        while trail:
            masks = trail.pop()
            cell = self.choose(masks)
            if cell < 0:
                yield tuple(m.bit_length() for m in masks), nodes
                continue
            late = nodes % _CLOCK == 0 and deadline is not None and time.monotonic() >= deadline
            if nodes >= node_limit or late:
                yield None, nodes
                return
            nodes += 1
            digit = masks[cell] & -masks[cell]
            for mask in (masks[cell] ^ digit, digit):  # without it last: the digit is tried first
                branch = masks.copy()
                branch[cell] = mask
                if self.settle(masks, branch):
                    trail.append(branch)
        yield (), nodes

    def choose(self, masks: list[int]) -> int:
        """The cell to branch on, or -1 where all cells have one candidate."""
        best, least = -1, 0.0
        for cell, mask in enumerate(masks):
            if mask & (mask - 1):
                worth = mask.bit_count() / self.weights[cell]
                if best < 0 or worth < least:
                    best, least = cell, worth
        return best

    def confirmed(self, values: Values) -> bool:
        """Whether a full grid is a solution by the plain rules."""
        return self.geometry.holds(values) and all(
            part.holds(values, self.size) for part in self.all_parts
        )

    def settle(self, before: list[int], masks: list[int], parts: Sequence[Part] = ()) -> bool:
        """Strike until nothing moves; False where the position has no solution.

        ``before`` is a position in which nothing moved; ``parts`` are to be looked at even where
        none of their cells has changed. Houses come first: they are cheap, and leave less to parts.
        """
        todo = (1 << len(parts)) - 1
        while True:
            failed = self.flat.settle(before, masks)
            if failed >= 0:
                return self.blame(self.flat.cells_of(failed))
            for cell, mask in enumerate(masks):
                if mask != before[cell]:
                    todo |= self.parts_of[cell]
            before = masks.copy()
            while todo:
                part = self.parts[(todo & -todo).bit_length() - 1]
                todo &= todo - 1
                if not part.prune(masks, self.size) or 0 in masks:
                    return self.blame(part.cells)
            if masks == before:
                return True

    def blame(self, cells: Sequence[int]) -> bool:
        """Remember where a contradiction showed."""
        for cell in cells:
            self.weights[cell] += 1
        return False
