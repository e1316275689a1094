"""Dots on edges: white for consecutive digits, black where one is twice the other.

Between 1 and 2 either dot may stand. With ``all-shown``, cells that share a side and have no dot
between them are neither consecutive nor double.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from packbuilder.grid import Geometry, Values
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import Clauses, Part, Row, Wording
from packbuilder.rules.relations import Relation
from packbuilder.rules.tools.edge_marks import (
    EdgeMark,
    EdgeMarkKind,
    Mark,
    MarkType,
    NoMark,
    rows_of,
)


def _consecutive(a: int, b: int) -> bool:
    return a - b in (1, -1)


def _double(a: int, b: int) -> bool:
    return a in (2 * b, b / 2)


@dataclass(frozen=True)
class Dot(EdgeMark):
    """One dot."""

    types: ClassVar[Mapping[Mark, MarkType]] = {
        "white": MarkType("white dot", _consecutive, "they are consecutive", "white-dot"),
        "black": MarkType("black dot", _double, "one is twice the other", "black-dot"),
    }
    chained = ("dot-chain", "dots-hold-a-digit")
    many = "dots"
    renaming = "reversal"

    def holds(self, values: Values, size: int) -> bool:
        """White: the difference is 1. Black: one digit is twice the other."""
        low, high = sorted(values[cell] for cell in self.cells)
        return high == (low + 1 if self.mark == "white" else 2 * low)

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """What the dot says of two digits."""
        if self.mark == "white":
            return (Relation("consecutive", self.cells),)
        return (Relation("double, turned round" if turned else "double", self.cells),)

    def encode(self, clauses: Clauses) -> None:
        """The pairs that the dot allows."""
        span = range(1, clauses.size + 1)
        up = [(d, d + 1) if self.mark == "white" else (d, d + d) for d in span]
        allowed = {pair for pair in up if pair[1] in span}
        clauses.pairs(*self.cells, lambda d, e: (d, e) in allowed or (e, d) in allowed)


@dataclass(frozen=True)
class NoDots(NoMark):
    """All dots are shown: neighbours without one are neither consecutive nor double."""

    techniques = ("no-dot", "no-dot-either-way", "no-dot-without-place",
                  "no-dot-orders")  # fmt: skip
    why_everywhere = "all dots are shown"
    none = "no dot"

    @staticmethod
    def clash(a: int, b: int) -> bool:
        """Digits that would have a dot between them."""
        return _consecutive(a, b) or _double(a, b)

    def name(self, size: int) -> str:
        """``rule that all dots are shown``."""
        return "rule that all dots are shown"

    def holds(self, values: Values, size: int) -> bool:
        """No pair differs by 1 or is double."""
        found = [sorted((values[a], values[b])) for a, b in self.pairs]
        return not any(high - low == 1 or high - low == low for low, high in found)

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """Neighbours."""
        return tuple(Relation("no dot", pair) for pair in self.pairs)

    def encode(self, clauses: Clauses) -> None:
        """For each edge without a dot: not this digit here and its neighbour or double there."""
        for a, b in self.pairs:
            for d in range(1, clauses.size + 1):
                for e in {d + 1, d + d}:
                    if e <= clauses.size:
                        clauses.add(-clauses.digit(a, d), -clauses.digit(b, e))
                        clauses.add(-clauses.digit(a, e), -clauses.digit(b, d))


class Dots(EdgeMarkKind):
    """White and black dots."""

    slug = "dots"
    title = "Dots"
    about = "A white dot joins consecutive digits, a black dot a digit and its double."
    mark, unmarked, one = Dot, NoDots, "dot"
    example_value = '{white: ["r1c1 r1c2"], black: ["r2c1 r3c1"], all-shown: false}'
    example = """\
id: dots
title: Dots
size: 6
grid: |
  ......
  ..52..
  ......
  ......
  .6....
  ......
rules:
  - dots:
      white: [r2c2 r3c2, r3c2 r4c2, r3c4 r4c4, r3c5 r3c6, r4c2 r4c3, r4c3 r4c4, r6c4 r6c5]
      black: [r5c3 r5c4]
      all-shown: false
"""
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("white-dot", "White dot", 2, 7,
            "A white dot joins consecutive digits; a digit with no partner across it goes.",
            "A white dot: what one cell may be limits the other."),
        Row("black-dot", "Black dot", 2, 8,
            "A black dot joins a digit and its double; a digit with no partner across it goes.",
            "A black dot: what one cell may be limits the other."),
        Row("no-dot", "No dot", 2, 9,
            "All dots are shown: a placed digit takes its neighbours, its half and its double out "
            "of the cells beside it that no dot joins to it.",
            "A missing dot: all dots are shown, so cells without one are neither consecutive nor "
            "double."),
        *rows_of(
            ("no-dot-either-way", "dot-chain", "dots-hold-a-digit", "no-dot-without-place",
             "no-dot-orders"),
            ("No dot, either way", "Chain of dots", "Dots hold a digit", "No dot, no place",
             "No dot, orders of a line"),
            "dot", "dots", "All dots are shown"),
    )  # fmt: skip

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """What the dots of this puzzle mean."""
        colours = {part.mark for part in parts if isinstance(part, Dot)}
        told = []
        if "white" in colours:
            told.append("Digits on the two sides of a white dot are consecutive.")
        if "black" in colours:
            told.append("Of the digits on the two sides of a black dot, one is twice the other.")
        if not any(isinstance(part, NoDots) for part in parts):
            told.append("Not every such pair need have its dot.")
        elif len(colours) == 2:
            told.append(
                "Between 1 and 2 either dot may stand. All dots are shown: where cells share a "
                "side without a dot, neither is so."
            )
        else:
            told.append(
                "All dots are shown: digits in cells that share a side without a dot are not "
                "consecutive, and neither is twice the other."
            )
        return Wording(" ".join(told))

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A white dot to the right, a black one below, as far as there are any."""
        marks = {part.mark for part in parts if isinstance(part, Dot)} or {"white", "black"}
        digit = 3 if geometry.size > 5 else 2
        value, right, wrong, told = dict[str, Any](), {"r1c1": digit}, {"r1c1": digit}, []
        if "white" in marks:
            value["white"], right["r1c2"], wrong["r1c2"] = ["r1c1 r1c2"], digit + 1, digit + 2
            told.append(f"{digit} and {digit + 1} are consecutive.")
        if "black" in marks:
            value["black"], right["r2c1"] = ["r1c1 r2c1"], 2 * digit
            wrong["r2c1"] = 2 * digit if digit > 2 else 1
            told.append(f"{2 * digit} is twice {digit}.")
        if "white" in marks:
            why, ringed = f"{digit} and {digit + 2} are not consecutive.", "r1c1 r1c2"
        else:
            wrong["r2c1"] = 2 * digit - 1
            why, ringed = f"{2 * digit - 1} is not twice {digit}.", "r1c1 r2c1"
        return Cases(Case(right, " ".join(told), value), Case(wrong, why, value, ringed))


KIND = Dots()
