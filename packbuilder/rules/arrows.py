"""Arrows: the digits on a shaft add up to the digit in its circle.

A digit may come twice on a shaft where no house forbids it. Several arrows may share a circle.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Any, ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
    Clauses,
    Clue,
    Deduction,
    Kind,
    Part,
    Removes,
    Row,
    RuleFault,
    Sight,
    Solved,
    Told,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Path, Ring, Shape
from packbuilder.rules.tools.cells import cells as read_cells
from packbuilder.rules.tools.cells import check_line, items, mapping, one_cell
from packbuilder.rules.tools.clue_words import numbered
from packbuilder.rules.tools.deducing import (
    Rest,
    all_but,
    beyond,
    bounded,
    conclusion,
    differing,
    losing,
    rests,
    sum_range,
)
from packbuilder.rules.tools.fillings import few_ways
from packbuilder.rules.tools.flat_forms import FlatForm, Sums
from packbuilder.rules.tools.lines import cell_list, is_loop, no_twin, paths, rings, ways_row
from packbuilder.rules.tools.masks import (
    bit,
    digits_of,
    everything,
    keep,
    least,
    most,
    single,
    up_to,
)
from packbuilder.rules.tools.random_clues import growing_line, random_lines, written
from packbuilder.rules.tools.sums import balance
from packbuilder.rules.tools.words import cells as named
from packbuilder.rules.tools.words import listed, takes_out, without_one

_EXAMPLE = '{circle: r1c1, shaft: "r1c2 r1c3"}'

_TOLD = 6
"""Sums that a sentence lists; more are not told one by one."""


@dataclass(frozen=True)
class Arrow(Part):
    """``cells`` are the circle and then the shaft, in order."""

    cells: tuple[int, ...]
    reckons = True

    @property
    def circle(self) -> int:
        """The cell of the circle."""
        return self.cells[0]

    @property
    def shaft(self) -> tuple[int, ...]:
        """The cells of the shaft, from the circle to the head."""
        return self.cells[1:]

    def name(self, size: int) -> str:
        """``arrow from r1c1 to r1c5``."""
        return f"arrow from {cell_name(self.cells[0], size)} to {cell_name(self.cells[-1], size)}"

    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it."""
        return values[self.circle] == sum(values[cell] for cell in self.shaft)

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The circle, and the shaft in any order."""
        return (Relation("arrow", self.cells, (0,) + (1,) * len(self.shaft)),)

    def encode(self, clauses: Clauses) -> None:
        """An automaton that takes the shaft's digits off the circle's."""
        clauses.automaton(self.cells, None, _take, _nothing_left)

    def prune(self, masks: list[int], size: int) -> bool:
        """Exact but for houses: the shaft less the circle makes nothing."""
        shaft, circle = (tuple([masks[c] for c in some]) for some in (self.shaft, self.cells[:1]))
        return keep(masks, (*self.shaft, self.circle), balance(size, 0, shaft, circle))

    def flat_forms(self, size: int) -> tuple[FlatForm, ...]:
        """What the shaft has, the circle takes off again."""
        return (Sums(self.shaft, 0, (self.circle,)),)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The last open cell; what the shaft adds up to at least and most; the sums that fit."""
        yield from self._total(sight)
        yield from self._circle_bounds(sight)
        yield from self._shaft_bounds(sight)
        yield from self._combinations(sight)
        yield from few_ways(self, "arrow-ways", self.cells, self._adds_up, sight)

    def shapes(self) -> tuple[Shape, ...]:
        """A ring, and from its centre a thin line with a head."""
        return (Ring(self.circle), Path(self.cells, "thin", head=True))

    def _adds_up(self, row: tuple[int, ...], digit: int) -> bool:
        left = row[0] - sum(row[1:]) - digit if row else digit
        return left == 0 if len(row) == len(self.shaft) else left > 0

    def _total(self, sight: Sight) -> Iterator[Deduction]:
        masks = sight.masks
        opened = [cell for cell in self.cells if not single(masks[cell])]
        if len(opened) != 1:
            return
        cell = opened[0]
        known = {c: least(masks[c]) for c in self.cells if c != cell}
        rest = sum(known[c] for c in self.shaft if c != cell)
        digit = rest if cell == self.circle else known[self.circle] - rest
        tell = partial(_tell_total, self, known, cell, digit, sight.size)
        wanted = [(cell, all_but(digit, sight.size))]
        yield from conclusion(sight, "arrow-total", self.cells, wanted, tell, (digit,))

    def _circle_bounds(self, sight: Sight) -> Iterator[Deduction]:
        size, groups = sight.size, [group for group, _ in differing(self.shaft, sight.geometry)]
        low, high = sum_range(groups, sight)
        for bound, out, side in (
            (low, up_to(low - 1), "least"),
            (high, everything(size) & ~up_to(high), "most"),
        ):
            if 1 <= bound <= size:
                tell = partial(_tell_circle, self, bound, side, size)
                wanted = [(self.circle, out)]
                yield from conclusion(sight, "arrow-bounds", self.cells, wanted, tell, (bound,))

    def _shaft_bounds(self, sight: Sight) -> Iterator[Deduction]:
        """Cells for which the rest of the shaft leaves the same bound are told together."""
        size, circle = sight.size, sight.masks[self.circle]
        low, high = least(circle), most(circle)
        for rest in rests(self.shaft, low, high, sight):
            edge = SYMBOLS[high if rest.side == "most" else low]
            start = edge if low == high else f"at {rest.side} {edge}"
            tell, wanted = partial(_tell_shaft, self, start, rest, size), rest.wanted(size)
            yield from conclusion(sight, "arrow-bounds", self.cells, wanted, tell, (rest.bound,))

    def _combinations(self, sight: Sight) -> Iterator[Deduction]:
        masks = tuple(sight.masks[cell] for cell in self.cells)
        apart = tuple(
            tuple(j for j in range(k) if self.cells[j] in sight.geometry.peers[cell])
            for k, cell in enumerate(self.cells)
        )
        kept = _support(masks, apart)
        if kept[0]:
            wanted = beyond(self.cells, kept, sight)
            tell = partial(_tell_combinations, self, (masks, apart), sight.size)
            yield from conclusion(sight, "arrow-combinations", self.cells, wanted, tell)


def _take(left: int | None, digit: int) -> int | None:
    """What is left of the circle's digit: the circle comes first, then the shaft."""
    if left is None:
        return digit
    return left - digit if left >= digit else None


def _nothing_left(left: int | None) -> bool:
    return left == 0


@lru_cache(maxsize=1 << 14)
def _support(masks: tuple[int, ...], apart: tuple[tuple[int, ...], ...]) -> tuple[int, ...]:
    """What is left of the masks if only digits of some way to fill the arrow are kept."""
    kept = (0,) * len(masks)
    for row in _rows(masks, apart):
        kept = tuple(mask | bit(d) for mask, d in zip(kept, row, strict=True))
        if kept == masks:
            break
    return kept


def _rows(masks: tuple[int, ...], apart: tuple[tuple[int, ...], ...]) -> Iterator[tuple[int, ...]]:
    """All ways to fill an arrow. ``apart[k]`` are the earlier cells that cell k differs from."""
    count = len(masks)
    floors = [0] * (count + 1)
    ceilings = [0] * (count + 1)
    for k in range(count - 1, 0, -1):
        floors[k] = floors[k + 1] + least(masks[k])
        ceilings[k] = ceilings[k + 1] + most(masks[k])

    def fill(row: tuple[int, ...], left: int) -> Iterator[tuple[int, ...]]:
        k = len(row)
        if k == count:
            yield row
            return
        for d in digits_of(masks[k]):
            rest = left - d
            if floors[k + 1] <= rest <= ceilings[k + 1] and all(row[j] != d for j in apart[k]):
                yield from fill((*row, d), rest)

    for total in digits_of(masks[0]):
        if floors[1] <= total <= ceilings[1]:
            yield from fill((total,), total)


# Words.


def _tell_total(
    arrow: Arrow, known: dict[int, int], cell: int, digit: int, size: int, _: Removes
) -> str:
    circle, it = cell_name(arrow.circle, size), cell_name(cell, size)
    others = [c for c in arrow.shaft if c != cell]
    sum_of = " + ".join(SYMBOLS[known[c]] for c in others)
    if cell == arrow.circle:
        if len(others) == 1:
            return f"The circle {it} equals the one cell of its shaft, so {it} is {SYMBOLS[digit]}."
        return f"The shaft of the arrow from {it} adds up to {sum_of}, so {it} is {SYMBOLS[digit]}."
    total = SYMBOLS[known[arrow.circle]]
    if not others:
        return f"The circle {circle} is {total} and {it} is its whole shaft, so {it} is {total}."
    held = sum_of if len(others) == 1 else f"{sum_of} = {sum(known[c] for c in others)}"
    return (
        f"The circle {circle} is {total}, and the other digits of its shaft make {held}, so {it} "
        f"is {SYMBOLS[digit]}."
    )


def _tell_circle(arrow: Arrow, bound: int, side: str, size: int, _: Removes) -> str:
    circle, shaft = cell_name(arrow.circle, size), named(arrow.shaft, size)
    if len(arrow.shaft) == 1:
        start = f"{shaft}, the whole shaft of the arrow, is at {side} {SYMBOLS[bound]}"
    else:
        start = f"On the arrow, {shaft} add up to at {side} {bound}"
    return f"{start}, so the circle {circle} is {bounded(side, bound, size)}."


def _tell_shaft(arrow: Arrow, start: str, rest: Rest, size: int, removes: Removes) -> str:
    cells, end = losing(removes), bounded(rest.side, rest.bound, size)
    it, others = named(cells, size), f"{rest.turned} {rest.others}"
    start = f"The circle {cell_name(arrow.circle, size)} is {start}"
    if len(arrow.shaft) == 1:
        return f"{start}, and {it} is its whole shaft: {end} too."
    if len(cells) == 1:
        return f"{start}, and without {it} its shaft makes at {others}, so {it} is {end}."
    without, each = without_one(cells, size)
    return f"{start}. {without} its shaft makes at {others}: so {each} is {end}."


def _tell_combinations(
    arrow: Arrow,
    cells: tuple[tuple[int, ...], tuple[tuple[int, ...], ...]],
    size: int,
    removes: Removes,
) -> str:
    sums = sorted({(row[0], *sorted(row[1:])) for row in _rows(*cells)})
    circle = cell_name(arrow.circle, size)
    if len(arrow.shaft) == 1:
        start = f"The circle {circle} equals {cell_name(arrow.shaft[0], size)}, its whole shaft"
    elif len(sums) > _TOLD:
        start = f"Some digits fit no sum of the arrow from {circle}"
    else:
        told = (
            f"{' + '.join(SYMBOLS[d] for d in shaft)} = {SYMBOLS[total]}" for total, *shaft in sums
        )
        start = f"As its cells stand, the arrow from {circle} can only be {listed(told, 'or')}"
    return f"{start}. {takes_out(removes, size)}"


class Arrows(Kind):
    """The rule."""

    slug = "arrows"
    title = "Arrows"
    about = "The digits on each arrow's shaft add up to the digit in its circle."
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("arrow-total", "Arrow total", 2, 8,
            "All cells of an arrow but one are known, and the sum gives the last.",
            "An arrow with a single open cell."),
        Row("arrow-bounds", "Arrow bounds", 3, 6,
            "The shaft of an arrow adds up to at least so much and at most so much; that bounds "
            "the circle, and the circle bounds each cell of the shaft.",
            "How small, or how great, the sum of an arrow can be."),
        Row("arrow-combinations", "Arrow combinations", 4, 16,
            "Of all the sums that an arrow could make, those that its candidates allow leave out "
            "some digits.",
            "The few sums that are left for an arrow."),
        ways_row("arrow-ways", "arrow", 27),
    )  # fmt: skip
    example = """\
id: arrows
title: Arrows
size: 6
grid: |
  ......
  ...6..
  ..5...
  ......
  ......
  ......
rules:
  - arrows:
      - {circle: r4c5, shaft: r5c5 r6c4}
      - {circle: r5c1, shaft: r5c2 r5c3 r5c4}
      - {circle: r4c1, shaft: r3c1 r2c2}
      - {circle: r1c6, shaft: r2c6 r2c5}
      - {circle: r2c4, shaft: r3c5 r3c6}
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The arrows as written. Raises RuleFault."""
        size = geometry.size
        parts: list[Part] = []
        for k, entry in enumerate(items(value, f"[{_EXAMPLE}]")):
            keys = mapping(entry, ("circle", "shaft"), _EXAMPLE, (k,), ("circle", "shaft"))
            circle = one_cell(keys["circle"], size, (k, "circle"))
            shaft = read_cells(keys["shaft"], size, (k, "shaft"))
            if is_loop((circle, *shaft)):
                raise RuleFault(
                    f"the arrow comes back to its circle {cell_name(circle, size)}, but a shaft "
                    "leads away from the circle, whose digit is no part of its own sum",
                    "end the shaft one cell earlier",
                    (k, "shaft"),
                )
            if circle in shaft:
                raise RuleFault(
                    f"{cell_name(circle, size)} is the circle and lies on the shaft too",
                    "let the shaft begin with the cell after the circle",
                    (k, "shaft"),
                )
            check_line((circle, *shaft), size, (k, "shaft"))
            _check_sum(circle, shaft, geometry, (k,))
            parts.append(Arrow((circle, *shaft)))
            no_twin(parts, (k,))
        return tuple(parts)

    def schema(self) -> dict[str, Any]:
        """A list of mappings."""
        cell = {"type": "string", "pattern": r"^\s*r[0-9]{1,2}c[0-9]{1,2}\s*$"}
        return {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "properties": {"circle": cell, "shaft": cell_list(1)},
                "required": ["circle", "shaft"],
                "additionalProperties": False,
            },
        }

    def random_value(self, grid: Solved) -> Any:
        """Arrows on almost half of the free cells."""
        size = grid.geometry.size

        def begins(digits: Sequence[int]) -> bool:
            return sum(digits[1:]) <= digits[0]

        def holds(cells: tuple[int, ...]) -> bool:
            return Arrow(cells).holds(grid.values, size)

        found = random_lines(grid, (3, 4), partial(growing_line, may=begins), holds)
        arrows = ((written(cells[:1], size), written(cells[1:], size)) for cells in found)
        return [{"circle": circle, "shaft": shaft} for circle, shaft in arrows] or None

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``1: circle r1c1, shaft r1c2 r1c3``."""
        told = []
        for k, part in enumerate(parts, start=1):
            circle, *shaft = (cell_name(cell, geometry.size) for cell in part.cells)
            told.append(Clue(str(k), (f"circle {circle},", "shaft", *shaft)))
        return tuple(told)

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """Numbered arrows, each a circle and a shaft."""
        value = []
        for k, words in enumerate(numbered(told), start=1):
            found = re.fullmatch(r"circle (\S+), shaft (.+)", words)
            if not found:
                raise RuleFault(f"arrow {k} has no circle and shaft", "name its cells")
            value.append({"circle": found[1], "shaft": found[2]})
        return self.read(value, geometry)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        return Wording(
            "The digits along the shaft of each arrow add up to the digit in its circle. A digit "
            "may be repeated on a shaft where no other rule forbids it.",
            text="Shafts are told from the circle on.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A sum that is right, and one that falls short."""
        whole = min(geometry.size, 9)
        one = whole // 2 + 1
        other = whole - one
        less, rest = (one, other - 1) if other > 1 else (one - 1, other)
        value = [{"circle": "r1c1", "shaft": "r2c2 r2c3"}]
        return Cases(
            Case({"r1c1": whole, "r2c2": one, "r2c3": other}, f"{one} + {other} = {whole}.", value),
            Case(
                {"r1c1": whole, "r2c2": less, "r2c3": rest},
                f"{less} + {rest} = {less + rest}, and the circle has {whole}.",
                value,
                "r2c2 r2c3",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Thin lines with a head that start at a ring."""
        circles = rings(shapes, solid=False)
        found = paths(shapes, "thin", geometry.size, head=True)
        return tuple(Arrow(path.cells) for path in found if path.cells[0] in circles)


def _check_sum(
    circle: int, shaft: tuple[int, ...], geometry: Geometry, path: tuple[str | int, ...]
) -> None:
    """Raise RuleFault where no digits could ever add up."""
    size = geometry.size
    if len(shaft) == 1 and shaft[0] in geometry.peers[circle]:
        raise RuleFault(
            f"the shaft is {cell_name(shaft[0], size)} alone, which can never equal the circle "
            f"{cell_name(circle, size)}, for the two share a house",
            "make the shaft longer",
            path,
        )
    sums = sum(len(group) * (len(group) + 1) // 2 for group, _ in differing(shaft, geometry))
    if sums > size:
        raise RuleFault(
            f"the shaft's {len(shaft)} cells add up to {sums} or more, and no digit goes past "
            f"{size}",
            "make the shaft shorter",
            path,
        )


KIND = Arrows()
