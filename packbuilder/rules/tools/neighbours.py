"""Pairs of neighbours that may not hold certain pairs of digits: the rules that say "never".

Non-consecutive cells, and cells without a dot or a letter between them where all are shown, differ
only in which digits clash and in their words.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, partial
from typing import ClassVar

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.rules.contract import Deduction, Part, Removes, Section, Sight
from packbuilder.rules.shapes import Shape
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.clashing_planes import FEW, ClashingPlanes
from packbuilder.rules.tools.deducing import conclusion, losing, removals
from packbuilder.rules.tools.edge_links import Fit
from packbuilder.rules.tools.flat_forms import FlatForm, Pairs
from packbuilder.rules.tools.line_orders import MOST_CELLS, Line, lines
from packbuilder.rules.tools.masks import digits_of, everything, partners, single


@cache
def clashing(size: int, clash: Fit) -> tuple[int, ...]:
    """For each digit (index 0 unused) the mask of those that clash with it."""
    return partners(size, clash)


def _fits(clash: Fit, a: int, b: int) -> bool:
    return not clash(a, b)


@dataclass(frozen=True)
class ForbiddenPairs(Part):
    """Neighbours whose digits may not clash; ``pairs`` are the edges, each in reading order."""

    cells: tuple[int, ...]
    pairs: tuple[tuple[int, int], ...]

    techniques: ClassVar[tuple[str, str, str, str]]
    """Slugs: what a digit rules out beside it, what either of two does, what a place needs, what
    the orders of a line leave."""

    @staticmethod
    @abstractmethod
    def clash(a: int, b: int) -> bool:
        """Whether two digits may not stand side by side. Symmetric."""

    @abstractmethod
    def why(self, of: int, beside: Sequence[int], size: int) -> str:
        """The reason, as a clause behind "r1c1 is 5, and": for example that no dot joins them."""

    why_here: ClassVar[str]
    """The reason, where no cells are named: ``no dot joins cells there``."""
    why_everywhere: ClassVar[str]
    """What is so in the whole grid: ``all dots are shown``."""

    @cached_property
    def beside(self) -> dict[int, tuple[int, ...]]:
        """For each cell the cells that it may not clash with, in reading order."""
        found: dict[int, list[int]] = {cell: [] for cell in self.cells}
        for a, b in self.pairs:
            found[a].append(b)
            found[b].append(a)
        return {cell: tuple(sorted(near)) for cell, near in found.items()}

    def prune(self, masks: list[int], size: int) -> bool:
        """Digits that clash with all of a neighbour's, and those that leave a digit no place."""
        if size not in self._planes:
            self._planes[size] = ClashingPlanes(size, self.pairs, self.clash)
        return self._planes[size].prune(masks)

    @cached_property
    def _planes(self) -> dict[int, ClashingPlanes]:
        """What prunes, by the size of the grid, which the part does not know."""
        return {}

    def sections(self, size: int) -> tuple[Section, ...]:
        """Its rows and columns, where they are short enough to go through all their orders."""
        if size > MOST_CELLS:
            return (self,)
        if size not in self._lines:
            self._lines[size] = lines(size, self.pairs, self.clash, self.why_everywhere)
        return self._lines[size]

    @cached_property
    def _lines(self) -> dict[int, tuple[Line, ...]]:
        """The rows and columns, by the size of the grid."""
        return {}

    def flat_forms(self, size: int) -> tuple[FlatForm, ...]:
        """Every pair of neighbours."""
        return (Pairs(self.pairs, partial(_fits, self.clash)),)

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn: such a rule is told in words."""
        return ()

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """From a digit, from a cell of two or three digits, from the places of a digit, from all
        orders of a line."""
        yield from self._from_cells(sight, 1, 1, self.techniques[0])
        yield from self._from_cells(sight, 2, 3, self.techniques[1])
        yield from self._from_places(sight)
        yield from self._from_orders(sight)

    def _from_cells(
        self, sight: Sight, fewest: int, most: int, technique: str
    ) -> Iterator[Deduction]:
        """Whichever digit a cell holds, its neighbours are not these."""
        masks, table = sight.masks, clashing(sight.size, self.clash)
        for cell, near in self.beside.items():
            if not fewest <= masks[cell].bit_count() <= most:
                continue
            digits = digits_of(masks[cell])
            lost = everything(sight.size)
            for d in digits:
                # Neighbours share a line, so a digit rules out its own kind as well.
                lost &= table[d] | (1 << d - 1 if len(digits) > 1 else 0)
            removes = removals(masks, [(n, lost) for n in near])
            if removes:
                tell = partial(self._tell_beside, cell, digits, removes, sight.size)
                yield Deduction(technique, (cell, *losing(removes)), digits, removes, tell)

    def _tell_beside(self, cell: int, digits: tuple[int, ...], removes: Removes, size: int) -> str:
        here = f"{cell_name(cell, size)} is {words.digits(digits, 'or')}"
        lost = words.digits(sorted({d for _, d in removes}))
        either = f" Whichever it is, it rules out {lost} there." if len(digits) > 1 else ""
        why = self.why(cell, losing(removes), size)
        return f"{here}, and {why}.{either} {words.takes_out(removes, size)}"

    def _from_places(self, sight: Sight) -> Iterator[Deduction]:
        """A digit that would leave another no place in a house."""
        geometry, masks, size = sight.geometry, sight.masks, sight.size
        table = clashing(size, self.clash)
        for house in geometry.houses:
            if len(house.cells) != size:
                continue
            for d in range(1, size + 1):
                places = tuple(cell for cell in house.cells if masks[cell] >> d - 1 & 1)
                if 2 <= len(places) <= FEW and not any(single(masks[p]) for p in places):
                    lost = table[d] & ~(1 << d - 1)
                    wanted = [(cell, lost) for cell in self._touching(places)]
                    tell = partial(self._tell_places, house.label, d, places, size)
                    slug = self.techniques[2]
                    yield from conclusion(sight, slug, places, wanted, tell, (d,))

    def _from_orders(self, sight: Sight) -> Iterator[Deduction]:
        """A digit that no order of a row or column puts into a cell."""
        size = sight.size
        for line in self.sections(size):
            masks = list(sight.masks)
            if isinstance(line, Line) and line.prune(masks, size):
                opened = tuple(c for c in line.cells if not single(sight.masks[c]))
                wanted = [(c, sight.masks[c] & ~masks[c]) for c in opened]
                tell = partial(line.tell, sight)
                yield from conclusion(sight, self.techniques[3], opened, wanted, tell)

    def _touching(self, places: Sequence[int]) -> list[int]:
        """The cells that are or touch every one of some places, across edges of this part."""
        near = [{place, *self.beside.get(place, ())} for place in places]
        return sorted(set.intersection(*near))

    def _tell_places(
        self, house: str, d: int, places: tuple[int, ...], size: int, removes: Removes
    ) -> str:
        return (
            f"In {house}, the {SYMBOLS[d]} is in {words.cells(places, size, 'or')}. As "
            f"{self.why_here}, it would have no place with {words.in_cells(removes, size)}. "
            f"{words.takes_out(removes, size)}"
        )
