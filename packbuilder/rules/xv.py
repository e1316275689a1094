"""X and V on edges: digits that add up to ten, and to five.

With ``all-shown``, cells that share a side and have no letter between them add up to neither.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from packbuilder.grid import Geometry, Values
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import Clauses, Part, Row, RuleFault, Wording
from packbuilder.rules.relations import Relation
from packbuilder.rules.tools.edge_marks import (
    EdgeMark,
    EdgeMarkKind,
    Mark,
    MarkType,
    NoMark,
    rows_of,
)


def _ten(a: int, b: int) -> bool:
    # The two share a row or a column, so two 5s never stand there.
    return a + b == 10 and a != 5


def _five(a: int, b: int) -> bool:
    return a + b == 5


@dataclass(frozen=True)
class Letter(EdgeMark):
    """One letter."""

    types: ClassVar[Mapping[Mark, MarkType]] = {
        "X": MarkType("X", _ten, "they add up to 10", "xv-sum"),
        "V": MarkType("V", _five, "they add up to 5", "xv-sum"),
    }
    chained = ("xv-chain", "xv-holds-a-digit")
    many = "letters"
    renaming = "reversal"

    def holds(self, values: Values, size: int) -> bool:
        """Two different digits with the sum."""
        a, b = (values[cell] for cell in self.cells)
        return a != b and a + b == {"X": 10, "V": 5}[self.mark]

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The sum."""
        total = 10 if self.mark == "X" else 5
        return (Relation(f"sum {2 * (size + 1) - total if turned else total}", self.cells),)

    def encode(self, clauses: Clauses) -> None:
        """The pairs with the sum."""
        total = 10 if self.mark == "X" else 5
        clauses.pairs(*self.cells, lambda d, e: d != e and d == total - e)


@dataclass(frozen=True)
class NoLetters(NoMark):
    """All letters are shown: neighbours without one add up to neither 5 nor 10."""

    techniques = ("no-xv", "no-xv-either-way", "no-xv-without-place",
                  "no-xv-orders")  # fmt: skip
    why_everywhere = "every X and V is shown"
    none = "neither X nor V"

    @staticmethod
    def clash(a: int, b: int) -> bool:
        """Digits that would have a letter between them."""
        return a + b in (5, 10)

    def name(self, size: int) -> str:
        """``rule that every X and V is shown``."""
        return "rule that every X and V is shown"

    def holds(self, values: Values, size: int) -> bool:
        """No pair adds up to 5 or 10."""
        return not any(values[a] + values[b] == total for a, b in self.pairs for total in (5, 10))

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """Neighbours."""
        return tuple(Relation("no letter", pair) for pair in self.pairs)

    def encode(self, clauses: Clauses) -> None:
        """For each edge without a letter: not this digit here and its complement there."""
        for a, b in self.pairs:
            for d in range(1, clauses.size + 1):
                for e in (5 - d, 10 - d):
                    if 1 <= e <= clauses.size:
                        clauses.add(-clauses.digit(a, d), -clauses.digit(b, e))


class XV(EdgeMarkKind):
    """X for a sum of ten, V for a sum of five."""

    slug = "xv"
    title = "X and V"
    about = "Digits with an X between them add up to 10, digits with a V to 5."
    mark, unmarked, one = Letter, NoLetters, "letter"
    example_value = '{x: ["r1c1 r1c2"], v: ["r2c1 r3c1"], all-shown: false}'
    example = """\
id: xv
title: X and V
size: 6
grid: |
  ......
  ......
  ......
  ......
  ....3.
  ......
rules:
  - xv:
      x: [r3c4 r3c5, r4c2 r4c3]
      v: [r1c4 r1c5, r2c1 r3c1, r2c2 r2c3, r3c1 r3c2, r4c5 r4c6, r4c5 r5c5]
      all-shown: true
"""
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("xv-sum", "X or V", 2, 7,
            "An X joins two digits that add up to 10, a V two that add up to 5; a digit whose "
            "partner is not there goes.",
            "An X or a V: what one cell may be limits the other."),
        Row("no-xv", "Neither X nor V", 2, 9,
            "Every X and V is shown: a placed digit takes its partners to 5 and to 10 out of the "
            "cells beside it that no letter joins to it.",
            "A missing letter: every X and V is shown, so cells without one add up to neither."),
        *rows_of(
            ("no-xv-either-way", "xv-chain", "xv-holds-a-digit", "no-xv-without-place",
             "no-xv-orders"),
            ("Neither X nor V, either way", "Chain of X and V", "X and V hold a digit",
             "Neither X nor V, no place", "Neither X nor V, orders of a line"),
            "letter", "letters", "Every X and V is shown"),
    )  # fmt: skip

    def check(self, mark: Mark, size: int) -> None:
        """An X needs two digits that reach 10."""
        if mark == "X" and 2 * size - 1 < 10:
            raise RuleFault(
                f"an X asks for a sum of 10, but two digits of a {size}x{size} grid reach "
                f"{2 * size - 1} at most",
                "leave the X marks out",
                ("x",),
            )

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """What the letters of this puzzle mean."""
        letters = {part.mark for part in parts if isinstance(part, Letter)}
        told = []
        if "X" in letters:
            told.append("Digits with an X between them add up to 10.")
        if "V" in letters:
            told.append("Digits with a V between them add up to 5.")
        if any(isinstance(part, NoLetters) for part in parts):
            told.append(
                "Every X and V is shown: where cells share a side without one, their digits add "
                "up to neither 5 nor 10."
            )
        else:
            told.append("Not every such pair need have its letter.")
        return Wording(" ".join(told))

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """An X to the right, a V below, as far as there are any."""
        marks = {part.mark for part in parts if isinstance(part, Letter)} or {"X", "V"}
        digit, below = (3, 2) if geometry.size > 8 else (4, 1)
        value, right, wrong, told = dict[str, Any](), {"r1c1": digit}, {"r1c1": digit}, []
        why, ringed = "", ""
        if "V" in marks:
            value["v"], right["r2c1"], wrong["r2c1"] = ["r1c1 r2c1"], below, below
            told.append(f"{digit} + {below} = 5.")
        if "X" in marks and geometry.size > 5:
            value["x"], right["r1c2"], wrong["r1c2"] = ["r1c1 r1c2"], 10 - digit, 9 - digit
            told.insert(0, f"{digit} + {10 - digit} = 10.")
            why, ringed = f"{digit} + {9 - digit} = 9, and the X asks for 10.", "r1c1 r1c2"
        else:
            wrong["r2c1"] = 3 - below
            why = f"{digit} + {3 - below} = {digit + 3 - below}, and the V asks for 5."
            ringed = "r1c1 r2c1"
        return Cases(Case(right, " ".join(told), value), Case(wrong, why, value, ringed))


KIND = XV()
