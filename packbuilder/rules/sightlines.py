"""Sightlines: how many digits are seen along a row or column from outside (skyscraper clues).

Digits are taken for heights: one is seen where every digit before it is lower.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import accumulate
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases, at, in_a_row
from packbuilder.rules.contract import Clauses, Deduction, Part, Removes, Row, Sight, Wording
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Side
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import number
from packbuilder.rules.tools.deducing import beyond, conclusion
from packbuilder.rules.tools.masks import bit, everything, keep, least, single, up_to
from packbuilder.rules.tools.outside import OutsideClue, OutsideKind, belonging
from packbuilder.rules.tools.sightline_fillings import orders, visible

ORDERS = 9
"""Digits of the longest line of which all orders are looked at."""

_EXAMPLE = "2 1 4 3".replace(" ", "\N{NO-BREAK SPACE}")
"""A line of digits as a reader sees it: in one line of words."""

_FROM = {"top": "the top", "bottom": "the bottom", "left": "the left", "right": "the right"}


@dataclass(frozen=True)
class Sightline(OutsideClue):
    """How many digits of a line are seen from the clue."""

    word = "sightline"
    ringed = True

    def holds(self, values: Values, size: int) -> bool:
        """Digits greater than all before them, counted."""
        highest = seen = 0
        for cell in self.cells:
            if values[cell] > highest:
                highest, seen = values[cell], seen + 1
        return seen == self.number

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The cells as they are seen."""
        return (Relation(f"sightline {self.number}", self.cells, tuple(range(size))),)

    def encode(self, clauses: Clauses) -> None:
        """An automaton that knows the highest digit so far and how many are still to be seen."""
        clauses.automaton(self.cells, (0, 0, self.number, clauses.size), _look, _all_seen)

    def prune(self, masks: list[int], size: int) -> bool:
        """Exact, but that a digit may come again lower than one before it."""
        seen = visible(size, self.number, tuple([masks[cell] for cell in self.cells]))
        return keep(masks, self.cells, seen)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The extremes; the room that the count leaves; all ways to look along the line."""
        if self.number in (1, sight.size):
            yield from self._extreme(sight)
            return
        yield from self._room(sight)
        size, masks = sight.size, self._masks(sight)
        known = tuple(mask if single(mask) else everything(size) for mask in masks)
        yield from self._counted(sight, visible(size, self.number, known), "sightline-count")
        yield from self._counted(sight, visible(size, self.number, masks), "sightline-candidates")
        if size <= ORDERS:
            yield from self._counted(sight, orders(size, self.number, masks), "sightline-orders")

    def _masks(self, sight: Sight) -> tuple[int, ...]:
        return tuple(sight.masks[cell] for cell in self.cells)

    def _extreme(self, sight: Sight) -> Iterator[Deduction]:
        """One is seen: the highest comes first. All are seen: they rise."""
        size = sight.size
        digits = (size,) if self.number == 1 else tuple(range(1, size + 1))
        wanted = [
            (cell, everything(size) & ~bit(d)) for cell, d in zip(self.cells, digits, strict=False)
        ]
        cells, tell = self.cells[: len(digits)], partial(_tell_extreme, self, size)
        yield from conclusion(sight, "sightline-extreme", cells, wanted, tell, digits)

    def _room(self, sight: Sight) -> Iterator[Deduction]:
        """The digits seen rise to the highest, so high ones cannot come early."""
        size = sight.size
        wanted = [
            (cell, everything(size) & ~up_to(size - self.number + 1 + k))
            for k, cell in enumerate(self.cells[: self.number - 1])
        ]
        tell = partial(_tell_room, self, size)
        yield from conclusion(sight, "sightline-room", self.cells, wanted, tell)

    def _counted(
        self, sight: Sight, kept: tuple[int, ...] | None, technique: str
    ) -> Iterator[Deduction]:
        """Candidates with which the count cannot be reached, or must be passed."""
        if kept is not None:
            wanted = beyond(self.cells, kept, sight)
            tell = partial(_tell_counted, self, sight, technique)
            yield from conclusion(sight, technique, self.cells, wanted, tell)


def _look(state: tuple[int, int, int, int], digit: int) -> tuple[int, int, int, int] | None:
    """One cell further: (cells passed, highest digit, digits still to be seen, size)."""
    passed, highest, left, size = state
    passed += 1
    if digit > highest:
        highest, left = digit, left - 1
    elif digit == highest:
        return None
    # So many different digits reach at least so high; and only higher ones are still to be seen.
    if highest < passed or not 0 <= left <= size - highest:
        return None
    return passed, highest, left, size


def _all_seen(state: tuple[int, int, int, int]) -> bool:
    return state[1] == state[3] and state[2] == 0


# Words.


def _seen(part: Sightline) -> str:
    """``From the left, 3 digits of row 2 are seen``."""
    if part.number == 1:
        return f"From {_FROM[part.side]}, only one digit of {part.line} is seen"
    return f"From {_FROM[part.side]}, {words.number(part.number)} digits of {part.line} are seen"


def _tell_extreme(part: Sightline, size: int, _: Removes) -> str:
    if part.number == 1:
        return (
            f"{_seen(part)}, so it hides all others: {cell_name(part.cells[0], size)} is "
            f"{SYMBOLS[size]}."
        )
    return (
        f"{_seen(part)}: all there are, so they rise from 1 in {cell_name(part.cells[0], size)} to "
        f"{SYMBOLS[size]} in {cell_name(part.cells[-1], size)}."
    )


def _tell_room(part: Sightline, size: int, removes: Removes) -> str:
    bounds = [
        f"{cell_name(cell, size)} is at most {SYMBOLS[size - part.number + 1 + k]}"
        for k, cell in enumerate(part.cells)
        if any(cell == c for c, _ in removes)
    ]
    return (
        f"{_seen(part)}, and the last of them is {SYMBOLS[size]}. High digits would come too "
        f"early: {words.listed(bounds)}."
    )


def _tell_counted(part: Sightline, sight: Sight, technique: str, removes: Removes) -> str:
    size, masks = sight.size, sight.masks
    ways = words.ways_to_that(removes, masks, size)
    if technique == "sightline-candidates":
        return f"{_seen(part)}. {ways}"
    if technique == "sightline-orders":
        return f"{_seen(part)}, none of them twice. {ways}"
    filled = [cell for cell in part.cells if single(masks[cell])]
    told = [f"{SYMBOLS[least(masks[cell])]} in {cell_name(cell, size)}" for cell in filled]
    known = f" with {words.listed(told)} in place" if told else ""
    return f"{_seen(part)}{known}. {ways}"


class Sightlines(OutsideKind):
    """The rule."""

    slug = "sightlines"
    title = "Sightlines"
    about = "A ringed number outside the grid says how many digits are seen along its line."
    part, sides = Sightline, ("top", "bottom", "left", "right")
    takes_the_rest = True
    example_value = '{top: "1 2 . 3", left: ". . 2 ."}'
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("sightline-extreme", "Sightline of one or of all", 1, 2,
            "Where one digit is seen the highest comes first; where all are seen they rise.",
            "A sightline that shows one digit only, or all of them."),
        Row("sightline-room", "Sightline room", 2, 9,
            "The digits seen rise to the highest, so the first cells have no room for high "
            "digits.",
            "How high the first digits of a sightline can be."),
        Row("sightline-count", "Sightline count", 4, 16,
            "With the digits that stand in a line, a candidate would show too many or too few.",
            "Count what is seen along a line in which some digits stand."),
        Row("sightline-candidates", "Sightline candidates", 5, 13,
            "Whatever the other cells of a line hold of their candidates, with this one too many "
            "or too few digits are seen.",
            "Count what can be seen along a line, candidate by candidate."),
        Row("sightline-orders", "Sightline orders", 6, 16,
            "Of all orders of the digits of a line that its candidates and its count allow, none "
            "has a certain digit in a certain cell.",
            "The orders in which the digits of a line can be seen."),
    )  # fmt: skip
    example = """\
id: sightlines
title: Sightlines
size: 5
blocks: none
grid: |
  .....
  .....
  .....
  ...1.
  .....
rules:
  - sightlines:
      top: "2 . 3 1 4"
      bottom: "3 3 1 . ."
      left: ". 2 . 3 3"
      right: "2 3 2 1 3"
"""

    def number(self, clue: str, size: int, what: str, side: Side) -> int:
        """How many are seen: one at least, and no more than there are."""
        return number(clue, 1, size, what, (side,))

    def number_of(self, digits: Sequence[int]) -> int:
        """As many as rise above all before them."""
        return len(set(accumulate(digits, max)))

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words; a ring tells its numbers from others."""

        def means(number: str) -> str:
            return (
                f"Take the digits for the heights of towers. {number} says how many of them are "
                "seen along its row or column from the side on which it stands: a tower hides all "
                f"lower ones behind it. Of {_EXAMPLE}, the 2 and the 4 are seen from the left, the "
                "3 and the 4 from the right."
            )

        return Wording(
            means("A number"),
            page="The numbers stand outside the grid.",
            text=belonging(parts),
            printed=means("A ringed number"),
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A row of which as many are seen as its number says, and one of which others are."""
        size = geometry.size
        right, wrong, seen, fewer = [2, 4, 1, 3], [2, 1, 3, 4], [2, 4], [2, 3, 4]
        if size > 4:
            rest = list(range(size - 1, 4, -1))
            right, wrong = [2, 4, 1, size, *rest, 3], [2, 1, size, 4, *rest, 3]
            seen, fewer = [2, 4, size], [2, size]
        value = {"left": " ".join([str(len(seen)), *["."] * (size - 1)])}
        count = f"{len(fewer)}, not {len(seen)}"
        ringed = " ".join(at(1, wrong.index(digit) + 1) for digit in fewer)
        return Cases(
            Case(in_a_row(right), f"{words.digits(seen)} are seen.", value),
            Case(in_a_row(wrong), f"{words.digits(fewer)} are seen: {count}.", value, ringed),
        )


KIND = Sightlines()
