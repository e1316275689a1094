"""Little sums: the digits along a diagonal, from an edge cell to the other edge, add up to a sum.

The sum stands outside the grid with a small arrow along the diagonal. Digits may repeat on it
where no house forbids that.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
    OPEN,
    Clauses,
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
from packbuilder.rules.shapes import Outside, Shape, Side
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import Where, items, mapping, number, one_cell, shown
from packbuilder.rules.tools.cells import cells as read_cells
from packbuilder.rules.tools.clue_words import clue, clues_of
from packbuilder.rules.tools.deducing import (
    Rest,
    all_but,
    bounded,
    conclusion,
    differing,
    losing,
    rests,
)  # fmt: skip
from packbuilder.rules.tools.flat_forms import FlatForm, Sums
from packbuilder.rules.tools.masks import keep, least, single
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
    reckons = True
    renaming = "reversal"

    def name(self, size: int) -> str:
        """``little sum 20 from r1c2 down-left``."""
        return f"little sum {self.total} from {cell_name(self.cells[0], size)} {self.towards}"

    def holds(self, values: Values, size: int) -> bool:
        """The sum."""
        return sum(values[cell] for cell in self.cells) == self.total

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The sum."""
        total = (size + 1) * len(self.cells) - self.total if turned else self.total
        return (Relation(f"sum {total}", self.cells),)

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
        return all(keep(masks, *pair) for pair in zip(self.groups, kept, strict=True))

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
        yield from self._combinations(sight)

    def shapes(self) -> tuple[Shape, ...]:
        """A number outside the grid, with an arrow."""
        return (Outside(self.side, self.index, str(self.total), self.towards),)

    def elsewhere(self) -> str:
        """It may stand at either end of its diagonal."""
        return f"give the sum of {self.total} from its diagonal's other end"

    def _last(self, sight: Sight, cell: int) -> Iterator[Deduction]:
        digit = self.total - sum(least(sight.masks[c]) for c in self.cells if c != cell)
        tell = partial(_tell_last, self, cell, digit, sight.size)
        wanted = [(cell, all_but(digit, sight.size))]
        yield from conclusion(sight, "diagonal-total", self.cells, wanted, tell, (digit,))

    def _bounds(self, sight: Sight) -> Iterator[Deduction]:
        """Cells for which the others leave the same bound are told together."""
        for rest in sorted(rests(self.cells, self.total, self.total, sight), reverse=True):
            tell = partial(_tell_bounds, self, rest, sight.size)
            wanted = rest.wanted(sight.size)
            yield from conclusion(sight, "diagonal-bounds", self.cells, wanted, tell, (rest.bound,))

    def _combinations(self, sight: Sight) -> Iterator[Deduction]:
        masks = sight.masks
        groups = [cells for cells, _ in differing(self.cells, sight.geometry)]
        found = tuple(tuple(masks[cell] for cell in cells) for cells in groups)
        kept = grouped(sight.size, self.total, found)
        if kept is not None:
            lost = {
                cell: masks[cell] & ~mask
                for pair in zip(groups, kept, strict=True)
                for cell, mask in zip(*pair, strict=True)
            }
            wanted = [(cell, lost[cell]) for cell in self.cells]
            tell = partial(_tell_combinations, self, sight)
            yield from conclusion(sight, "diagonal-combinations", self.cells, wanted, tell)


# Words.


def _sum_of(part: LittleSum, size: int) -> str:
    first, last = cell_name(part.cells[0], size), cell_name(part.cells[-1], size)
    return f"The diagonal from {first} to {last} adds up to {part.total}"


def _tell_last(part: LittleSum, cell: int, digit: int, size: int, _: Removes) -> str:
    rest = part.total - digit
    return (
        f"{_sum_of(part, size)}, and its other cells hold {rest}, so {cell_name(cell, size)} is "
        f"{SYMBOLS[digit]}."
    )


def _tell_bounds(part: LittleSum, rest: Rest, size: int, removes: Removes) -> str:
    cells, others = losing(removes), f"{rest.turned} {rest.others}"
    end = f"{bounded(rest.side, rest.bound, size)}."
    if len(cells) == 1:
        it = cell_name(cells[0], size)
        return f"{_sum_of(part, size)}. Without {it} the others make at {others}, so {it} is {end}"
    without, each = words.without_one(cells, size)
    return f"{_sum_of(part, size)}. {without} the others make at {others}: so {each} is {end}"


def _tell_combinations(part: LittleSum, sight: Sight, removes: Removes) -> str:
    ways = words.ways_to_that(removes, sight.masks, sight.size)
    return f"{_sum_of(part, sight.size)}. {ways}"


class LittleSums(Kind):
    """The rule."""

    slug = "little-sums"
    title = "Little sums"
    about = "A number with an arrow is the sum of the digits along its diagonal."
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("diagonal-total", "Diagonal total", 2, 8,
            "All digits of a diagonal with a sum are known but one, and the sum gives it.",
            "A diagonal with a sum and a single open cell."),
        Row("diagonal-bounds", "Diagonal bounds", 3, 12,
            "The other cells of a diagonal make at least so much and at most so much, which "
            "bounds each cell.",
            "How small, or how great, the rest of a diagonal with a sum can be."),
        Row("diagonal-combinations", "Diagonal combinations", 5, 14,
            "Of all ways to make the sum of a diagonal with the candidates that are left, none "
            "has a certain digit in a certain cell.",
            "The ways that are left to make the sum of a diagonal."),
    )  # fmt: skip
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

    def random_value(self, grid: Solved) -> Any:
        """A third of the diagonals, each from one end, no two with the same place outside."""
        size, found = grid.geometry.size, []
        places = set(grid.taken)
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

    def filled(self, value: Any, values: Values | None, geometry: Geometry) -> Any:
        """The sums of the diagonals."""
        if not isinstance(value, list):
            return value
        found = []
        for k, entry in enumerate(value):
            legible = isinstance(entry, dict) and entry.get("towards") in WAYS
            if not legible or entry.get("sum") != OPEN:
                found.append(entry)
                continue
            start = one_cell(entry.get("from"), geometry.size, (k, "from"))
            cells = _run(*divmod(start, geometry.size), entry["towards"], geometry.size)
            if values:
                found.append({**entry, "sum": str(sum(values[cell] for cell in cells))})
        return found or None

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``sum 20: r1c3 r2c2 r3c1``, from the edge on at which the sum stands."""
        sums = (part for part in parts if isinstance(part, LittleSum))
        return tuple(clue(f"sum {part.total}", part.cells, geometry.size) for part in sums)

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """A sum for each diagonal, of which all cells are told."""
        size, value, runs = geometry.size, [], []
        for one in clues_of(told):
            found = re.fullmatch(r"sum (\d+)", one.label)
            cells = read_cells(one.words, size, at_least=2)
            way = divmod(cells[1], size)[0] - cells[0] // size, cells[1] % size - cells[0] % size
            if not found or way not in WAYS.values():
                what = f"{one.label!r} is no sum of the cells of a diagonal"
                raise RuleFault(what, "write it like sum 20")
            towards = next(name for name, step in WAYS.items() if step == way)
            value.append({"sum": found[1], "from": cell_name(cells[0], size), "towards": towards})
            runs.append((cells, one.label))
        parts = self.read(value, geometry)
        for part, (cells, label) in zip(parts, runs, strict=True):
            if part.cells != cells:
                what = f"the cells of {label} are not those of its diagonal"
                raise RuleFault(what, f"they are {words.cells(part.cells, size)}")
        return parts

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        return Wording(
            "Each sum is that of the digits along a diagonal. Digits may repeat on a diagonal "
            "where no other rule forbids it.",
            page="The sum stands outside the grid, with an arrow that points along its diagonal.",
            text="The cells are told from the edge on at which the sum stands.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A diagonal of three cells."""
        one, middle, last = (2, 6, 4) if geometry.size > 5 else (2, 4, 1)
        total, more = one + middle + last, last + (1 if geometry.size > 5 else 2)
        value = [{"sum": str(total), "from": "r1c3", "towards": "down-left"}]
        return Cases(
            Case(
                {"r1c3": one, "r2c2": middle, "r3c1": last},
                f"{one} + {middle} + {last} = {total}.",
                value,
            ),
            Case(
                {"r1c3": one, "r2c2": middle, "r3c1": more},
                f"{one} + {middle} + {more} = {one + middle + more}, not {total}.",
                value,
                "r1c3 r2c2 r3c1",
            ),
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
    groups = tuple(together for together, _ in differing(cells, geometry))
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
    counts = [len(together) for together, _ in differing(cells, geometry)]
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
