"""Between lines: the digits of each line lie strictly between those in its two end circles.

Digits may be repeated along a line where no house forbids it. Which end is the greater is not said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
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
from packbuilder.rules.shapes import Path, Ring, Shape
from packbuilder.rules.tools.cells import Where
from packbuilder.rules.tools.deducing import (
    beyond,
    bounded,
    conclusion,
    differing,
    losing,
    removals,
)
from packbuilder.rules.tools.fillings import few_ways
from packbuilder.rules.tools.lines import (
    Caution,
    Line,
    LineKind,
    either_way,
    paths,
    rings,
    ways_row,
)
from packbuilder.rules.tools.masks import (
    bit,
    digits_of,
    everything,
    keep,
    least,
    mask_of,
    most,
    up_to,
)
from packbuilder.rules.tools.words import cells as named
from packbuilder.rules.tools.words import number, takes_out


@dataclass(frozen=True)
class Between(Line):
    """A line from circle to circle, with digits between those of its ends on all other cells."""

    word = "between line"
    style = "thin"
    renaming = "reversal"

    @property
    def ends(self) -> tuple[int, int]:
        """The two cells with circles."""
        return self.cells[0], self.cells[-1]

    @property
    def inside(self) -> tuple[int, ...]:
        """The cells between."""
        return self.cells[1:-1]

    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it."""
        low, high = sorted(values[cell] for cell in self.ends)
        return all(low < values[cell] < high for cell in self.inside)

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The ends, and the cells between in any order."""
        return (Relation("between", (*self.ends, *self.inside), (0, 0) + (1,) * len(self.inside)),)

    def encode(self, clauses: Clauses) -> None:
        """One literal says which end is the lesser; then each cell is above it, below the other."""
        rising = clauses.new()
        first, last = self.cells[0], self.cells[-1]
        for cell in self.cells[1:-1]:
            for d in range(1, clauses.size + 1):
                for case, low, high in ((rising, first, last), (-rising, last, first)):
                    clauses.add(-case, -clauses.at_least(low, d), clauses.at_least(cell, d + 1))
                    clauses.add(-case, -clauses.at_least(cell, d), clauses.at_least(high, d + 1))

    def prune(self, masks: list[int], size: int) -> bool:
        """Keep what fits one of the two ways round."""
        ways = [way for way in _both_ways_round(self.cells, masks) if way]
        return keep(masks, self.cells, _union(ways) if ways else None)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """No extremes inside; bounds inwards and outwards; then which end is the lesser."""
        yield from self._inside(sight)
        yield from self._bounds(sight)
        yield from self._ends(sight)
        yield from self._span(sight)
        yield from self._order(sight)
        order = (*self.ends, *self.inside)
        yield from few_ways(self, "between-ways", order, _lies_between, sight)

    def shapes(self) -> tuple[Shape, ...]:
        """A thin line with a ring at each end."""
        first, last = self.ends
        return (Ring(first), Ring(last), Path(self.cells, "thin"))

    def _inside(self, sight: Sight) -> Iterator[Deduction]:
        out = bit(1) | bit(sight.size)
        wanted, digits = [(cell, out) for cell in self.inside], (1, sight.size)
        tell = partial(_tell_inside, self, sight.size)
        yield from conclusion(sight, "between-inside", self.inside, wanted, tell, digits)

    def _bounds(self, sight: Sight) -> Iterator[Deduction]:
        masks, size = sight.masks, sight.size
        low = min(least(masks[cell]) for cell in self.ends)
        high = max(most(masks[cell]) for cell in self.ends)
        for edge, out, side in (
            (high, everything(size) & ~up_to(high - 1), "most"),
            (low, up_to(low), "least"),
        ):
            removes = removals(masks, [(cell, out) for cell in self.inside])
            if removes and 1 < edge < size:
                cells = losing(removes)
                words = partial(_tell_bounds, self, edge, cells, side, size)
                yield Deduction("between-bounds", (*self.ends, *cells), (edge,), removes, words)

    def _ends(self, sight: Sight) -> Iterator[Deduction]:
        masks = sight.masks
        lowest = min(self.inside, key=lambda cell: most(masks[cell]))
        highest = max(self.inside, key=lambda cell: least(masks[cell]))
        low, high = most(masks[lowest]), least(masks[highest])
        out = up_to(high) & ~up_to(low - 1)  # nothing where the two leave a gap
        basis = tuple(dict.fromkeys((lowest, highest)))
        tell = partial(_tell_ends, basis, (low, high), sight.size)
        wanted, cells = [(cell, out) for cell in self.ends], (*basis, *self.ends)
        yield from conclusion(sight, "between-ends", cells, wanted, tell, digits_of(out))

    def _span(self, sight: Sight) -> Iterator[Deduction]:
        masks, size = sight.masks, sight.size
        group, house = differing(self.inside, sight.geometry)[0]
        gap = len(group) + 1
        wanted = []
        for end, other in (self.ends, self.ends[::-1]):
            low, high = least(masks[other]), most(masks[other])
            far = mask_of(d for d in digits_of(masks[end]) if d + gap <= high or d - gap >= low)
            wanted.append((end, masks[end] & ~far))
        cells, tell = (*self.ends, *group), partial(_tell_span, self, group, house, size)
        yield from conclusion(sight, "between-span", cells, wanted, tell, ())

    def _order(self, sight: Sight) -> Iterator[Deduction]:
        ways = _both_ways_round(self.cells, sight.masks)
        possible = [way for way in ways if way]
        if possible:
            wanted = beyond(self.cells, _union(possible), sight)
            lesser = None if len(possible) == 2 else self.cells[0] if ways[0] else self.cells[-1]
            tell = partial(_tell_order, self, lesser, sight.size)
            yield from conclusion(sight, "between-order", self.cells, wanted, tell, ())


def _lies_between(row: tuple[int, ...], digit: int) -> bool:
    """The two ends come first."""
    return len(row) < 2 or min(row[:2]) < digit < max(row[:2])


def _both_ways_round(cells: Sequence[int], masks: Sequence[int]) -> tuple[list[int], list[int]]:
    """What is left of the cells where the first, and where the last, is the lesser end."""
    return _rising(cells, masks), _rising(cells[::-1], masks)[::-1]


def _rising(cells: Sequence[int], masks: Sequence[int]) -> list[int]:
    """What is left of the cells where the first is the lesser end; empty if that cannot be."""
    first, last = masks[cells[0]], masks[cells[-1]]
    if not first or not last:
        return []
    floor = (first & -first).bit_length()
    above = -1 << floor
    below = (1 << (last.bit_length() - 1)) - 1
    inside = []
    top, bottom = last.bit_length() - 1, floor
    for cell in cells[1:-1]:
        mask = masks[cell] & above & below
        if not mask:
            return []
        inside.append(mask)
        top = min(top, mask.bit_length() - 1)
        bottom = max(bottom, (mask & -mask).bit_length())
    first &= (1 << top) - 1
    last &= -1 << bottom
    return [first, *inside, last] if first and last else []


def _union(ways: Sequence[Sequence[int]]) -> list[int]:
    found = list(ways[0])
    for way in ways[1:]:
        found = [one | other for one, other in zip(found, way, strict=True)]
    return found


def _tell_inside(line: Between, size: int, _: Removes) -> str:
    return (
        f"What lies between two digits is neither 1 nor {SYMBOLS[size]}, so neither of these is "
        f"between the circles {named(line.ends, size)}."
    )


def _tell_bounds(line: Between, edge: int, losing: tuple[int, ...], side: str, size: int) -> str:
    more, bound = ("more", edge - 1) if side == "most" else ("less", edge + 1)
    verb = "is" if len(losing) == 1 else "are"
    return (
        f"Neither circle of the {line.name(size)} is {more} than {SYMBOLS[edge]}, so "
        f"{named(losing, size)}, between them, {verb} {bounded(side, bound, size)}."
    )


def _tell_ends(basis: tuple[int, ...], bounds: tuple[int, int], size: int, removes: Removes) -> str:
    low, high = (SYMBOLS[d] for d in bounds)
    if len(basis) == 1:
        start = f"{cell_name(basis[0], size)}, on the between line, is {low}"
        rest = "One circle is less and the other more."
    else:
        one, other = (cell_name(cell, size) for cell in basis)
        start = f"On the between line {one} is at most {low} and {other} at least {high}"
        rest = "Each circle is less than both or more than both."
    return f"{start}. {rest} {takes_out(removes, size)}"


def _tell_span(
    line: Between, group: tuple[int, ...], house: str, size: int, removes: Removes
) -> str:
    if len(group) == 1:
        start = f"{cell_name(group[0], size)} lies between the circles {named(line.ends, size)}"
    else:
        all_in = "both in" if len(group) == 2 else "all in"
        start = (
            f"{number(len(group)).capitalize()} different digits, {all_in} {house}, lie between "
            f"the circles {named(line.ends, size)}"
        )
    return f"{start}, so these differ by at least {len(group) + 1}. {takes_out(removes, size)}"


def _tell_order(line: Between, lesser: int | None, size: int, removes: Removes) -> str:
    ends = named(line.ends, size)
    if lesser is None:
        return (
            f"Try the circles {ends} of the between line both ways: whichever is the lesser, some "
            f"digits never fit. {takes_out(removes, size)}"
        )
    greater = line.ends[1] if lesser == line.ends[0] else line.ends[0]
    return (
        f"Of the circles {ends}, {cell_name(greater, size)} cannot be the lesser: the between line "
        f"would have no room. So {cell_name(lesser, size)} is less than all cells of the line, and "
        f"{cell_name(greater, size)} more. {takes_out(removes, size)}"
    )


class BetweenLines(LineKind):
    """The rule."""

    slug = "between-lines"
    title = "Between lines"
    about = "The digits of each between line lie strictly between those in its two end circles."
    least = 3
    no_loop = "a between line lies between the digits of two circles, which cannot be one cell"
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("between-inside", "Between inside", 2, 5,
            "Neither the least nor the greatest digit lies between two others.",
            "The digits that lie between no two others."),
        Row("between-bounds", "Between bounds", 3, 6,
            "The circles of a between line bound the cells between them.",
            "Two circles that bound what lies between them."),
        Row("between-ends", "Between ends", 3, 7,
            "The cells of a between line keep its circles from the digits in their midst.",
            "What lies between two circles says what they are not."),
        Row("between-span", "Between span", 3, 10,
            "Different digits between two circles hold these apart.",
            "How far apart two circles must be."),
        Row("between-order", "Between order", 4, 16,
            "A between line has room for its digits with one of its circles as the lesser, not "
            "with the other.",
            "Which of two circles is the lesser."),
        ways_row("between-ways", "between line", 27),
    )  # fmt: skip
    example = """\
id: between-lines
title: Between lines
size: 6
grid: |
  .3..5.
  ..5...
  ....43
  ......
  ......
  .4....
rules:
  - between-lines:
      - r4c5 r5c6 r6c5
      - r4c3 r5c3 r5c2
      - r2c1 r3c2 r4c1
      - r1c5 r2c5 r2c6 r1c6
"""

    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """One line. Raises RuleFault where too many different digits would lie between."""
        group, house = differing(cells[1:-1], geometry)[0]
        if len(group) > geometry.size - 2:
            raise RuleFault(
                f"{len(group)} different digits of {house} would lie between the ends of this "
                f"line, and a grid of {geometry.size} digits has {geometry.size - 2} between its "
                f"least and its greatest",
                "make the line shorter, or bend it",
                path,
            )
        return Between(either_way(cells))

    def warnings(self, parts: Sequence[Part], size: int) -> list[Caution]:
        """Lines that run through the circle of another."""
        found: list[Caution] = []
        for part in parts:
            for other in parts:
                for end in (other.cells[0], other.cells[-1]):
                    if end in part.cells[1:-1]:
                        what = (
                            f"a between line runs through the circle at {cell_name(end, size)}, "
                            f"where a reader may think that it ends"
                        )
                        found.append((what, part.cells))
        return list(dict.fromkeys(found))

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        return Wording(
            "Each line joins two circles, in its first and its last cell. Every digit on the line "
            "between them is greater than the digit in one circle and less than the digit in the "
            "other. A digit may be repeated on a line where no other rule forbids it.",
            page="These lines are narrow bands.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Two digits between two others, and one that is not."""
        size, value = geometry.size, ["r1c1 r2c2 r2c3 r3c4"]
        low, high = (2, size - 1) if size > 5 else (1, size)
        third = (high - low) // 3
        one, other = low + third, low + 2 * third
        top = high if size > 5 else high - 1
        return Cases(
            Case(
                {"r1c1": high, "r2c2": one, "r2c3": other, "r3c4": low},
                f"{SYMBOLS[one]} and {SYMBOLS[other]} are greater than {low} and less than "
                f"{SYMBOLS[high]}.",
                value,
            ),
            Case(
                {"r1c1": top, "r2c2": one, "r2c3": size, "r3c4": low},
                f"{SYMBOLS[size]} is greater than the digits in both circles.",
                value,
                "r2c3",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Thin lines without a head, with a ring at both ends."""
        circles = rings(shapes, solid=False)
        return tuple(
            dict.fromkeys(
                Between(either_way(path.cells))
                for path in paths(shapes, "thin", geometry.size)
                if len(path.cells) > 2 and path.cells[0] in circles and path.cells[-1] in circles
            )
        )


KIND = BetweenLines()
