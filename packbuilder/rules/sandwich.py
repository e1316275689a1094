"""Sandwich sums: what the digits between the 1 and the highest digit of a row or column add up to.

The 1 and the highest digit may come in either order; where they touch, the sum is 0.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from itertools import combinations
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.rules.cases import Case, Cases, in_a_row
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
from packbuilder.rules.shapes import Side
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import number
from packbuilder.rules.tools.deducing import beyond, conclusion
from packbuilder.rules.tools.masks import bit, common_to, everything, keep, single, union_of
from packbuilder.rules.tools.outside import OTHER_END, OutsideClue, OutsideKind, belonging
from packbuilder.rules.tools.sandwich_clauses import encode
from packbuilder.rules.tools.sums import fit, open_sets, sets, whole

_TOLD = 4
"""Sets that a sentence lists; more are not told one by one."""


@dataclass(frozen=True)
class Sandwich(OutsideClue):
    """The sum of what stands between the 1 and the highest digit of a line."""

    word = "sandwich"

    def holds(self, values: Values, size: int) -> bool:
        """The sum strictly between the 1 and the highest digit."""
        digits = [values[cell] for cell in self.cells]
        first, last = sorted((digits.index(1), digits.index(size)))
        return sum(digits[first + 1 : last]) == self.number

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The line, from either end."""
        ways, places = (self.cells, self.cells[::-1]), tuple(range(size))
        return tuple(Relation(f"sandwich {self.number}", cells, places) for cells in ways)

    def encode(self, clauses: Clauses) -> None:
        """Where the ends are, and which digits lie between."""
        encode(clauses, self.cells, self.number)

    def prune(self, masks: list[int], size: int) -> bool:
        """Each pair of cells for the ends in turn; what fits inside, and what is left outside."""
        return keep(
            masks, self.cells, between(size, self.number, tuple([masks[c] for c in self.cells]))
        )

    def elsewhere(self) -> str:
        """It may stand at either end of its line."""
        return f"write the {self.word} of {self.line} under {OTHER_END[self.side]!r}"

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """How far the ends are apart; what lies between known ends; every case."""
        masks = tuple(sight.masks[cell] for cell in self.cells)
        if all(map(single, masks)):
            return
        yield from self._length(sight, masks)
        yield from self._filling(sight, masks)
        kept = between(sight.size, self.number, masks)
        if kept is not None:
            wanted, tell = beyond(self.cells, kept, sight), partial(_tell_cases, self, sight)
            yield from conclusion(sight, "sandwich-cases", self.cells, wanted, tell)

    def _length(self, sight: Sight, masks: tuple[int, ...]) -> Iterator[Deduction]:
        """So many digits are needed for the sum, and no more: places of 1 and the highest."""
        size = sight.size
        lengths = lengths_of(size, self.number)
        good = [0] * size
        for i, j in combinations(range(size), 2):
            if j - i - 1 in lengths:
                for a, b in ((bit(1), bit(size)), (bit(size), bit(1))):
                    if masks[i] & a and masks[j] & b:
                        good[i] |= a
                        good[j] |= b
        ends = bit(1) | bit(size)
        if any(good):
            wanted = [(c, ends & ~g) for c, g in zip(self.cells, good, strict=True)]
            tell = partial(_tell_length, self, lengths, size)
            yield from conclusion(sight, "sandwich-length", self.cells, wanted, tell)

    def _filling(self, sight: Sight, masks: tuple[int, ...]) -> Iterator[Deduction]:
        """Both ends stand: the sets that make the sum between them."""
        size = sight.size
        ends = [k for k, mask in enumerate(masks) if mask in (bit(1), bit(size))]
        if len(ends) != 2:
            return
        i, j = ends
        left = open_sets(size, self.number, masks[i + 1 : j])
        if not left or j == i + 1:
            return
        union, common = union_of(left), common_to(left)
        wanted = [
            (cell, (everything(size) & ~union) if i < k < j else common)
            for k, cell in enumerate(self.cells)
            if k not in ends
        ]
        tell = partial(_tell_filling, self, left, self.cells[i + 1 : j], size)
        yield from conclusion(sight, "sandwich-filling", self.cells, wanted, tell)


# What fits.


@cache
def lengths_of(size: int, total: int) -> tuple[int, ...]:
    """How many digits between 1 and the highest can add up to ``total``."""
    ends = bit(1) | bit(size)
    return tuple(
        count
        for count in range(size - 1)
        if any(not choice & ends for choice in sets(size, count, total))
    )


@lru_cache(maxsize=16_384)
def between(size: int, total: int, masks: tuple[int, ...]) -> tuple[int, ...] | None:
    """Which candidates of a row or column can stand with ``total`` between its ends, or None."""
    one, top = bit(1), bit(size)
    inner = everything(size) & ~(one | top)
    rest = whole(size) - 1 - size - total
    kept = [0] * size
    for length in lengths_of(size, total):
        for i in range(size - 1 - length):
            j = i + length + 1
            up, down = masks[i] & one and masks[j] & top, masks[i] & top and masks[j] & one
            if not (up or down):
                continue
            inside = _placed(size, total, tuple([mask & inner for mask in masks[i + 1 : j]]))
            if inside is None:
                continue
            others = (*masks[:i], *masks[j + 1 :])
            outside = _placed(size, rest, tuple([mask & inner for mask in others]))
            if outside is None:
                continue
            found = (*outside[:i], 0, *inside, 0, *outside[i:])
            for k, mask in enumerate(found):
                kept[k] |= mask
            if up:
                kept[i] |= one
                kept[j] |= top
            if down:
                kept[i] |= top
                kept[j] |= one
    return tuple(kept) if all(kept) else None


def _placed(size: int, total: int, masks: tuple[int, ...]) -> tuple[int, ...] | None:
    if not masks:
        return None if total else ()
    found = fit(size, total, masks)
    return found[0] if found else None


# Words.


def _clue(part: Sandwich, size: int) -> str:
    ends = f"1 and {SYMBOLS[size]}"
    if not part.number:
        return f"In {part.line}, {ends} stand side by side"
    return f"In {part.line}, the digits between {ends} make {part.number}"


def _tell_cases(part: Sandwich, sight: Sight, removes: Removes) -> str:
    return f"{_clue(part, sight.size)}. {words.ways_to_that(removes, sight.masks, sight.size)}"


def _tell_length(part: Sandwich, lengths: tuple[int, ...], size: int, removes: Removes) -> str:
    needed = ""
    if part.number:
        counts = words.listed(map(words.number, lengths), "or")
        needed = f", which takes {counts} cell{'s' if lengths != (1,) else ''}"
    return f"{_clue(part, size)}{needed}. That rules out {words.in_cells(removes, size)}."


def _tell_filling(
    part: Sandwich, left: Sequence[int], cells: Sequence[int], size: int, removes: Removes
) -> str:
    takes, where = words.takes_out(removes, size), words.cells(cells, size)
    if len(left) > _TOLD:
        return f"{_clue(part, size)}, in {where}. {takes}"
    can = f"{where} is" if len(cells) == 1 else f"{where} can only be"
    return f"{_clue(part, size)}, so {can} {words.sets(left)}. {takes}"


class Sandwiches(OutsideKind):
    """The rule."""

    slug = "sandwich"
    title = "Sandwich sums"
    about = "A number outside the grid is the sum between the 1 and the highest digit of its line."
    part, sides = Sandwich, ("left", "top", "right", "bottom")
    from_either_end = True
    example_value = '{left: "10 . 0 5", top: ". 7 . ."}'
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("sandwich-length", "Sandwich length", 3, 10,
            "A sum needs so many digits between 1 and the highest; cells for either without a "
            "cell for the other at that distance lose it.",
            "How many digits a sandwich needs, and where its ends can be."),
        Row("sandwich-filling", "Sandwich filling", 4, 10,
            "Both ends of a sandwich stand; digits in no set that makes the sum leave the cells "
            "between, digits in every such set leave the cells outside.",
            "Which digits make the sum between the ends of a sandwich."),
        Row("sandwich-cases", "Sandwich cases", 5, 14,
            "Of all places for the ends and all sets between them, none leaves a cell a certain "
            "digit.",
            "All the places for the ends of a sandwich, each with what it leaves the other cells."),
    )  # fmt: skip
    example = """\
id: sandwich
title: Sandwich Sums
size: 6
grid: |
  ......
  ......
  ......
  ......
  ......
  ....1.
rules:
  - sandwich:
      left: "0 4 8 7 0 10"
      top: "14 5 3 9 2 0"
"""

    def number(self, clue: str, size: int, what: str, side: Side) -> int:
        """A sum. Raises RuleFault for one that no digits make."""
        most = whole(size) - 1 - size
        total = number(clue, 0, most, what, (side,))
        if not lengths_of(size, total):
            raise RuleFault(
                f"{what} is {total}",
                f"no digits between 1 and {SYMBOLS[size]} add up to that: all of them make {most}, "
                "and the least of them is 2",
                (side,),
            )
        return total

    def number_of(self, digits: Sequence[int]) -> int:
        """What stands between the two ends, added up."""
        first, last = sorted((digits.index(1), digits.index(len(digits))))
        return sum(digits[first + 1 : last])

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words, with the highest digit of the grid."""
        last = SYMBOLS[size]
        return Wording(
            f"A number is the sum of the digits that stand between the 1 and the {last} of its row "
            f"or column: it is 5 where 2 and 3 stand there, and 0 where the 1 and the {last} "
            "touch.",
            page="The numbers stand outside the grid.",
            text=belonging(parts),
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A row whose number is right, and one whose number is another."""
        size = geometry.size
        row = [2, 1, 3, 4, size, 5] if size > 5 else [2, 1, 3, size, 4][:size]
        wrong = [2, 1, 3, 5, size, 4] if size > 5 else [3, 1, 2, size, 4][:size]
        rest, last = list(range(6, size)), SYMBOLS[size]
        told, other, ringed = "3", "2", "r1c3"
        if size > 5:
            told, other, ringed = "3 + 4 = 7", "3 + 5 = 8", "r1c3 r1c4"
        number, start = told.split()[-1], f"Between the 1 and the {last}"
        value = {"left": " ".join([number, *["."] * (size - 1)])}
        return Cases(
            Case(in_a_row(row + rest), f"{start}: {told}.", value),
            Case(
                in_a_row(wrong + rest),
                f"{start}: {other}, not {number}.",
                value,
                ringed,
            ),
        )


KIND = Sandwiches()
