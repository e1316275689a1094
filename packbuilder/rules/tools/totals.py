"""Totals: what the sums of cages say together of the houses that they cover (innies and outies).

Every house with as many cells as there are digits makes the same sum. Take some such houses that
share no cell, and the cages that lie in them, mostly: what the cages leave uncovered (innies) less
what of them sticks out (outies) makes a known total.

This follows from the cages and the houses, so it forbids nothing new; but no single cage can see
it, and the search needs it to be quick, a person to get on, and the clauses to find a contradiction
that lies in the count alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations

from packbuilder.grid import SYMBOLS, Geometry, House, cell_name
from packbuilder.rules.contract import Deduction, Removes, Sight
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.deducing import all_but, beyond, conclusion
from packbuilder.rules.tools.masks import bit, digits_of, least, single, union_of
from packbuilder.rules.tools.sums import balance, fit, open_sets, whole

MOST_CELLS = 5
"""Innies and outies of one equation: with more it says too little to be worth a look."""

MOST_TOLD = 4
"""Innies and outies of an equation that a person would look at."""

MOST_REGIONS = 4
"""Blocks or regions that are taken together; rows and columns may be any number side by side."""

MOST_SETS = 4
"""Sets of digits that a sentence lists."""

FEW_CAGES = 3
"""Cages that a sentence lists; more are told as those inside the houses."""

Summed = tuple[tuple[int, ...], int]
"""A cage: its cells and its sum."""


@dataclass(frozen=True)
class Equation:
    """The cells of ``plus`` less those of ``minus`` make ``total``.

    ``houses`` are what is added up and ``cages`` what is taken off. ``differ`` says that the cells
    of ``plus`` cannot repeat a digit and that there is no cell in ``minus``.
    """

    plus: tuple[int, ...]
    minus: tuple[int, ...]
    total: int
    houses: tuple[House, ...]
    cages: tuple[Summed, ...]
    differ: bool

    @property
    def cells(self) -> tuple[int, ...]:
        """Innies, then outies."""
        return self.plus + self.minus


# Which equations there are.


def equations(cages: Sequence[Summed], geometry: Geometry) -> tuple[Equation, ...]:
    """What the cages say together, each thing once, that of few cells first."""
    found = sorted(_all_equations(cages, geometry), key=lambda e: (len(e.cells), len(e.houses)))
    known: set[tuple[frozenset[int], frozenset[int]]] = set()
    chosen: list[Equation] = []
    for equation in found:
        plus, minus = frozenset(equation.plus), frozenset(equation.minus)
        if (plus or minus or equation.total) and (plus, minus) not in known:
            known |= {(plus, minus), (minus, plus)}
            chosen.append(equation)
    return tuple(chosen)


def _all_equations(cages: Sequence[Summed], geometry: Geometry) -> Iterator[Equation]:
    """For each set of houses the shortest equation, and the one without outies if it is short."""
    covers = [sum(1 << cell for cell in cells) for cells, _ in cages]
    apart = [set(house.cells) for house in geometry.houses]
    for houses in _unions(geometry):
        area = sum(1 << cell for house in houses for cell in house.cells)
        inside = [k for k, cover in enumerate(covers) if not cover & ~area]
        crossing = [k for k, cover in enumerate(covers) if cover & area and cover & ~area]
        over = [
            k for k in crossing if (covers[k] & ~area).bit_count() < (covers[k] & area).bit_count()
        ]
        for chosen in {tuple(inside), tuple(sorted(inside + over))}:
            inner, outer = area, 0
            for k in chosen:
                inner &= ~covers[k]
                outer |= covers[k] & ~area
            if chosen and inner.bit_count() + outer.bit_count() <= MOST_CELLS:
                plus, minus = _cells(inner), _cells(outer)
                total = len(houses) * whole(geometry.size) - sum(cages[k][1] for k in chosen)
                if not plus or (total < 0 and minus):
                    plus, minus, total = minus, plus, -total
                differ = not minus and any(group.issuperset(plus) for group in apart)
                yield Equation(plus, minus, total, houses, tuple(cages[k] for k in chosen), differ)


def _unions(geometry: Geometry) -> Iterator[tuple[House, ...]]:
    """Houses that are taken together: lines side by side, regions that touch."""
    full = [house for house in geometry.houses if len(house.cells) == geometry.size]
    for kind in ("row", "column"):
        lines = [house for house in full if house.kind == kind]
        for first, last in combinations(range(len(lines) + 1), 2):
            yield tuple(lines[first:last])
    areas = [house for house in full if house.kind not in ("row", "column")]
    yield from ((house,) for house in areas)
    regions = [house for house in areas if house.kind in ("block", "region")]
    beside = _touching(regions, geometry.size)
    layer = {frozenset([k]) for k in range(len(regions))}
    for _ in range(min(MOST_REGIONS, len(regions) - 1) - 1):
        layer = {some | {k} for some in layer for r in some for k in beside[r] if k not in some}
        yield from (tuple(regions[k] for k in some) for some in sorted(map(sorted, layer)))


def _touching(regions: Sequence[House], size: int) -> list[set[int]]:
    """For each region those that share an edge with it."""
    of = {cell: k for k, region in enumerate(regions) for cell in region.cells}
    beside: list[set[int]] = [set() for _ in regions]
    for cell, k in of.items():
        right = [cell + 1] if cell % size < size - 1 else []
        for other in (*right, cell + size):
            if of.get(other, k) != k:
                beside[k].add(of[other])
                beside[of[other]].add(k)
    return beside


def _cells(area: int) -> tuple[int, ...]:
    return tuple(d - 1 for d in digits_of(area))


# What follows for candidates.


def left_by(equation: Equation, masks: Sequence[int], size: int) -> tuple[int, ...] | None:
    """What is left of the candidates of an equation's cells; None where it cannot hold."""
    plus = tuple([masks[cell] for cell in equation.plus])
    if equation.differ:
        found = fit(size, equation.total, plus)
        return found and found[0]
    return balance(size, equation.total, plus, tuple([masks[cell] for cell in equation.minus]))


def deductions(equations: Sequence[Equation], sight: Sight) -> Iterator[Deduction]:
    """Single innies and outies first, then what a few of them can be together."""
    told = [equation for equation in equations if 0 < len(equation.cells) <= MOST_TOLD]
    for equation in told:
        yield from _innie(equation, sight)
    for equation in told:
        yield from _innies(equation, sight)


def _innie(equation: Equation, sight: Sight) -> Iterator[Deduction]:
    """All innies and outies but one are known."""
    opened = [cell for cell in equation.cells if not single(sight.masks[cell])]
    if len(opened) != 1:
        return
    cell, rest = opened[0], equation.total
    for sign, cells in ((1, equation.plus), (-1, equation.minus)):
        rest -= sign * sum(least(sight.masks[c]) for c in cells if c != cell)
    digit = rest if cell in equation.plus else -rest
    tell = partial(_tell_innie, equation, cell, digit, sight)
    slug = "single-innie" if len(equation.houses) == 1 else "single-innie-wide"
    wanted = [(cell, all_but(digit, sight.size))]
    for made in conclusion(sight, slug, equation.cells, wanted, tell, (digit,)):
        yield made._replace(houses=equation.houses)


def _innies(equation: Equation, sight: Sight) -> Iterator[Deduction]:
    """What several can be together."""
    if sum(not single(sight.masks[cell]) for cell in equation.cells) < 2:
        return
    left = left_by(equation, sight.masks, sight.size)
    if left is not None:
        tell = partial(_tell_innies, equation, sight)
        slug = "innies-outies" if len(equation.houses) == 1 else "innies-outies-wide"
        wanted = beyond(equation.cells, left, sight)
        for made in conclusion(sight, slug, equation.cells, wanted, tell):
            yield made._replace(houses=equation.houses)


# Words.


def sum_of_houses(equation: Equation, size: int) -> int:
    """The sum that the houses of an equation make."""
    return len(equation.houses) * (size * (size + 1) // 2)


def sum_of_cages(equation: Equation) -> int:
    """The sum that its cages make."""
    return sum(total for _, total in equation.cages)


def houses_told(houses: Iterable[House]) -> str:
    """``row 1``, ``rows 1 to 3``, ``blocks 1, 2 and 5``."""
    labels = [house.label for house in houses]
    if len(labels) == 1:
        return labels[0]
    kinds = {label.partition(" ")[0] for label in labels}
    numbers = [label.partition(" ")[2] for label in labels]
    if len(kinds) > 1:
        return words.listed(labels)
    kind = f"{kinds.pop()}s"
    if kind != "blocks" and len(numbers) > 2 and all(number.isdigit() for number in numbers):
        return f"{kind} {numbers[0]} to {numbers[-1]}"
    return f"{kind} {words.listed(numbers)}"


def _opening(equation: Equation, size: int) -> str:
    """The sum that the houses make, and the one that the cages make."""
    inside = {cell for house in equation.houses for cell in house.cells}
    over = [cage for cage in equation.cages if not inside.issuperset(cage[0])]
    made = sum_of_houses(equation, size)
    start = f"The digits of {houses_told(equation.houses)} add up to {made}, and"
    if len(equation.cages) == 1:
        return f"{start} {_cage(equation.cages[0], size)} makes {sum_of_cages(equation)}"
    if len(equation.cages) <= FEW_CAGES:
        told = words.listed(_cage(cage, size) for cage in equation.cages)
        return f"{start} {told} together make {sum_of_cages(equation)}"
    those = "the cages inside"
    if over:
        those = f"{those}, with {words.listed(_cage(cage, size) for cage in over)},"
    return f"{start} {those} make {sum_of_cages(equation)}"


def _cage(cage: Summed, size: int) -> str:
    return f"cage {cage[1]} at {cell_name(cage[0][0], size)}"


def _relation(equation: Equation, size: int) -> str:
    """What innies and outies make: ``r1c9 is 7``, ``r1c9 is 2 more than r2c1``."""
    plus, minus, total = equation.plus, equation.minus, equation.total
    these, those = words.cells(plus, size), words.cells(minus, size)
    if not minus:
        return f"{these} is {total}" if len(plus) == 1 else f"{these} add up to {total}"
    others = those if len(minus) == 1 else f"{those} together"
    one = "is" if len(plus) == 1 else "together are"
    if not total:
        return f"{these} {one} as much as {others}"
    return f"{these} {one} {total} more than {others}"


def _tell_innie(equation: Equation, cell: int, digit: int, sight: Sight, _: Removes) -> str:
    size, it = sight.size, cell_name(cell, sight.size)
    known = [c for c in equation.cells if c != cell]
    if not known:
        inside = any(cell in house.cells for house in equation.houses)
        over = f" and leave out {it}" if inside else f", with {it} sticking out"
        return f"{_opening(equation, size)}{over}, so {it} is {SYMBOLS[digit]}."
    opening = f"{_opening(equation, size)}, so {_relation(equation, size)}."
    told = words.listed(f"{cell_name(c, size)} is {SYMBOLS[least(sight.masks[c])]}" for c in known)
    return f"{opening} As {told}, {it} is {SYMBOLS[digit]}."


def _tell_innies(equation: Equation, sight: Sight, removes: Removes) -> str:
    size = sight.size
    start = f"{_opening(equation, size)}, so {_relation(equation, size)}."
    if equation.differ:
        masks = tuple(sight.masks[cell] for cell in equation.plus)
        left = open_sets(size, equation.total, masks)
        union = union_of(left)
        if len(left) <= MOST_SETS and not any(union & bit(d) for _, d in removes):
            return f"{start} They can only be {words.sets(left)}. {words.takes_out(removes, size)}"
    return f"{start} {words.ways_to_that(removes, sight.masks, size)}"
