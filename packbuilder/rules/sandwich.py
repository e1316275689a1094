"""Sandwich sums: what the digits between the 1 and the highest digit of a row or column add up to.

The 1 and the highest digit may come in either order; where they touch, the sum is 0.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from itertools import combinations
from typing import Any, ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.rules.contract import Clauses, Deduction, Kind, Part, Row, RuleFault, Sight, Solved
from packbuilder.rules.shapes import Outside, Shape, Side
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import Where, number
from packbuilder.rules.tools.lines import struck
from packbuilder.rules.tools.masks import bit, everything, single
from packbuilder.rules.tools.outside import (
    deal,
    fewer,
    line,
    line_name,
    numbers,
    place,
    schema,
    sides,
)
from packbuilder.rules.tools.sandwich_clauses import encode
from packbuilder.rules.tools.sums import fit, open_sets, sets, whole

SIDES: tuple[Side, ...] = ("left", "top")
_WRITTEN = '{left: "10 . 0 5", top: ". 7 . ."}'

_TOLD = 4
"""Sets that a sentence lists; more are not told one by one."""


@dataclass(frozen=True)
class Sandwich(Part):
    """``cells`` are the row or column, from the clue on."""

    cells: tuple[int, ...]
    side: Side
    index: int
    total: int

    def name(self, size: int) -> str:
        """``sandwich 12 left of row 3``."""
        return f"sandwich {self.total} {place(self.side, self.index)}"

    def holds(self, values: Values, size: int) -> bool:
        """The sum strictly between the 1 and the highest digit."""
        digits = [values[cell] for cell in self.cells]
        first, last = sorted((digits.index(1), digits.index(size)))
        return sum(digits[first + 1 : last]) == self.total

    def encode(self, clauses: Clauses) -> None:
        """Where the ends are, and which digits lie between."""
        encode(clauses, self.cells, self.total)

    def prune(self, masks: list[int], size: int) -> bool:
        """Each pair of cells for the ends in turn; what fits inside, and what is left outside."""
        kept = between(size, self.total, tuple([masks[cell] for cell in self.cells]))
        if kept is None:
            return False
        for cell, mask in zip(self.cells, kept, strict=True):
            masks[cell] = mask
        return True

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """How far the ends are apart; what lies between known ends; every case."""
        masks = tuple(sight.masks[cell] for cell in self.cells)
        if all(map(single, masks)):
            return
        yield from self._length(sight, masks)
        yield from self._filling(sight, masks)
        kept = between(sight.size, self.total, masks)
        if kept is not None:
            removes = struck(
                sight.masks, [(c, m & ~k) for c, m, k in zip(self.cells, masks, kept, strict=True)]
            )
            if removes:
                yield Deduction(
                    "sandwich-cases",
                    self.cells,
                    _digits(removes),
                    removes,
                    lambda: (
                        f"{_clue(self, sight.size)}. "
                        f"{words.ways_to_that(removes, sight.masks, sight.size)}"
                    ),
                )

    def shapes(self) -> tuple[Shape, ...]:
        """A number outside the grid."""
        return (Outside(self.side, self.index, str(self.total)),)

    def _length(self, sight: Sight, masks: tuple[int, ...]) -> Iterator[Deduction]:
        """So many digits are needed for the sum, and no more: places of 1 and the highest."""
        size = sight.size
        lengths = lengths_of(size, self.total)
        good = [0] * size
        for i, j in combinations(range(size), 2):
            if j - i - 1 in lengths:
                for a, b in ((bit(1), bit(size)), (bit(size), bit(1))):
                    if masks[i] & a and masks[j] & b:
                        good[i] |= a
                        good[j] |= b
        ends = bit(1) | bit(size)
        removes = struck(
            sight.masks, [(c, ends & ~g) for c, g in zip(self.cells, good, strict=True)]
        )
        if any(good) and removes:
            tell = partial(_tell_length, self, lengths, removes, size)
            yield Deduction("sandwich-length", self.cells, _digits(removes), removes, tell)

    def _filling(self, sight: Sight, masks: tuple[int, ...]) -> Iterator[Deduction]:
        """Both ends stand: the sets that make the sum between them."""
        size = sight.size
        ends = [k for k, mask in enumerate(masks) if mask in (bit(1), bit(size))]
        if len(ends) != 2:
            return
        i, j = ends
        left = open_sets(size, self.total, masks[i + 1 : j])
        if not left or j == i + 1:
            return
        union, common = 0, everything(size)
        for choice in left:
            union, common = union | choice, common & choice
        wanted = [
            (cell, (everything(size) & ~union) if i < k < j else common)
            for k, cell in enumerate(self.cells)
            if k not in ends
        ]
        removes = struck(sight.masks, wanted)
        if removes:
            tell = partial(_tell_filling, self, left, self.cells[i + 1 : j], removes, size)
            yield Deduction("sandwich-filling", self.cells, _digits(removes), removes, tell)


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


def _digits(removes: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    return tuple(sorted({d for _, d in removes}))


def _clue(part: Sandwich, size: int) -> str:
    ends = f"1 and {SYMBOLS[size]}"
    if not part.total:
        return f"In {line_name(part.side, part.index)}, {ends} stand side by side"
    return f"In {line_name(part.side, part.index)}, the digits between {ends} make {part.total}"


def _tell_length(
    part: Sandwich, lengths: tuple[int, ...], removes: tuple[tuple[int, int], ...], size: int
) -> str:
    needed = ""
    if part.total:
        counts = words.listed(map(words.number, lengths), "or")
        needed = f", which takes {counts} cell{'s' if lengths != (1,) else ''}"
    return f"{_clue(part, size)}{needed}. That rules out {words.in_cells(removes, size)}."


def _tell_filling(
    part: Sandwich,
    left: Sequence[int],
    cells: Sequence[int],
    removes: tuple[tuple[int, int], ...],
    size: int,
) -> str:
    takes, where = words.takes_out(removes, size), words.cells(cells, size)
    if len(left) > _TOLD:
        return f"{_clue(part, size)}, in {where}. {takes}"
    can = f"{where} is" if len(cells) == 1 else f"{where} can only be"
    return f"{_clue(part, size)}, so {can} {words.sets(left)}. {takes}"


class Sandwiches(Kind):
    """The rule."""

    slug = "sandwich"
    title = "Sandwich sums"
    about = "A number outside the grid is the sum between the 1 and the highest digit of its line."
    lookalikes: ClassVar[tuple[str, ...]] = ("sightlines",)
    techniques: ClassVar[tuple[Row, ...]] = (
        Row(
            "sandwich-length",
            "Sandwich length",
            3,
            10,
            "A sum needs so many digits between 1 and the highest; cells for either without a cell "
            "for the other at that distance lose it.",
            "How many digits a sandwich needs, and where its ends can be.",
        ),
        Row(
            "sandwich-filling",
            "Sandwich filling",
            4,
            10,
            "Both ends of a sandwich stand; digits in no set that makes the sum leave the cells "
            "between, digits in every such set leave the cells outside.",
            "Which digits make the sum between the ends of a sandwich.",
        ),
        Row(
            "sandwich-cases",
            "Sandwich cases",
            5,
            14,
            "Of all places for the ends and all sets between them, none leaves a cell a certain "
            "digit.",
            "All the places for the ends of a sandwich, each with what it leaves the other cells.",
        ),
    )
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

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The clues, those of rows first. Raises RuleFault."""
        size = geometry.size
        return tuple(
            Sandwich(line(side, k, size), side, k, _sum(clue, size, place(side, k), (side,)))
            for side, k, clue in sides(value, SIDES, size, _WRITTEN)
        )

    def schema(self) -> dict[str, Any]:
        """Clues for rows and for columns."""
        return schema(SIDES)

    def deal(self, grid: Solved) -> Any:
        """The clues of all rows and columns."""

        def filling(digits: Sequence[int]) -> int:
            first, last = sorted((digits.index(1), digits.index(len(digits))))
            return sum(digits[first + 1 : last])

        return deal(grid, SIDES, filling)

    def fewer(self, value: Any) -> list[Any]:
        """Without each clue in turn."""
        return fewer(value)

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """The rule in words."""
        return (
            "A number outside the grid is the sum of the digits that stand between the 1 and the "
            f"{SYMBOLS[size]} of its row or column; it is 0 where these two touch."
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The numbers left of the grid and above it."""
        size = geometry.size
        return tuple(
            Sandwich(line(side, k, size), side, k, total)
            for side, k, total in numbers(shapes, SIDES, size)
        )


def _sum(clue: str, size: int, where: str, path: Where) -> int:
    """A clue. Raises RuleFault for a sum that no digits make."""
    most = whole(size) - 1 - size
    total = number(clue, 0, most, f"the clue {where}", path)
    if not lengths_of(size, total):
        raise RuleFault(
            f"the clue {where} is {total}",
            f"no digits between 1 and {SYMBOLS[size]} add up to that: all of them make {most}, and "
            "the least of them is 2",
            path,
        )
    return total


KIND = Sandwiches()
