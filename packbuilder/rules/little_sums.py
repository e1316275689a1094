"""Little sums: the digits along a diagonal, from an edge cell to the other edge, add up to a sum.

The sum stands outside the grid with a small arrow along the diagonal. Digits may repeat on it
where no house forbids that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.contract import Clauses, Deduction, Kind, Part, Row, RuleFault, Sight, Solved
from packbuilder.rules.shapes import Outside, Shape, Side
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import Where, items, mapping, number, one_cell, shown
from packbuilder.rules.tools.flat_forms import FlatForm, Sums
from packbuilder.rules.tools.lines import crowds, struck
from packbuilder.rules.tools.masks import bit, everything, least, most, single
from packbuilder.rules.tools.order_sums import adds_up
from packbuilder.rules.tools.random_clues import shuffled
from packbuilder.rules.tools.schema import CELL, group, listing
from packbuilder.rules.tools.sums import grouped

_WRITTEN = "[{sum: 20, from: r1c2, towards: down-left}]"

WAYS = {"down-right": (1, 1), "down-left": (1, -1), "up-right": (-1, 1), "up-left": (-1, -1)}
"""Rows down and columns right of a step along a diagonal."""


@dataclass(frozen=True)
class LittleSum(Part):
    """``cells`` from the edge on; ``groups`` are those that cannot be equal, for the proofs."""

    cells: tuple[int, ...]
    total: int
    side: Side
    index: int
    towards: str
    groups: tuple[tuple[int, ...], ...] = field(default=(), compare=False, repr=False)

    def name(self, size: int) -> str:
        """``little sum 20 from r1c2 down-left``."""
        return f"little sum {self.total} from {cell_name(self.cells[0], size)} {self.towards}"

    def holds(self, values: Values, size: int) -> bool:
        """The sum."""
        return sum(values[cell] for cell in self.cells) == self.total

    def encode(self, clauses: Clauses) -> None:
        """Bounds on the sums of more and more of its cells."""
        adds_up(clauses, self.groups, self.total)

    def prune(self, masks: list[int], size: int) -> bool:
        """Exact but for repeats between groups."""
        kept = grouped(
            size, self.total, tuple([tuple([masks[c] for c in cells]) for cells in self.groups])
        )
        if kept is None:
            return False
        for cells, found in zip(self.groups, kept, strict=True):
            for cell, mask in zip(cells, found, strict=True):
                masks[cell] = mask
        return True

    def flat_forms(self, size: int) -> tuple[FlatForm, ...]:
        """The sum."""
        return (Sums(self.cells, self.total),)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The last open cell; what the others make at least and at most; all ways."""
        masks = sight.masks
        opened = [cell for cell in self.cells if not single(masks[cell])]
        if not opened:
            return
        if len(opened) == 1:
            yield from self._last(sight, opened[0])
            return
        yield from self._bounds(sight)
        yield from self._ways(sight)

    def shapes(self) -> tuple[Shape, ...]:
        """A number outside the grid, with an arrow."""
        return (Outside(self.side, self.index, str(self.total), self.towards),)

    def _last(self, sight: Sight, cell: int) -> Iterator[Deduction]:
        known = {c: least(sight.masks[c]) for c in self.cells if c != cell}
        digit = self.total - sum(known.values())
        if 1 <= digit <= sight.size and sight.masks[cell] & bit(digit):
            removes = struck(sight.masks, [(cell, everything(sight.size) & ~bit(digit))])
            tell = partial(_tell_last, self, cell, digit, sight.size)
            yield Deduction("diagonal-total", self.cells, (digit,), removes, tell)

    def _bounds(self, sight: Sight) -> Iterator[Deduction]:
        """Cells for which the others leave the same bound are told together."""
        groups = [cells for cells, _ in crowds(self.cells, sight.geometry)]
        full = everything(sight.size)
        alike: dict[tuple[str, int, int], list[int]] = {}
        for cell in self.cells:
            low, high = _range([[c for c in g if c != cell] for g in groups], sight)
            alike.setdefault(("most", low, self.total - low), []).append(cell)
            alike.setdefault(("least", high, self.total - high), []).append(cell)
        for (side, others, bound), cells in sorted(alike.items(), reverse=True):
            if not 1 <= bound <= sight.size:
                continue
            out = full & ~((1 << bound) - 1) if side == "most" else (1 << bound - 1) - 1
            removes = struck(sight.masks, [(cell, out) for cell in cells])
            if removes:
                tell = partial(_tell_bounds, self, side, others, bound, removes, sight.size)
                yield Deduction("diagonal-bounds", self.cells, (bound,), removes, tell)

    def _ways(self, sight: Sight) -> Iterator[Deduction]:
        groups = [cells for cells, _ in crowds(self.cells, sight.geometry)]
        kept = grouped(
            sight.size,
            self.total,
            tuple(tuple(sight.masks[cell] for cell in cells) for cells in groups),
        )
        if kept is None:
            return
        wanted = {
            cell: sight.masks[cell] & ~mask
            for cells, masks in zip(groups, kept, strict=True)
            for cell, mask in zip(cells, masks, strict=True)
        }
        removes = struck(sight.masks, [(cell, wanted[cell]) for cell in self.cells])
        if removes:
            digits = tuple(sorted({d for _, d in removes}))
            tell = partial(_tell_ways, self, removes, sight)
            yield Deduction("diagonal-combinations", self.cells, digits, removes, tell)


def _range(groups: Sequence[Sequence[int]], sight: Sight) -> tuple[int, int]:
    """What cells add up to at least and at most, in groups that cannot repeat a digit."""
    low = high = 0
    for cells in groups:
        floor, ceiling = 0, sight.size + 1
        for d in sorted(least(sight.masks[cell]) for cell in cells):
            floor = max(d, floor + 1)
            low += floor
        for d in sorted((most(sight.masks[cell]) for cell in cells), reverse=True):
            ceiling = min(d, ceiling - 1)
            high += ceiling
    return low, high


# Words.


def _sum_of(part: LittleSum, size: int) -> str:
    first, last = cell_name(part.cells[0], size), cell_name(part.cells[-1], size)
    return f"The diagonal from {first} to {last} adds up to {part.total}"


def _tell_last(part: LittleSum, cell: int, digit: int, size: int) -> str:
    rest = part.total - digit
    return (
        f"{_sum_of(part, size)}, and its other cells hold {rest}, so {cell_name(cell, size)} is "
        f"{SYMBOLS[digit]}."
    )


def _tell_bounds(
    part: LittleSum,
    side: str,
    others: int,
    bound: int,
    removes: tuple[tuple[int, int], ...],
    size: int,
) -> str:
    losing = tuple(dict.fromkeys(cell for cell, _ in removes))
    turned = "least" if side == "most" else "most"
    if len(losing) == 1:
        it = cell_name(losing[0], size)
        return (
            f"{_sum_of(part, size)}. Without {it} its cells make at {turned} {others}, so {it} is "
            f"at {side} {SYMBOLS[bound]}."
        )
    return (
        f"{_sum_of(part, size)}. Without any one of {words.cells(losing, size)} the others make at "
        f"{turned} {others}, so each of these is at {side} {SYMBOLS[bound]}."
    )


def _tell_ways(part: LittleSum, removes: tuple[tuple[int, int], ...], sight: Sight) -> str:
    ways = words.ways_to_that(removes, sight.masks, sight.size)
    return f"{_sum_of(part, sight.size)}. {ways}"


class LittleSums(Kind):
    """The rule."""

    slug = "little-sums"
    title = "Little sums"
    about = "A number with an arrow is the sum of the digits along its diagonal."
    techniques: ClassVar[tuple[Row, ...]] = (
        Row(
            "diagonal-total",
            "Diagonal total",
            2,
            8,
            "All digits of a diagonal with a sum are known but one, and the sum gives it.",
            "A diagonal with a sum and a single open cell.",
        ),
        Row(
            "diagonal-bounds",
            "Diagonal bounds",
            3,
            12,
            "The other cells of a diagonal make at least so much and at most so much, which bounds "
            "each cell.",
            "How small, or how great, the rest of a diagonal with a sum can be.",
        ),
        Row(
            "diagonal-combinations",
            "Diagonal combinations",
            5,
            14,
            "Of all ways to make the sum of a diagonal with the candidates that are left, none has "
            "a certain digit in a certain cell.",
            "The ways that are left to make the sum of a diagonal.",
        ),
    )
    example = """\
id: little-sums
title: Little Sums
size: 6
grid: |
  .....1
  ......
  ...6..
  ......
  ......
  .....3
rules:
  - little-sums:
      - {sum: 12, from: r1c3, towards: down-right}
      - {sum: 22, from: r6c1, towards: up-right}
      - {sum: 9, from: r6c4, towards: up-right}
      - {sum: 18, from: r6c5, towards: up-left}
      - {sum: 24, from: r6c6, towards: up-left}
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The sums as written. Raises RuleFault."""
        size = geometry.size
        found: list[LittleSum] = []
        for k, entry in enumerate(items(value, _WRITTEN)):
            keys = ("sum", "from", "towards")
            given = mapping(entry, keys, _WRITTEN[1:-1], (k,), keys)
            start = one_cell(given["from"], size, (k, "from"))
            towards = given["towards"].strip() if isinstance(given["towards"], str) else ""
            if towards not in WAYS:
                raise RuleFault(
                    f"{shown(given['towards'])} is no direction of a diagonal",
                    f"write {words.listed(WAYS, 'or')}",
                    (k, "towards"),
                )
            cells = _diagonal(start, towards, size, (k,))
            total = _total(given["sum"], cells, geometry, (k, "sum"))
            _no_other(found, cells, total, size, (k,))
            found.append(_part(cells, total, towards, geometry))
        return tuple(found)

    def schema(self) -> dict[str, Any]:
        """A list of mappings."""
        total = {"type": "integer", "minimum": 1}
        fields = {"sum": total, "from": CELL, "towards": {"enum": list(WAYS)}}
        return listing(group(fields, ("sum", "from", "towards")))

    def deal(self, grid: Solved) -> Any:
        """A third of the diagonals, each from one end, no two with the same place outside."""
        size, found = grid.geometry.size, []
        places: set[tuple[Side, int]] = set()
        diagonals: set[frozenset[int]] = set()
        for start, towards in shuffled(_entrances(size), grid.draw):
            cells = _run(*divmod(start, size), towards, size)
            total = sum(grid.values[cell] for cell in cells)
            part = _part(cells, total, towards, grid.geometry)
            place = (part.side, part.index)
            if len(cells) > 1 and place not in places and frozenset(cells) not in diagonals:
                places.add(place)
                diagonals.add(frozenset(cells))
                found.append((start, towards, total))
        return [
            {"sum": str(total), "from": cell_name(start, size), "towards": towards}
            for start, towards, total in sorted(found[: size + 2])
        ]

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """The rule in words."""
        return (
            "A number with an arrow outside the grid is the sum of the digits along the diagonal "
            "that the arrow points down. Digits may repeat on a diagonal where no other rule "
            "forbids it."
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Numbers with a slanted arrow."""
        found: list[Part] = []
        for shape in shapes:
            if isinstance(shape, Outside) and shape.towards in WAYS and shape.text.isdecimal():
                cells = _from_outside(shape, geometry.size)
                if len(cells) > 1:
                    found.append(_part(cells, int(shape.text), shape.towards, geometry))
        return tuple(found)


def _part(cells: tuple[int, ...], total: int, towards: str, geometry: Geometry) -> LittleSum:
    size = geometry.size
    down, right = WAYS[towards]
    row, column = cells[0] // size - down, cells[0] % size - right
    side: Side = "left" if column < 0 else "right"
    index = row
    if not 0 <= row < size:
        side, index = "top" if row < 0 else "bottom", column
    groups = tuple(together for together, _ in crowds(cells, geometry))
    return LittleSum(cells, total, side, index, towards, groups)


def _run(row: int, column: int, towards: str, size: int) -> tuple[int, ...]:
    """The cells from a cell on to the edge of the grid."""
    down, right = WAYS[towards]
    cells: list[int] = []
    while 0 <= row < size and 0 <= column < size:
        cells.append(row * size + column)
        row, column = row + down, column + right
    return tuple(cells)


def _entrances(size: int) -> Iterator[tuple[int, str]]:
    """All cells at the edge with the directions in which a diagonal enters the grid there."""
    for start in range(size**2):
        row, column = divmod(start, size)
        for towards, (down, right) in WAYS.items():
            if not (0 <= row - down < size and 0 <= column - right < size):
                yield start, towards


def _from_outside(shape: Outside, size: int) -> tuple[int, ...]:
    """The diagonal of a printed number; none if its arrow leads past the grid."""
    down, right = WAYS[shape.towards or ""]
    row, column = {
        "top": (-1, shape.index),
        "bottom": (size, shape.index),
        "left": (shape.index, -1),
        "right": (shape.index, size),
    }[shape.side]
    return _run(row + down, column + right, shape.towards or "", size)


# Reading.


def _diagonal(start: int, towards: str, size: int, path: Where) -> tuple[int, ...]:
    down, right = WAYS[towards]
    row, column = start // size, start % size
    if 0 <= row - down < size and 0 <= column - right < size:
        raise RuleFault(
            f"{cell_name(start, size)} is not where a diagonal {towards} enters the grid",
            "begin at the edge cell that the arrow points at",
            (*path, "from"),
        )
    cells = _run(row, column, towards, size)
    if len(cells) == 1:
        raise RuleFault(
            f"the diagonal {towards} from {cell_name(start, size)} is that cell alone",
            "turn the arrow into the grid, or give the digit as a clue",
            path,
        )
    return cells


def _total(value: Any, cells: tuple[int, ...], geometry: Geometry, path: Where) -> int:
    size = geometry.size
    total = number(value, 0, 10**9 - 1, "the sum", path)
    counts = [len(together) for together, _ in crowds(cells, geometry)]
    low = sum(n * (n + 1) // 2 for n in counts)
    high = sum(n * (2 * size + 1 - n) // 2 for n in counts)
    if not low <= total <= high:
        raise RuleFault(
            f"no digits make {total} on the {words.number(len(cells))} cells from "
            f"{cell_name(cells[0], size)} to {cell_name(cells[-1], size)}",
            f"they make {low} to {high}",
            path,
        )
    return total


def _no_other(
    found: Sequence[LittleSum], cells: tuple[int, ...], total: int, size: int, path: Where
) -> None:
    for k, part in enumerate(found):
        if part.cells == cells or (part.cells == cells[::-1] and part.total != total):
            ends = words.cells((cells[0], cells[-1]), size)
            raise RuleFault(
                f"the diagonal between {ends} has a sum already, in number {k + 1}",
                "give it one sum",
                path,
            )


KIND = LittleSums()
