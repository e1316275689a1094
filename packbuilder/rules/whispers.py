"""Whispers: neighbours on each line differ by at least half the number of digits.

Half is rounded up: 5 in a grid of 9 digits (and of 10), 3 in one of 6 (and of 5), 4 in one of 8.
So low and high digits always take turns, and in a grid of odd size the middle digit is on no line.
The figure is printed with the rule.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import pairwise
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases, Choices
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
from packbuilder.rules.tools.deducing import bounded, conclusion, losing, removals, shared_house
from packbuilder.rules.tools.fillings import Grows, few_ways
from packbuilder.rules.tools.lines import Line, PlainLineKind, loops_told, ways_row
from packbuilder.rules.tools.masks import bit, digits_of, everything, least, most, single, up_to
from packbuilder.rules.tools.words import cells as named
from packbuilder.rules.tools.words import listed


def difference(size: int) -> int:
    """The least difference of neighbours: half of ``size``, rounded up."""
    return (size + 1) // 2


@dataclass(frozen=True)
class Whisper(Line):
    """A line along which neighbours differ by `difference` or more."""

    word = "whisper line"
    style = "dashed"
    renaming = "reversal"

    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it."""
        return all(
            2 * abs(values[self.cells[k]] - values[self.cells[k - 1]]) >= size
            for k in range(0 if self.closed else 1, len(self.cells))
        )

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """Neighbours on the line."""
        return tuple(Relation("far apart", pair) for pair in pairwise(self.way))

    def encode(self, clauses: Clauses) -> None:
        """Neighbour by neighbour."""
        gap = difference(clauses.size)
        for a, b in pairwise(self.way):
            clauses.pairs(a, b, lambda d, e: abs(d - e) >= gap)

    def prune(self, masks: list[int], size: int) -> bool:
        """From end to end and back: complete for a chain of pairs, but not for a loop."""
        gap = (size + 1) // 2
        for cells in (self.way, self.way[::-1]):
            before = masks[cells[0]]
            for cell in cells[1:]:
                before = masks[cell] & _beside(before, gap)
                if not before:
                    return False
                masks[cell] = before
        return True

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """No middle digit; beside a known digit; sides in turn; beside bounds; squeezed cells."""
        yield from self._middle(sight)
        yield from self._beside(sight, known=True)
        yield from self._sides(sight)
        yield from self._beside(sight, known=False)
        yield from self._squeeze(sight)
        leaps = _leaps(difference(sight.size), len(self.cells) if self.closed else 0)
        yield from few_ways(self, "whisper-ways", self.cells, leaps, sight)

    def _neighbours(self, k: int) -> tuple[int, ...]:
        count = len(self.cells)
        return tuple(self.cells[j % count] for j in (k - 1, k + 1) if self.closed or 0 <= j < count)

    def _middle(self, sight: Sight) -> Iterator[Deduction]:
        if sight.size % 2 == 0:
            return
        middle = difference(sight.size)
        wanted = [(cell, bit(middle)) for cell in self.cells]
        tell = partial(_tell_middle, self, middle, sight.size)
        yield from conclusion(sight, "whisper-middle", self.cells, wanted, tell, (middle,))

    def _beside(self, sight: Sight, *, known: bool) -> Iterator[Deduction]:
        masks, size, gap = sight.masks, sight.size, difference(sight.size)
        slug = "whisper-beside" if known else "whisper-step"
        for k, cell in enumerate(self.cells):
            if single(masks[cell]) != known:
                continue
            out = everything(size) & ~_beside(masks[cell], gap)
            removes = removals(masks, [(other, out) for other in self._neighbours(k)])
            if removes:
                cells, ends = losing(removes), (least(masks[cell]), most(masks[cell]))
                words = partial(_tell_beside, cell, ends, cells, size)
                yield Deduction(slug, (cell, *cells), (), removes, words)

    def _sides(self, sight: Sight) -> Iterator[Deduction]:
        """From the first cell that is all low or all high."""
        masks, size = sight.masks, sight.size
        low = up_to(size // 2)
        high = everything(size) & ~up_to(difference(size))
        for k, cell in enumerate(self.cells):
            side, other = (low, high) if masks[cell] & ~low == 0 else (high, low)
            if masks[cell] & ~side:
                continue
            wanted = [(c, side if (j - k) % 2 else other) for j, c in enumerate(self.cells)]
            removes = removals(masks, wanted)
            if removes:
                cells = losing(removes)
                words = partial(_tell_sides, self, cell, side == low, cells, size)
                yield Deduction("whisper-sides", (cell, *cells), (), removes, words)
            return

    def _squeeze(self, sight: Sight) -> Iterator[Deduction]:
        """A digit whose two neighbours would both be the same digit, though they see each other."""
        masks, gap = sight.masks, difference(sight.size)
        way = (*self.way, self.cells[1]) if self.closed else self.cells
        for a, cell, b in zip(way, way[1:], way[2:], strict=False):
            if single(masks[cell]) or b not in sight.geometry.peers[a]:
                continue
            for d in digits_of(masks[cell]):
                beside = _beside(bit(d), gap)
                left, right = masks[a] & beside, masks[b] & beside
                if left == right and single(left):
                    house, three = shared_house(a, b, sight.geometry) or "", (a, cell, b)
                    tell = partial(_tell_squeeze, three, (d, least(left)), house, sight.size)
                    wanted = [(cell, bit(d))]
                    yield from conclusion(sight, "whisper-squeeze", three, wanted, tell, (d,))


@cache
def _leaps(gap: int, closes: int) -> Grows:
    """``closes`` is the number of cells of a loop, 0 for a line with ends."""

    def leaps(row: tuple[int, ...], digit: int) -> bool:
        last = len(row) + 1 == closes
        return not row or abs(row[-1] - digit) >= gap <= abs(row[0 if last else -1] - digit)

    return leaps


def _beside(mask: int, gap: int) -> int:
    """What can stand beside a cell with these candidates; reaches past the grid's digits."""
    low = mask.bit_length() - gap
    high = (mask & -mask).bit_length() + gap
    return (((1 << low) - 1) if low > 0 else 0) | (-1 << (high - 1))


def _tell_middle(line: Whisper, middle: int, size: int, _: Removes) -> str:
    d = SYMBOLS[middle]
    return (
        f"Neighbours on the {line.name(size)} differ by at least {difference(size)}, and no digit "
        f"is that far from {d}, so {d} is nowhere on it."
    )


def _tell_beside(cell: int, ends: tuple[int, int], losing: tuple[int, ...], size: int) -> str:
    gap, (low, high) = difference(size), ends
    sides = []
    if high - gap >= 1:
        sides.append(bounded("most", high - gap, size))
    if low + gap <= size:
        sides.append(bounded("least", low + gap, size))
    name = cell_name(cell, size)
    span = SYMBOLS[low] if low == high else f"from {SYMBOLS[low]} to {SYMBOLS[high]}"
    verb = "is" if len(losing) == 1 else "are"
    return (
        f"{name} is {span}. Its neighbours on the whisper line differ by at least {gap} from it, "
        f"so {named(losing, size)} {verb} {listed(sides, 'or')}."
    )


def _tell_sides(line: Whisper, anchor: int, low: bool, losing: tuple[int, ...], size: int) -> str:
    gap = difference(size)
    place = {cell: k for k, cell in enumerate(line.cells)}
    groups = (
        [cell for cell in losing if ((place[cell] - place[anchor]) % 2 == 0) == (low == small)]
        for small in (True, False)
    )
    told = []
    for word, span, cells in zip(
        ("low", "high"),
        (f"1 to {SYMBOLS[size // 2]}", f"{SYMBOLS[gap + 1]} to {SYMBOLS[size]}"),
        groups,
        strict=True,
    ):
        if cells:
            verb = "is" if len(cells) == 1 else "are"
            told.append(f"{named(cells, size)} {verb} {word} ({span})")
    return (
        f"Low and high digits take turns along the {line.name(size)}. "
        f"{cell_name(anchor, size)} is {'low' if low else 'high'}, so {listed(told)}."
    )


def _tell_squeeze(
    cells: tuple[int, int, int], digits: tuple[int, int], house: str, size: int, _: Removes
) -> str:
    a, cell, b = cells
    d, beside = (SYMBOLS[digit] for digit in digits)
    return (
        f"With {d} in {cell_name(cell, size)}, both its neighbours on the whisper line, "
        f"{named((a, b), size)}, would be {beside}; but both lie in {house}. So "
        f"{cell_name(cell, size)} is not {d}."
    )


class Whispers(PlainLineKind):
    """The rule."""

    slug = "whispers"
    title = "Whisper lines"
    about = "Neighbours on each whisper line differ by at least half the number of digits."
    part, lengths = Whisper, (3, 7)
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("whisper-middle", "Whisper middle", 2, 5,
            "No digit is far enough from the middle one to stand beside it on a whisper line.",
            "The digit that no whisper line can hold."),
        Row("whisper-beside", "Whisper beside", 2, 7,
            "A known digit leaves its neighbours on a whisper line few digits.",
            "The neighbours of a known digit on a whisper line."),
        Row("whisper-sides", "Whisper sides", 3, 5,
            "Low and high digits take turns on a whisper line: where one cell's side is known, "
            "all are.",
            "Low and high digits take turns on a whisper line."),
        Row("whisper-step", "Whisper step", 3, 8,
            "A bound on one cell of a whisper line bounds its neighbours.",
            "A bound that goes one step along a whisper line."),
        Row("whisper-squeeze", "Whisper squeeze", 3, 12,
            "A digit leaves one and the same digit for both its neighbours on a whisper line, and "
            "they share a house.",
            "A cell of a whisper line whose two neighbours share a house."),
        ways_row("whisper-ways", "whisper line", 27),
    )  # fmt: skip
    example = """\
id: whispers
title: Whisper lines
size: 6
grid: |
  .....3
  ....5.
  ......
  ......
  6....4
  ......
rules:
  - whispers:
      - r1c1 r1c2 r1c3
      - r2c5 r3c5 r4c4
      - r1c5 r2c6 r3c6
      - r5c6 r6c6 r6c5 r6c4
"""

    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """One line. Raises RuleFault for a loop round which low and high cannot take turns."""
        found = Whisper.of(cells)
        if found.closed and len(found.cells) % 2:
            raise RuleFault(
                f"this whisper line is a loop of {len(found.cells)} cells, and low and high "
                "digits cannot take turns round an odd number",
                "lay the loop through an even number of cells",
                path,
            )
        return found

    def begins(self, digits: Sequence[int], size: int) -> bool:
        """While neighbours are far apart."""
        return all(abs(a - b) >= difference(size) for a, b in pairwise(digits))

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words, with the least difference in a grid of this size."""
        return Wording(
            f"Two digits that are neighbours along a line differ by at least {difference(size)}.",
            page="A dash joins each cell of a line to the next.",
            text=loops_told(parts),
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Three cells: two steps that are large enough, and one that is not."""
        size = geometry.size
        least = difference(size)
        low, high, value = size - 1 - least, size, ["r1c2 r2c1 r3c1"]
        beside = tuple(
            (SYMBOLS[d], " ".join(SYMBOLS[e] for e in range(1, size + 1) if abs(e - d) >= least))
            for d in range(1, size + 1)
        )
        return Cases(
            Case(
                {"r1c2": high, "r2c1": low, "r3c1": high - 1},
                f"{SYMBOLS[high]} and {SYMBOLS[low]} differ by {high - low}, {SYMBOLS[high - 1]} "
                f"and {SYMBOLS[low]} by {high - 1 - low}.",
                value,
            ),
            Case(
                {"r1c2": high, "r2c1": low, "r3c1": high - 2},
                f"{SYMBOLS[high - 2]} and {SYMBOLS[low]} differ by {least - 1} only.",
                value,
                "r2c1 r3c1",
            ),
            Choices(("Beside", "can stand"), tuple((d, some or "nothing") for d, some in beside)),
        )


KIND = Whispers()
