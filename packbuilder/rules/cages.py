"""Cages: no digit repeats in a cage, and its digits add up to its sum.

A cage without a sum only repeats no digit. What the cages of a puzzle say together (innies and
outies) is in `tools/totals`.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache, partial
from typing import Any, ClassVar

from packbuilder.grid import SYMBOLS, Geometry, House, Values, cell_name
from packbuilder.rules.cases import Case, Cases, Choices, allowed, at, corner
from packbuilder.rules.contract import (
    Clauses,
    Deduction,
    Kind,
    Part,
    Row,
    RuleFault,
    Sight,
    Solved,
    Told,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Corner, Fence, Shape
from packbuilder.rules.tools.cage_reading import from_list, from_picture, with_sums
from packbuilder.rules.tools.cage_tiling import random_cages, some_of, written
from packbuilder.rules.tools.cage_words import (
    TECHNIQUES,
    tell_arranged,
    tell_held,
    tell_last,
    tell_unused,
)
from packbuilder.rules.tools.cells import pieces
from packbuilder.rules.tools.clue_words import clue, clues_of
from packbuilder.rules.tools.deducing import all_but, beyond, conclusion, held
from packbuilder.rules.tools.houses_only import HousesOnly
from packbuilder.rules.tools.masks import common_to, digits_of, everything, keep, single, union_of
from packbuilder.rules.tools.schema import CELLS, PICTURE, group, listing
from packbuilder.rules.tools.sums import fit, open_sets, sets
from packbuilder.rules.tools.totals import (
    Equation,
    deductions,
    equations,
    houses_told,
    left_by,
    sum_of_cages,
    sum_of_houses,
)

ENCODED = 2
"""Cells of the longest equation that becomes clauses."""


@dataclass(frozen=True)
class Cage(Part):
    """Cells in reading order. ``seen`` are the cells that see all of them, for `prune` only."""

    cells: tuple[int, ...]
    total: int
    seen: tuple[int, ...] = field(default=(), compare=False, repr=False)
    reckons = True
    renaming = "reversal"

    def name(self, size: int) -> str:
        """``cage 23 at r4c5``."""
        return f"cage {self.total} at {cell_name(self.cells[0], size)}"

    def holds(self, values: Values, size: int) -> bool:
        """No digit twice, and the sum."""
        digits = [values[cell] for cell in self.cells]
        return len(set(digits)) == len(digits) and sum(digits) == self.total

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The sum."""
        total = (size + 1) * len(self.cells) - self.total if turned else self.total
        return (Relation(f"sum {total}", self.cells),)

    def encode(self, clauses: Clauses) -> None:
        """A choice among the sets of digits that make the sum."""
        clauses.one_set(self.cells, _sets(len(self.cells), clauses.size, self.total))

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The cage."""
        return _house(self, geometry.size)

    def prune(self, masks: list[int], size: int) -> bool:
        """Digits of no set that is left; outside, the digits that all sets have."""
        found = fit(size, self.total, tuple([masks[cell] for cell in self.cells]))
        kept, common = found or (None, 0)
        if common:
            for cell in self.seen:
                masks[cell] &= ~common
        return keep(masks, self.cells, kept)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The last open cell; the sets of the sum; those the candidates leave; how they lie."""
        opened = tuple(cell for cell in self.cells if not single(sight.masks[cell]))
        if not opened:
            return
        filled = union_of(sight.masks[cell] for cell in self.cells if cell not in opened)
        if len(opened) == 1:
            yield from self._last(sight, opened[0], filled)
            return
        rest = self.total - sum(digits_of(filled))
        by_sum = [s for s in sets(sight.size, len(opened), rest) if not s & filled]
        masks = tuple(sight.masks[cell] for cell in opened)
        left = open_sets(sight.size, rest, masks)
        yield from self._unused(sight, opened, by_sum, "cage-combinations")
        yield from self._arranged(sight, opened, rest, pairs=True)
        yield from self._unused(sight, opened, left, "cage-leftover")
        yield from self._held(sight, opened, left)
        yield from self._arranged(sight, opened, rest, pairs=False)

    def shapes(self) -> tuple[Shape, ...]:
        """A dashed outline, and the sum in the corner of its first cell."""
        return (Fence(self.cells), Corner(self.cells[0], str(self.total)))

    def _last(self, sight: Sight, cell: int, filled: int) -> Iterator[Deduction]:
        """All digits but one are known."""
        digit = self.total - sum(digits_of(filled))
        tell = partial(tell_last, self, cell, digit, filled, sight.size)
        wanted = [(cell, all_but(digit, sight.size))]
        yield from conclusion(sight, "cage-total", self.cells, wanted, tell, (digit,))

    def _unused(
        self, sight: Sight, opened: tuple[int, ...], left: list[int], technique: str
    ) -> Iterator[Deduction]:
        """Digits that no set has."""
        union = union_of(left) if left else everything(sight.size)
        wanted = [(cell, everything(sight.size) & ~union) for cell in opened]
        tell = partial(tell_unused, self, opened, left, technique, sight.size)
        yield from conclusion(sight, technique, self.cells, wanted, tell)

    def _held(self, sight: Sight, opened: tuple[int, ...], left: list[int]) -> Iterator[Deduction]:
        """Digits that every set has: cells that see all their places in the cage lose them."""
        for d in digits_of(common_to(left)):
            places, wanted = held(opened, d, sight)
            tell = partial(tell_held, self, opened, left, d, places, sight.size)
            yield from conclusion(sight, "cage-must-hold", self.cells, wanted, tell, (d,))

    def _arranged(
        self, sight: Sight, opened: tuple[int, ...], rest: int, *, pairs: bool
    ) -> Iterator[Deduction]:
        """How the sets can lie in the cells; for two cells, digits without their partner."""
        masks = tuple(sight.masks[cell] for cell in opened)
        found = fit(sight.size, rest, masks)
        if pairs == (len(opened) == 2) and found is not None:
            wanted = beyond(opened, found[0], sight)
            slug = "cage-partners" if pairs else "cage-arrangements"
            tell = partial(tell_arranged, self, opened, rest, sight)
            yield from conclusion(sight, slug, self.cells, wanted, tell)


@dataclass(frozen=True)
class UnsummedCage(HousesOnly):
    """A cage without a sum. Its cells are in reading order."""

    cells: tuple[int, ...]

    def name(self, size: int) -> str:
        """``the cage without a sum at r4c5``."""
        return f"the cage without a sum at {cell_name(self.cells[0], size)}"

    def holds(self, values: Values, size: int) -> bool:
        """No digit twice."""
        return len({values[cell] for cell in self.cells}) == len(self.cells)

    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """The cage."""
        return (self.cells,)

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The cage."""
        return _house(self, geometry.size)

    def shapes(self) -> tuple[Shape, ...]:
        """A dashed outline."""
        return (Fence(self.cells),)


@dataclass(frozen=True)
class CageTotals(Part):
    """What all cages say together (see `tools/totals`): it follows from them, and has no shape."""

    cells: tuple[int, ...]
    equations: tuple[Equation, ...]
    reckons = True
    renaming = "any"
    at_a_glance = False

    def name(self, size: int) -> str:
        """All cages; those of which the sums alone cannot be, where there are."""
        for equation in self.equations:
            if not equation.cells:
                made, due = sum_of_cages(equation), sum_of_houses(equation, size)
                filled = houses_told(equation.houses)
                return f"the cages that fill {filled} (they make {made}, not {due})"
        return "the sums of all cages together"

    def holds(self, values: Values, size: int) -> bool:
        """Whether the digits outside of the cages are what the sums leave for them."""
        for equation in self.equations:
            inside = sum(values[cell] for house in equation.houses for cell in house.cells)
            in_cages = sum(values[cell] for cells, _ in equation.cages for cell in cells)
            if inside - in_cages != sum_of_houses(equation, size) - sum_of_cages(equation):
                return False
        return True

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """None: all follows from the cages."""
        return ()

    def encode(self, clauses: Clauses) -> None:
        """Automata for the equations of one and two cells: more would not pay.

        The cells and what they make are counted anew, house by house and cage by cage, so that a
        slip in `tools/totals` shows in the two proofs.
        """
        few = [e for e in self.equations if len(e.cells) <= ENCODED] or self.equations[:1]
        for equation in few:
            weights = Counter(cell for house in equation.houses for cell in house.cells)
            weights.subtract(cell for cells, _ in equation.cages for cell in cells)
            left = clauses.size * (clauses.size + 1) // 2 * len(equation.houses)
            left -= sum(total for _, total in equation.cages)
            signed = sorted((weight, cell) for cell, weight in weights.items() if weight)
            start = (left, tuple(weight for weight, _ in signed))
            if signed:
                clauses.automaton([cell for _, cell in signed], start, _take, _nothing_left)
            elif left:
                clauses.add()

    def prune(self, masks: list[int], size: int) -> bool:
        """Each equation once."""
        return all(keep(masks, e.cells, left_by(e, masks, size)) for e in self.equations)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """Innies and outies."""
        return deductions(self.equations, sight)

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn."""
        return ()


def _take(state: tuple[int, tuple[int, ...]], digit: int) -> tuple[int, tuple[int, ...]]:
    left, weights = state
    return left - weights[0] * digit, weights[1:]


def _nothing_left(state: tuple[int, tuple[int, ...]]) -> bool:
    return state[0] == 0


def _house(part: Part, size: int) -> tuple[House, ...]:
    if len(part.cells) < 2:
        return ()
    return (House("cage", f"the {part.name(size).removeprefix('the ')}", part.cells),)


@cache
def _sets(count: int, size: int, total: int, first: int = 1) -> tuple[frozenset[int], ...]:
    """Sets of ``count`` digits, none below ``first``, that add up to ``total``."""
    if not count:
        return () if total else (frozenset(),)
    return tuple(
        frozenset({d}) | others
        for d in range(first, min(size, total) + 1)
        for others in _sets(count - 1, size, total - d, d + 1)
    )


class Cages(Kind):
    """The rule."""

    slug = "cages"
    title = "Cages"
    about = "Digits in a cage add up to its sum, and none repeats in it."
    techniques: ClassVar[tuple[Row, ...]] = TECHNIQUES
    example = """\
id: cages
title: Cages
size: 6
grid: |
  ......
  ......
  ......
  ......
  ......
  ......
rules:
  - cages:
      picture: |
        aaabbc
        adeeec
        fdeggg
        ffhhii
        fjhkkk
        jjllll
      sums: {a: 15, b: 11, c: 3, d: 7, e: 14, f: 13, g: 8, h: 12, i: 8, j: 11, k: 10, l: 14}
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The cages in reading order of their first cells, and what they say together."""
        found = (
            from_picture(value, geometry.size)
            if isinstance(value, dict)
            else from_list(value, geometry.size)
        )
        parts = [_part(cells, total, geometry) for cells, total in sorted(found.items())]
        summed = [(part.cells, part.total) for part in parts if isinstance(part, Cage)]
        found_together = equations(summed, geometry)
        if not found_together:
            return tuple(parts)
        cells = {cell for equation in found_together for cell in equation.cells}
        return (*parts, CageTotals(tuple(sorted(cells)), found_together))

    def schema(self) -> dict[str, Any]:
        """A picture with sums, or a list."""
        total = {"type": "integer", "minimum": 1}
        sums = {"type": "object", "additionalProperties": total}
        pictured = group({"picture": PICTURE, "sums": sums}, ("picture",))
        return {"anyOf": [pictured, listing(group({"sum": total, "cells": CELLS}, ("cells",)))]}

    def random_value(self, grid: Solved) -> Any:
        """Cages with sums that tile the free cells, but for some that are left alone."""
        return written(random_cages(grid), grid)

    def fewer(self, value: Any) -> list[Any]:
        """None: a grid is tiled."""
        return []

    def limited(self, value: Any, count: int, grid: Solved) -> Any:
        """So many of the cages, and the cells of the others free."""
        return some_of(value, count, grid)

    def filled(self, value: Any, values: Values | None, geometry: Geometry) -> Any:
        """The sums of the cages."""
        return with_sums(value, values, geometry.size)

    def warnings(self, parts: Sequence[Part], size: int) -> list[tuple[str, tuple[int, ...]]]:
        """Cages in pieces; a few without a sum among others that have one."""
        found: list[tuple[str, tuple[int, ...]]] = []
        cages = [part for part in parts if isinstance(part, Cage | UnsummedCage)]
        for cage in cages:
            if len(pieces(cage.cells, size)) > 1:
                what = f"{cage.name(size)} lies in pieces that do not touch by their sides"
                found.append((what, cage.cells))
        if any(isinstance(cage, Cage) for cage in cages):
            for cage in cages:
                if isinstance(cage, UnsummedCage):
                    what = f"the cage at {cell_name(cage.cells[0], size)} has no sum"
                    found.append((what, cage.cells))
        return found

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``cage 15: r1c1 r1c2``; what all cages say together follows from them."""
        size, told = geometry.size, []
        for part in parts:
            if isinstance(part, Cage):
                told.append(clue(f"cage {part.total}", part.cells, size))
            elif isinstance(part, UnsummedCage):
                told.append(clue("cage without a sum", part.cells, size))
        return tuple(told)

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """The sum of each cage, if it has one, and its cells."""
        value = []
        for one in clues_of(told):
            found = re.fullmatch(r"cage (?:(\d+)|without a sum)", one.label)
            if not found:
                raise RuleFault(f"{one.label!r} names no cage", "write it like cage 15")
            value.append(({"sum": found[1]} if found[1] else {}) | {"cells": one.words})
        return self.read(value, geometry)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        unsummed = any(isinstance(part, UnsummedCage) for part in parts)
        if unsummed and not any(isinstance(part, Cage) for part in parts):
            return Wording("No digit repeats within a cage.", page="Cages have a dashed outline.")
        more = " A cage without a sum may make any." if unsummed else ""
        return Wording(
            f"No digit repeats within a cage. The digits of a cage add up to its sum.{more}",
            page="Cages have a dashed outline. The sum is the small number in the corner.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A cage over a block's side: three digits, and two alike that no block sees."""
        size, (_, column) = geometry.size, corner(geometry)
        a, b, c, twice = {4: (2, 3, 1, 1), 5: (4, 3, 1, 3)}.get(
            size, (4, 5, 3, 5) if size > 8 else (4, 5, 1, 4)
        )
        total = a + b + c
        one, right, below = at(1, column), at(1, column + 1), at(2, column)
        value = {"cells": f"{one} {right} {below}"}
        if summed := any(isinstance(part, Cage) for part in parts):
            value["sum"] = str(total)
        first = total - 2 * twice
        makes = f"{first} + {twice} + {twice} = {total}" if summed else allowed(geometry)
        told = f"{a} + {b} + {c} = {total}, three different digits." if summed else ""
        ways = tuple(
            (" + ".join(SYMBOLS[d] for d in sorted(some)),) for some in _sets(3, size, total)
        )
        return Cases(
            Case({one: a, right: b, below: c}, told or "Three different digits.", [value]),
            Case(
                {one: first, right: twice, below: twice},
                f"{makes}, but the cage has two {twice}s.",
                [value],
                f"{right} {below}",
            ),
            Choices((f"{total} in three cells",), ways) if summed else None,
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Fences, each with the number in one of its cells."""
        texts = {shape.cell: shape.text for shape in shapes if isinstance(shape, Corner)}
        found: list[Part] = []
        for shape in shapes:
            if isinstance(shape, Fence):
                cells = tuple(sorted(shape.cells))
                sums = [texts[cell] for cell in cells if cell in texts]
                if len(sums) <= 1 and all(text.isdigit() for text in sums):
                    found.append(_part(cells, int(sums[0]) if sums else None, geometry))
        return tuple(found)


def _part(cells: tuple[int, ...], total: int | None, geometry: Geometry) -> Cage | UnsummedCage:
    if total is None:
        return UnsummedCage(cells)
    seen = frozenset.intersection(*(geometry.peers[cell] for cell in cells))
    return Cage(cells, total, tuple(sorted(seen)))


KIND = Cages()
