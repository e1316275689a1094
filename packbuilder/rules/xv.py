"""X and V on edges: digits that add up to ten, and to five.

With ``all-shown``, cells that share a side and have no letter between them add up to neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar, Literal

from packbuilder.grid import Geometry, Values
from packbuilder.rules.contract import Clauses, Deduction, Kind, Part, Row, RuleFault, Sight, Solved
from packbuilder.rules.shapes import Edge, Shape
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import edge, edges, items, mapping, yes_no
from packbuilder.rules.tools.edge_chains import along
from packbuilder.rules.tools.edge_pairs import (
    Fit,
    Link,
    across,
    components,
    deal_marks,
    fewer_marks,
    reach,
)
from packbuilder.rules.tools.neighbours import Apart
from packbuilder.rules.tools.schema import EDGE, YES_NO, group, listing

Letter = Literal["X", "V"]
_LETTERS: tuple[Letter, Letter] = ("X", "V")
_WRITTEN = '{x: ["r1c1 r1c2"], v: ["r2c1 r3c1"], all-shown: false}'


def _ten(a: int, b: int) -> bool:
    # The two share a row or a column, so two 5s never stand there.
    return a + b == 10 and a != 5


def _five(a: int, b: int) -> bool:
    return a + b == 5


_FITS: dict[Letter, Fit] = {"X": _ten, "V": _five}
_SAYS = {"X": "they add up to 10", "V": "they add up to 5"}
_SUMS = {"X": 10, "V": 5}


@dataclass(frozen=True)
class Mark(Part):
    """One letter. ``chain`` are the letters that hang together with it, for deductions only."""

    cells: tuple[int, int]
    letter: Letter
    chain: tuple[Link, ...] = field(default=(), compare=False, repr=False)

    def name(self, size: int) -> str:
        """``X at r1c1-r1c2``."""
        return f"{self.letter} at {words.edge(self.cells, size)}"

    def holds(self, values: Values, size: int) -> bool:
        """Two different digits with the sum."""
        a, b = (values[cell] for cell in self.cells)
        return a != b and a + b == {"X": 10, "V": 5}[self.letter]

    def encode(self, clauses: Clauses) -> None:
        """The pairs with the sum."""
        total = _SUMS[self.letter]
        clauses.pairs(*self.cells, lambda d, e: d != e and d == total - e)

    def prune(self, masks: list[int], size: int) -> bool:
        """Digits whose complement is not on the other side."""
        table = reach(size, _FITS[self.letter])
        a, b = self.cells
        masks[b] &= table[masks[a]]
        masks[a] &= table[masks[b]]
        return masks[a] != 0

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """What the letter says; the first letter of a chain tells what the chain says."""
        link = _link(self)
        yield from across(link, sight, "xv-sum", _SAYS[self.letter])
        if self.chain and self.chain[0] == link:
            yield from along(self.chain, sight, "xv-chain", "xv-holds-a-digit", "letters")

    def shapes(self) -> tuple[Shape, ...]:
        """The letter on the edge."""
        return (Edge(self.cells, self.letter),)


@dataclass(frozen=True)
class NoMarks(Apart):
    """All letters are shown: neighbours without one add up to neither 5 nor 10."""

    techniques: ClassVar[tuple[str, str, str]] = (
        "no-xv", "no-xv-either-way", "no-xv-without-place",
    )  # fmt: skip
    why_here: ClassVar[str] = "neither X nor V stands between these cells"

    @staticmethod
    def clash(a: int, b: int) -> bool:
        """Digits that would have a letter between them."""
        return a + b in (5, 10)

    def why(self, of: int, beside: Sequence[int], size: int) -> str:
        """No letter joins the cell to these."""
        return f"neither X nor V joins it to {words.cells(beside, size, 'or')}"

    def name(self, size: int) -> str:
        """``rule that every X and V is shown``."""
        return "rule that every X and V is shown"

    def holds(self, values: Values, size: int) -> bool:
        """No pair adds up to 5 or 10."""
        return not any(values[a] + values[b] == total for a, b in self.pairs for total in (5, 10))

    def encode(self, clauses: Clauses) -> None:
        """For each edge without a letter: not this digit here and its complement there."""
        for a, b in self.pairs:
            for d in range(1, clauses.size + 1):
                for e in (5 - d, 10 - d):
                    if 1 <= e <= clauses.size:
                        clauses.add(-clauses.digit(a, d), -clauses.digit(b, e))

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn: the rule is told in words."""
        return ()


class XV(Kind):
    """X for a sum of ten, V for a sum of five."""

    slug = "xv"
    title = "X and V"
    about = "Digits with an X between them add up to 10, digits with a V to 5."
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
    techniques = (
        Row(
            "xv-sum",
            "X or V",
            2,
            7,
            "An X joins two digits that add up to 10, a V two that add up to 5; a digit whose "
            "partner is not there goes.",
            "An X or a V: what one cell may be limits the other.",
        ),
        Row(
            "no-xv",
            "Neither X nor V",
            2,
            9,
            "Every X and V is shown: a placed digit takes its partners to 5 and to 10 out of the "
            "cells beside it that no letter joins to it.",
            "A missing letter: every X and V is shown, so cells without one add up to neither.",
        ),
        Row(
            "no-xv-either-way",
            "Neither X nor V, either way",
            3,
            12,
            "Every X and V is shown: a cell has two or three digits left, and each of them would "
            "rule out the same digit in a cell that no letter joins to it.",
            "A missing letter: whichever digit a cell takes, the same digit is ruled out beside "
            "it.",
        ),
        Row(
            "xv-chain",
            "Chain of X and V",
            3,
            13,
            "Letters join three to five cells; a digit that no way of filling them uses goes.",
            "A chain of letters: few digits fill all of its cells together.",
        ),
        Row(
            "xv-holds-a-digit",
            "X and V hold a digit",
            4,
            16,
            "However cells joined by letters are filled, one digit is among them; cells that see "
            "all its places lose it.",
            "Cells joined by letters: one digit is among them, however they are filled.",
        ),
        Row(
            "no-xv-without-place",
            "Neither X nor V, no place",
            4,
            18,
            "Every X and V is shown: a digit's few places in a house lie so close together that a "
            "digit in or beside them all would leave it none.",
            "A missing letter: the few places of a digit lie so close that one cell could block "
            "them all.",
        ),
    )

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The letters in reading order, then, if all are shown, what their absence says."""
        given = mapping(value, ("x", "v", "all-shown"), _WRITTEN)
        all_shown = "all-shown" in given and yes_no(given["all-shown"], ("all-shown",))
        size = geometry.size
        found: dict[tuple[int, int], Letter] = {}
        for letter in _LETTERS:
            key = letter.lower()
            if key not in given:
                continue
            if 2 * size - 1 < _SUMS[letter]:
                raise RuleFault(
                    f"an X asks for a sum of 10, but two digits of a {size}x{size} grid reach "
                    f"{2 * size - 1} at most",
                    "leave the X marks out",
                    (key,),
                )
            for k, written in enumerate(items(given[key], '["r1c1 r1c2"]', (key,))):
                cells = edge(written, size, (key, k))
                if cells in found:
                    where = words.cells(cells, size)
                    raise RuleFault(
                        f"{where} have two letters between them", "leave one out", (key, k)
                    )
                found[cells] = letter
        if not found and not all_shown:
            raise RuleFault("there is no letter", f"write them like {_WRITTEN}")
        marks = _linked(Mark(cells, letter) for cells, letter in found.items())
        if not all_shown:
            return marks
        pairs = tuple(pair for pair in edges(size) if pair not in found)
        return (*marks, NoMarks(tuple(sorted({cell for pair in pairs for cell in pair})), pairs))

    def schema(self) -> dict[str, Any]:
        """Two lists of edges, and whether they are all."""
        return group({"x": listing(EDGE), "v": listing(EDGE), "all-shown": YES_NO})

    def deal(self, grid: Solved) -> Any:
        """Every X and V of a solved grid."""
        return deal_marks(grid, ((letter.lower(), fit) for letter, fit in _FITS.items()))

    def fewer(self, value: Any) -> list[Any]:
        """Without each X and V in turn."""
        return fewer_marks(value, ("x", "v"))

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """What the letters of this puzzle mean."""
        letters = {part.letter for part in parts if isinstance(part, Mark)}
        all_shown = any(isinstance(part, NoMarks) for part in parts)
        told = [
            f"Digits with {'an' if letter == 'X' else 'a'} {letter} between them add up to "
            f"{_SUMS[letter]}."
            for letter in _LETTERS
            if letter in letters
        ]
        if all_shown:
            told.append(
                "Every X and V is shown: where cells share a side without one, their digits add "
                "up to neither 5 nor 10."
            )
        else:
            told.append("Not every such pair has its letter.")
        return " ".join(told)

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The letters that are drawn."""
        return _linked(
            Mark(shape.cells, letter)
            for shape in shapes
            if isinstance(shape, Edge)
            for letter in _LETTERS
            if shape.mark == letter
        )


def _link(mark: Mark) -> Link:
    return Link(*mark.cells, _FITS[mark.letter], mark.letter)


def _linked(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """The letters in reading order, each with its chain."""
    known = {mark.cells: mark for mark in marks}
    chain_of = {
        cells: tuple(_link(known[other]) for other in chain)
        for chain in components(known)
        for cells in chain
    }
    return tuple(Mark(cells, known[cells].letter, chain_of[cells]) for cells in sorted(known))


KIND = XV()
