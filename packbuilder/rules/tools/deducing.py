"""What the deductions of rules share: what a cell may lose, how far sums reach, how it is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.rules.contract import Deduction, Removes, Sight
from packbuilder.rules.tools.masks import digits_of, everything, least, most, up_to


def conclusion(
    sight: Sight,
    technique: str,
    cells: tuple[int, ...],
    wanted: Iterable[tuple[int, int]],
    tell: Callable[[Removes], str],
    digits: tuple[int, ...] | None = None,
) -> Iterator[Deduction]:
    """That cells lose masks of candidates, if any has one of them; else nothing.

    ``digits`` are what it rests on; where none are given, those that go.
    """
    if removes := removals(sight.masks, wanted):
        gone = tuple(sorted({d for _, d in removes})) if digits is None else digits
        yield Deduction(technique, cells, gone, removes, partial(tell, removes))


def removals(masks: Sequence[int], wanted: Iterable[tuple[int, int]]) -> Removes:
    """The (cell, digit) candidates that are there, of cells with the masks that they are to lose.

    A cell never loses its last candidate: that happens only where there is no solution, and a
    digit that stands in the grid is not a candidate to strike.
    """
    found: list[tuple[int, int]] = []
    for cell, out in wanted:
        lost = masks[cell] & out
        if lost and lost != masks[cell]:
            found += ((cell, d) for d in digits_of(lost))
    return tuple(found)


def losing(removes: Removes) -> tuple[int, ...]:
    """The cells that lose something, in order."""
    return tuple(dict.fromkeys(cell for cell, _ in removes))


def all_but(digit: int, size: int) -> int:
    """The mask of all digits but one; of none, where that is no digit of the grid."""
    return everything(size) & ~(1 << digit - 1) if 1 <= digit <= size else 0


def beyond(cells: Sequence[int], kept: Sequence[int], sight: Sight) -> list[tuple[int, int]]:
    """What cells lose of which masks are kept."""
    return [(cell, sight.masks[cell] & ~mask) for cell, mask in zip(cells, kept, strict=True)]


def held(cells: Iterable[int], d: int, sight: Sight) -> tuple[list[int], list[tuple[int, int]]]:
    """The places of a digit that is among some cells, and what it takes: cells with masks.

    All other digits out of a single place; else the digit out of the cells that see all places.
    """
    places = [cell for cell in cells if sight.masks[cell] >> d - 1 & 1]
    if len(places) == 1:
        return places, [(places[0], all_but(d, sight.size))]
    seen = frozenset.intersection(*(sight.geometry.peers[cell] for cell in places))
    return places, [(cell, 1 << d - 1) for cell in sorted(seen)]


def sum_range(groups: Iterable[Sequence[int]], sight: Sight) -> tuple[int, int]:
    """What cells add up to at least and at most, in groups that may not repeat a digit."""
    low = high = 0
    for cells in groups:
        floor, ceiling = 0, sight.size + 1
        for d in sorted(least(sight.masks[cell]) for cell in cells):
            floor = max(d, floor + 1)
            low += floor
        for d in sorted((most(sight.masks[cell]) for cell in cells), reverse=True):
            ceiling = min(d, ceiling - 1)
            high += ceiling
    return low, high


class Rest(NamedTuple):
    """Cells of a sum for which the others make the same at least or at most, and so bound them.

    ``side`` is that of the ``bound``: where the others make at least so much, a cell is at most
    what is left.
    """

    side: str
    others: int
    bound: int
    cells: tuple[int, ...]

    @property
    def turned(self) -> str:
        """The other side: what the others make is ``least`` where the bound is ``most``."""
        return "least" if self.side == "most" else "most"

    def wanted(self, size: int) -> list[tuple[int, int]]:
        """What the cells are to lose."""
        within = up_to(self.bound)
        out = everything(size) & ~within if self.side == "most" else up_to(self.bound - 1)
        return [(cell, out) for cell in self.cells]


def rests(cells: Sequence[int], low: int, high: int, sight: Sight) -> Iterator[Rest]:
    """The bounds of cells that add up to ``low`` at least and ``high`` at most, where any are."""
    groups = [group for group, _ in differing(cells, sight.geometry)]
    ranges = {c: sum_range([[o for o in g if o != c] for g in groups], sight) for c in cells}
    for side in ("most", "least"):
        alike: dict[tuple[int, int], list[int]] = {}
        for cell, (small, large) in ranges.items():
            key = (small, high - small) if side == "most" else (large, low - large)
            alike.setdefault(key, []).append(cell)
        for (others, bound), found in alike.items():
            if 1 <= bound <= sight.size:
                yield Rest(side, others, bound, tuple(found))


def bounded(side: str, digit: int, size: int) -> str:
    """``at most 6`` (``side`` is most or least); where that leaves one digit, the digit."""
    alone = digit == (1 if side == "most" else size)
    return SYMBOLS[digit] if alone else f"at {side} {SYMBOLS[digit]}"


def shared_house(a: int, b: int, geometry: Geometry) -> str | None:
    """The name of a house that two cells share, or None."""
    both = [h for h in geometry.houses_of[a] if h in geometry.houses_of[b]]
    return geometry.houses[both[0]].label if both else None


def differing(cells: Sequence[int], geometry: Geometry) -> list[tuple[tuple[int, ...], str]]:
    """The cells in groups that may not repeat a digit, each with the house that says so.

    The largest group comes first; cells of a later one are in none before. A cell alone has "".
    """
    left = list(cells)
    found: list[tuple[tuple[int, ...], str]] = []
    while left:
        members: dict[int, list[int]] = {}
        for cell in left:
            for h in geometry.houses_of[cell]:
                members.setdefault(h, []).append(cell)
        house = max(members, key=lambda h: len(members[h]))
        group = tuple(members[house])
        found.append((group, geometry.houses[house].label if len(group) > 1 else ""))
        left = [cell for cell in left if cell not in group]
    return found
