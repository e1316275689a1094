"""Small parts of rules for the tests of the proof: one for each way of writing clauses.

They are no rules of the program. `holds` says what each means; `prune` is as weak as the contract
allows (it looks when all cells are filled) unless the part says otherwise.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations, pairwise

from packbuilder.grid import Geometry, House, Values
from packbuilder.rules.contract import Clauses, Part
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Shape


class Lazy(Part):
    """A part that prunes by `holds` alone, once its cells are filled."""

    def prune(self, masks: list[int], size: int) -> bool:
        if any(masks[c] & (masks[c] - 1) for c in self.cells):
            return True
        values = [0] * len(masks)
        for cell in self.cells:
            values[cell] = masks[cell].bit_length()
        return all(values[c] for c in self.cells) and self.holds(tuple(values), size)

    def name(self, size: int) -> str:
        return f"{type(self).__name__.lower()} {self.cells}"

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        return ()

    def shapes(self) -> tuple[Shape, ...]:
        return ()


@dataclass(frozen=True)
class Cage(Lazy):
    """All different, with a sum: `one_set`."""

    cells: tuple[int, ...]
    total: int

    def holds(self, values: Values, size: int) -> bool:
        digits = [values[c] for c in self.cells]
        return sum(digits) == self.total and len(set(digits)) == len(digits)

    def encode(self, clauses: Clauses) -> None:
        choices = combinations(range(1, clauses.size + 1), len(self.cells))
        clauses.one_set(self.cells, (frozenset(c) for c in choices if sum(c) == self.total))

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        return (House("cage", "a cage", self.cells),)


def take(left: int, digit: int) -> int | None:
    return left - digit if left >= digit else None


def nothing_left(left: int) -> bool:
    return left == 0


@dataclass(frozen=True)
class Sum(Lazy):
    """A sum, digits may repeat: `automaton`."""

    cells: tuple[int, ...]
    total: int

    def holds(self, values: Values, size: int) -> bool:
        return sum(values[c] for c in self.cells) == self.total

    def encode(self, clauses: Clauses) -> None:
        clauses.automaton(self.cells, self.total, take, nothing_left)


@dataclass(frozen=True)
class Rising(Lazy):
    """Each cell more than the one before: `at_least`, `add`."""

    cells: tuple[int, ...]

    def holds(self, values: Values, size: int) -> bool:
        return all(values[a] < values[b] for a, b in pairwise(self.cells))

    def encode(self, clauses: Clauses) -> None:
        for a, b in pairwise(self.cells):
            for digit in range(1, clauses.size + 1):
                clauses.add(-clauses.at_least(a, digit), clauses.at_least(b, digit + 1))


@dataclass(frozen=True)
class Apart(Lazy):
    """Two cells at least ``by`` apart: `pairs`. Digits may be equal where ``by`` is 0."""

    cells: tuple[int, int]
    by: int

    def holds(self, values: Values, size: int) -> bool:
        return abs(values[self.cells[0]] - values[self.cells[1]]) >= self.by

    def encode(self, clauses: Clauses) -> None:
        clauses.pairs(*self.cells, lambda d, e: abs(d - e) >= self.by)


@dataclass(frozen=True)
class Table(Lazy):
    """One of these rows of digits: `allow`."""

    cells: tuple[int, ...]
    rows: tuple[tuple[int, ...], ...]

    def holds(self, values: Values, size: int) -> bool:
        return tuple(values[c] for c in self.cells) in self.rows

    def encode(self, clauses: Clauses) -> None:
        clauses.allow(self.cells, self.rows)


@dataclass(frozen=True)
class Same(Lazy):
    """All different and nothing more: a house."""

    houses_only = True

    cells: tuple[int, ...]

    def holds(self, values: Values, size: int) -> bool:
        return len({values[c] for c in self.cells}) == len(self.cells)

    def encode(self, clauses: Clauses) -> None:
        pass

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        return (House("extra", "an extra house", self.cells),)


def part_of(kind: str, solved: Values, size: int, draw: random.Random) -> Part:
    """A part of the kind in random cells that holds on a solved grid."""
    cells = draw.sample(range(size * size), draw.choice((2, 3)))
    digits = [solved[c] for c in cells]
    if kind == "sum":
        return Sum(tuple(cells), sum(digits))
    if kind == "apart":
        gap = abs(digits[0] - digits[1])
        return Apart((cells[0], cells[1]), draw.randint(0, gap))
    if kind == "table":
        others = [tuple(draw.randint(1, size) for _ in cells) for _ in range(4)]
        return Table(tuple(cells), (tuple(digits), *others))
    distinct = {d: c for c, d in zip(cells, digits, strict=True)}
    ordered = tuple(distinct[d] for d in sorted(distinct))
    if kind == "cage":
        return Cage(ordered, sum(distinct))
    return Rising(ordered) if kind == "rising" else Same(ordered)


KINDS = ("sum", "apart", "table", "cage", "rising", "same")


def parts_of(solved: Values, size: int, seed: int, kinds: Iterable[str] = KINDS) -> list[Part]:
    """Some random parts that hold on a solved grid: one of each kind."""
    draw = random.Random(seed)
    return [part_of(kind, solved, size, draw) for kind in kinds]
