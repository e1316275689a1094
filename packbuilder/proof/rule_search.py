"""The search for grids with rules: candidate masks, driven by houses and by each part's `prune`.

It proves what the kernel cannot know of, and shares no code with `sat` and `encoding`. A position
is a list of masks, one a cell: bit ``d - 1`` is set while the cell may hold digit ``d``. Houses
strike naked and hidden singles and locked candidates, parts strike what they can, each again when
one of its cells has changed, until nothing moves. Then the search branches: on a cell with few
candidates among constraints that failed often (Boussemart and others, 2004), first with a digit and
then without it. What is found is confirmed by `Part.holds` and `Geometry.holds`, which know nothing
of masks.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from packbuilder.grid import Geometry, Values
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


@dataclass(frozen=True)
class _Tables:
    """What the search looks up of a geometry. Sets of houses are ints, bit h for house h.

    ``houses`` holds cells and whether every digit must stand in them; ``of`` the houses of each
    cell; ``meets`` for each full house the others that it shares two cells and more with, each as
    (cells within, cells of the first outside, cells of the second outside).
    """

    houses: tuple[tuple[tuple[int, ...], bool], ...]
    of: tuple[int, ...]
    meets: tuple[tuple[tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]], ...], ...]


@lru_cache(maxsize=32)
def _tables(geometry: Geometry) -> _Tables:
    size = geometry.size
    houses = tuple((h.cells, len(h.cells) == size) for h in geometry.houses)
    of = tuple(sum(1 << h for h in hs) for hs in geometry.houses_of)
    meets = []
    for cells, full in houses:
        mine, found = set(cells), []
        for others, _ in houses if full else ():
            both = tuple(c for c in cells if c in others)
            if len(both) >= 2 and len(both) < len(others):
                outside = tuple(c for c in others if c not in mine)
                found.append((both, tuple(c for c in cells if c not in both), outside))
        meets.append(tuple(found))
    return _Tables(houses, of, tuple(meets))


class _Search:
    def __init__(self, geometry: Geometry, parts: Sequence[Part]) -> None:
        self.geometry = geometry
        self.size = geometry.size
        self.all = (1 << geometry.size) - 1
        self.tables = _tables(geometry)
        self.parts = tuple(parts)
        self.parts_of = [0] * geometry.cell_count
        for p, part in enumerate(parts):
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
        masks = [1 << d - 1 if d else self.all for d in clues]
        found: list[Values] = []
        nodes = 0
        every_house, every_part = (1 << len(self.tables.houses)) - 1, (1 << len(self.parts)) - 1
        if not self.possible or not self.settle(masks, every_house, every_part):
            return found, True, nodes
        trail = [masks]
        while trail:
            masks = trail.pop()
            cell = self.choose(masks)
            if cell < 0:
                values = tuple(m.bit_length() for m in masks)
                if self.confirmed(values):
                    found.append(values)
                    if len(found) == limit:
                        return found, False, nodes
                continue
            late = nodes % _CLOCK == 0 and deadline is not None and time.monotonic() >= deadline
            if nodes >= node_limit or late:
                return found, False, nodes
            nodes += 1
            digit = masks[cell] & -masks[cell]
            for mask in (masks[cell] ^ digit, digit):  # without it last: the digit is tried first
                branch = masks.copy()
                branch[cell] = mask
                if self.settle(branch, self.tables.of[cell], self.parts_of[cell]):
                    trail.append(branch)
        return found, True, nodes

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
        return self.geometry.holds(values) and all(p.holds(values, self.size) for p in self.parts)

    def settle(self, masks: list[int], houses: int, parts: int) -> bool:
        """Strike until nothing moves; False where the position has no solution.

        ``houses`` and ``parts`` are those that have something to look at. Houses come first: they
        are cheap, and leave less to the parts.
        """
        of, parts_of, size = self.tables.of, self.parts_of, self.size
        stale = houses
        while houses or stale or parts:
            before = masks.copy()
            if houses:
                h = (houses & -houses).bit_length() - 1
                houses &= houses - 1
                stale |= 1 << h
                sound = self.singles(masks, h)
                cells: Sequence[int] = self.tables.houses[h][0]
            elif stale:
                h = (stale & -stale).bit_length() - 1
                stale &= stale - 1
                sound = self.locked(masks, h)
                cells = self.tables.houses[h][0]
            else:
                p = (parts & -parts).bit_length() - 1
                parts &= parts - 1
                part = self.parts[p]
                sound = part.prune(masks, size)
                cells = part.cells
            if sound and masks == before:
                continue
            if not sound or 0 in masks:
                for cell in cells:
                    self.weights[cell] += 1
                return False
            for cell, mask in enumerate(masks):
                if mask != before[cell]:
                    houses |= of[cell]
                    parts |= parts_of[cell]
        return True

    def singles(self, masks: list[int], h: int) -> bool:
        """Strike the digits of filled cells, and fill cells that alone can hold a digit."""
        cells, full = self.tables.houses[h]
        once = twice = filled = 0
        for cell in cells:
            mask = masks[cell]
            twice |= once & mask
            once |= mask
            if not mask & (mask - 1):
                if filled & mask:
                    return False
                filled |= mask
        if full and once != self.all:
            return False
        alone = once & ~twice & ~filled if full else 0
        if alone or twice & filled:
            for cell in cells:
                mask = masks[cell]
                if mask & (mask - 1):
                    mask &= ~filled
                    if mask & alone:
                        mask &= alone
                        if mask & (mask - 1):
                            return False
                    masks[cell] = mask
        return True

    def locked(self, masks: list[int], h: int) -> bool:
        """Strike a digit from a second house where the first has it only in both."""
        for both, mine, others in self.tables.meets[h]:
            inside = outside = 0
            for cell in both:
                inside |= masks[cell]
            for cell in mine:
                outside |= masks[cell]
            if only := inside & ~outside:
                for cell in others:
                    masks[cell] &= ~only
        return True
