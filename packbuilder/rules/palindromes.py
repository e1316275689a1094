"""Palindromes: the digits of each line read the same from either end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, House, Values, cell_name
from packbuilder.rules.cases import Case, Cases, at, corner
from packbuilder.rules.contract import (
    Clauses,
    Deduction,
    Part,
    Removes,
    Row,
    RuleFault,
    Sight,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.tools.cells import Where
from packbuilder.rules.tools.deducing import removals, shared_house
from packbuilder.rules.tools.fillings import few_ways
from packbuilder.rules.tools.lines import Line, PlainLineKind, ways_row
from packbuilder.rules.tools.masks import bit, digits_of, least, single, union_of
from packbuilder.rules.tools.random_clues import LineSpace, mirrored_line
from packbuilder.rules.tools.words import cells as named
from packbuilder.rules.tools.words import takes_out


@dataclass(frozen=True)
class Palindrome(Line):
    """A line whose first cell equals its last, its second its last but one, and so on."""

    word = "palindrome"
    style = "double"
    renaming = "any"

    def mirrored(self) -> tuple[tuple[int, int], ...]:
        """The pairs of equal cells, from the ends inwards."""
        half = len(self.cells) // 2
        return tuple(zip(self.cells[:half], self.cells[: -half - 1 : -1], strict=True))

    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it."""
        digits = [values[cell] for cell in self.cells]
        return digits == digits[::-1]

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """Pairs of equal cells."""
        return tuple(Relation("equal", pair) for pair in self.mirrored())

    def encode(self, clauses: Clauses) -> None:
        """Each digit stands in both cells of a pair or in neither."""
        for k in range(len(self.cells) // 2):
            a, b = self.cells[k], self.cells[len(self.cells) - 1 - k]
            for d in range(1, clauses.size + 1):
                clauses.add(-clauses.digit(a, d), clauses.digit(b, d))
                clauses.add(clauses.digit(a, d), -clauses.digit(b, d))

    def prune(self, masks: list[int], size: int) -> bool:
        """The cells of a pair have the same candidates."""
        first, last = 0, len(self.cells) - 1
        while first < last:
            a, b = self.cells[first], self.cells[last]
            both = masks[a] & masks[b]
            if not both:
                return False
            masks[a] = masks[b] = both
            first, last = first + 1, last - 1
        return True

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """A known digit copied, candidates matched, then what both cells of a pair reach."""
        pairs = self.mirrored()
        for known in (True, False):
            for a, b in pairs:
                yield from self._match(sight, a, b, known)
        for a, b in pairs:
            yield from self._reach(sight, a, b)
        middle = self.cells[len(pairs) : len(self.cells) - len(pairs)]
        order = (*(cell for pair in pairs for cell in pair), *middle)
        yield from few_ways(self, "palindrome-ways", order, _mirrors, sight)

    def _match(self, sight: Sight, a: int, b: int, known: bool) -> Iterator[Deduction]:
        masks, size = sight.masks, sight.size
        if known != (single(masks[a]) or single(masks[b])):
            return
        removes = removals(masks, [(a, ~masks[b] & masks[a]), (b, ~masks[a] & masks[b])])
        if known and removes:
            source, copy = (a, b) if single(masks[a]) else (b, a)
            digit = least(masks[source])
            words = partial(_tell_copy, source, copy, digit, size)
            yield Deduction("palindrome-copy", (source, copy), (digit,), removes, words)
        elif removes:
            shared = digits_of(masks[a] & masks[b])
            words = partial(_tell_match, a, b, removes, size)
            yield Deduction("palindrome-match", (a, b), shared, removes, words)

    def _reach(self, sight: Sight, a: int, b: int) -> Iterator[Deduction]:
        """A digit in both cells of a pair would leave a house without a place for it."""
        masks, geometry = sight.masks, sight.geometry
        shared = masks[a] & masks[b]
        if single(shared):
            return
        told = 0
        seen = geometry.peers[a] | geometry.peers[b]
        for house in geometry.houses:
            if len(house.cells) < sight.size or a in house.cells or b in house.cells:
                continue
            outside = union_of(masks[cell] for cell in house.cells if cell not in seen)
            for d in digits_of(shared & ~outside & ~told):
                places = tuple(cell for cell in house.cells if masks[cell] & bit(d))
                removes = removals(masks, [(a, bit(d)), (b, bit(d))])
                if places and removes:
                    told |= bit(d)
                    words = partial(_tell_reach, a, b, d, house, removes, sight.size)
                    yield Deduction("palindrome-reach", (a, b, *places), (d,), removes, words)


def _mirrors(row: tuple[int, ...], digit: int) -> bool:
    """Pair by pair; the middle cell, with an even number before it, is free."""
    return len(row) % 2 == 0 or row[-1] == digit


def _tell_copy(source: int, copy: int, digit: int, size: int) -> str:
    one, other, d = cell_name(source, size), cell_name(copy, size), SYMBOLS[digit]
    return f"{other} mirrors {one} on the palindrome, and {one} is {d}, so {other} is {d} too."


def _tell_match(a: int, b: int, removes: Removes, size: int) -> str:
    return (
        f"{named((a, b), size)} mirror each other on the palindrome, so each can only be what the "
        f"other can be. {takes_out(removes, size)}"
    )


def _tell_reach(a: int, b: int, digit: int, house: House, removes: Removes, size: int) -> str:
    d = SYMBOLS[digit]
    return (
        f"{named((a, b), size)} mirror each other on the palindrome. With {d} in both, no cell of "
        f"{house.label} could be {d}. {takes_out(removes, size)}"
    )


class Palindromes(PlainLineKind):
    """The rule."""

    slug = "palindromes"
    title = "Palindromes"
    about = "The digits of each palindrome read the same from either end."
    part, lengths = Palindrome, (3, 7)
    no_loop = "a palindrome is read from either end, and a loop has no ends"
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("palindrome-copy", "Palindrome copy", 2, 5,
            "A known digit of a palindrome stands again in the cell that mirrors it.",
            "A digit that its palindrome repeats."),
        Row("palindrome-match", "Palindrome match", 3, 6,
            "Two cells that mirror each other on a palindrome have the same candidates.",
            "Two cells of a palindrome that mirror each other."),
        Row("palindrome-reach", "Palindrome reach", 4, 16,
            "A digit in both of two mirrored cells would leave a house no place for it.",
            "What two mirrored cells of a palindrome reach together."),
        ways_row("palindrome-ways", "palindrome", 27),
    )  # fmt: skip
    example = """\
id: palindromes
title: Palindromes
size: 6
grid: |
  ....4.
  .5....
  ......
  .....2
  ..6..3
  ......
rules:
  - palindromes:
      - r5c3 r6c4 r6c5
      - r1c6 r2c5 r3c5 r3c4 r4c3
      - r2c1 r3c1 r3c2
      - r3c3 r4c2 r5c1
"""

    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """One palindrome. Raises RuleFault where cells that must be equal share a house."""
        found = Palindrome.of(cells)
        for a, b in found.mirrored():
            house = shared_house(a, b, geometry)
            if house:
                raise RuleFault(
                    f"{cell_name(a, geometry.size)} and {cell_name(b, geometry.size)} mirror each "
                    f"other on this palindrome, but {house} holds both and allows no digit twice",
                    "lay the line so that no two mirrored cells share a house",
                    path,
                )
        return found

    def grow(self, size: int, space: LineSpace, length: int) -> tuple[int, ...]:
        """From the middle on."""
        return mirrored_line(space, length)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        return Wording(
            "Along each line the digits read the same from either end: the first is the last "
            "again, the second the last but one, and so on.",
            page="These lines are double.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Four cells across a block's corner."""
        row, column = corner(geometry)
        cells = [at(row - 1, column), at(row, column), at(row + 1, column + 1),
                 at(row + 2, column + 1)]  # fmt: skip
        outer, inner = (3, 5) if geometry.size > 4 else (1, 3)
        value = [" ".join(cells)]
        right, wrong = [outer, inner, inner, outer], [outer, inner, inner, outer + 1]
        return Cases(
            Case(
                dict(zip(cells, right, strict=True)),
                f"From either end: {outer}, {inner}, {inner}, {outer}.",
                value,
            ),
            Case(
                dict(zip(cells, wrong, strict=True)),
                f"One end has {outer}, the other {outer + 1}.",
                value,
                f"{cells[0]} {cells[-1]}",
            ),
        )


KIND = Palindromes()
