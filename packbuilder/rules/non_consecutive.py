"""Non-consecutive: cells that share a side never hold consecutive digits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from packbuilder.grid import Geometry, Values
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import Clauses, Part, Row, Wording
from packbuilder.rules.relations import Relation
from packbuilder.rules.tools.bare import NO_CLUES, BareKind
from packbuilder.rules.tools.cells import edges
from packbuilder.rules.tools.neighbours import ForbiddenPairs


@dataclass(frozen=True)
class NonConsecutive(ForbiddenPairs):
    """No two consecutive digits side by side, anywhere in the grid."""

    techniques: ClassVar[tuple[str, str, str, str]] = (
        "neighbour", "neighbour-of-either", "neighbour-without-place", "neighbour-orders",
    )  # fmt: skip
    why_here: ClassVar[str] = "neighbours are never consecutive"
    why_everywhere: ClassVar[str] = why_here
    renaming = "reversal"

    @staticmethod
    def clash(a: int, b: int) -> bool:
        """Consecutive digits."""
        return a - b in (1, -1)

    def why(self, of: int, beside: Sequence[int], size: int) -> str:
        """The rule itself."""
        return "cells side by side are never consecutive"

    def name(self, size: int) -> str:
        """``rule of no consecutive neighbours``."""
        return "rule of no consecutive neighbours"

    def holds(self, values: Values, size: int) -> bool:
        """No cell is one away from the cell to its right or the one below it."""
        rows = [values[k : k + size] for k in range(0, size * size, size)]
        columns = zip(*rows, strict=True)
        return not any(
            abs(one - other) == 1 for line in (*rows, *columns) for one, other in pairwise(line)
        )

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """Neighbours."""
        return tuple(Relation("not consecutive", pair) for pair in self.pairs)

    def encode(self, clauses: Clauses) -> None:
        """For each edge and each digit: not this here and the next one there."""
        for a, b in self.pairs:
            for d in range(1, clauses.size):
                clauses.add(-clauses.digit(a, d), -clauses.digit(b, d + 1))
                clauses.add(-clauses.digit(a, d + 1), -clauses.digit(b, d))


class NonConsecutiveKind(BareKind):
    """Neighbours are never consecutive."""

    slug = "non-consecutive"
    title = "Non-consecutive"
    about = "Cells that share a side never hold consecutive digits."
    example = """\
id: non-consecutive
title: Non-consecutive
size: 6
grid: |
  ......
  ....2.
  ......
  .4...3
  ......
  ......
rules:
  - non-consecutive
"""
    techniques = (
        Row("neighbour", "Neighbour", 2, 5,
            "A placed digit takes the digits just below and above it out of the cells beside it.",
            "A digit rules out the digits next to it in the cells beside it."),
        Row("neighbour-of-either", "Neighbour of either", 3, 10,
            "A cell has two or three digits left, and each of them would rule out the same digit "
            "beside it.",
            "Whichever digit a cell takes, the same digit is ruled out beside it."),
        Row("neighbour-without-place", "Neighbour without a place", 4, 18,
            "A digit's few places in a house lie so close together that a consecutive digit in or "
            "beside them all would leave it none.",
            "The few places of a digit lie so close that a consecutive digit would block them "
            "all."),
        Row("neighbour-orders", "Orders of a line", 6, 39,
            "A row or column is gone through in all its orders; a digit that no order without "
            "consecutive neighbours puts into a cell goes.",
            "A row or column whose digits can be put in few orders."),
    )  # fmt: skip

    def whole(self, geometry: Geometry) -> tuple[Part, ...]:
        """One part, for all edges."""
        return (NonConsecutive(tuple(range(geometry.cell_count)), tuple(edges(geometry.size))),)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule, with an example in digits that the grid has."""
        means = "Cells that share a side never hold consecutive digits"
        beside = ": beside a 4 stands neither a 3 nor a 5" if size > 4 else ""
        return Wording(f"{means}{beside}.", text=NO_CLUES)

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A digit with two neighbours that touch each other at a corner only."""
        low, beside, below = 2, min(geometry.size, 6), min(geometry.size, 6) - 1
        return Cases(
            Case(
                {"r1c1": low, "r1c2": beside, "r2c1": below},
                f"{beside} and {below} are consecutive, but touch at a corner only.",
            ),
            Case(
                {"r1c1": low, "r1c2": beside, "r2c1": low + 1},
                f"{low} and {low + 1} are consecutive, and share a side.",
                ringed="r1c1 r2c1",
            ),
        )


KIND = NonConsecutiveKind()
