"""Dots on edges: white for consecutive digits, black where one is twice the other.

Between 1 and 2 either dot may stand. With ``all-shown``, cells that share a side and have no dot
between them are neither consecutive nor double.
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

Colour = Literal["white", "black"]
_COLOURS: tuple[Colour, Colour] = ("white", "black")
_WRITTEN = '{white: ["r1c1 r1c2"], black: ["r2c1 r3c1"], all-shown: false}'


def _consecutive(a: int, b: int) -> bool:
    return a - b in (1, -1)


def _double(a: int, b: int) -> bool:
    return a in (2 * b, b / 2)


_FITS: dict[Colour, Fit] = {"white": _consecutive, "black": _double}
_SAYS = {"white": "they are consecutive", "black": "one is twice the other"}


@dataclass(frozen=True)
class Dot(Part):
    """One dot. ``chain`` are the dots that hang together with it, for deductions only."""

    cells: tuple[int, int]
    colour: Colour
    chain: tuple[Link, ...] = field(default=(), compare=False, repr=False)

    def name(self, size: int) -> str:
        """``white dot at r1c1-r1c2``."""
        return f"{self.colour} dot at {words.edge(self.cells, size)}"

    def holds(self, values: Values, size: int) -> bool:
        """White: the difference is 1. Black: one digit is twice the other."""
        low, high = sorted(values[cell] for cell in self.cells)
        return high == (low + 1 if self.colour == "white" else 2 * low)

    def encode(self, clauses: Clauses) -> None:
        """The pairs that the dot allows."""
        span = range(1, clauses.size + 1)
        up = [(d, d + 1) if self.colour == "white" else (d, d + d) for d in span]
        allowed = {pair for pair in up if pair[1] in span}
        clauses.pairs(*self.cells, lambda d, e: (d, e) in allowed or (e, d) in allowed)

    def prune(self, masks: list[int], size: int) -> bool:
        """Digits without a partner across the dot."""
        table = reach(size, _FITS[self.colour])
        a, b = self.cells
        masks[b] &= table[masks[a]]
        masks[a] &= table[masks[b]]
        return masks[a] != 0

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """What the dot says; the first dot of a chain tells what the chain says."""
        link = _link(self)
        yield from across(link, sight, f"{self.colour}-dot", _SAYS[self.colour])
        if self.chain and self.chain[0] == link:
            yield from along(self.chain, sight, "dot-chain", "dots-hold-a-digit", "dots")

    def shapes(self) -> tuple[Shape, ...]:
        """A dot on the edge."""
        return (Edge(self.cells, self.colour),)


@dataclass(frozen=True)
class NoDots(Apart):
    """All dots are shown: neighbours without one are neither consecutive nor double."""

    techniques: ClassVar[tuple[str, str, str]] = (
        "no-dot", "no-dot-either-way", "no-dot-without-place",
    )  # fmt: skip
    why_here: ClassVar[str] = "no dot stands between these cells"

    @staticmethod
    def clash(a: int, b: int) -> bool:
        """Digits that would have a dot between them."""
        return _consecutive(a, b) or _double(a, b)

    def why(self, of: int, beside: Sequence[int], size: int) -> str:
        """No dot joins the cell to these."""
        return f"no dot joins it to {words.cells(beside, size, 'or')}"

    def name(self, size: int) -> str:
        """``rule that all dots are shown``."""
        return "rule that all dots are shown"

    def holds(self, values: Values, size: int) -> bool:
        """No pair differs by 1 or is double."""
        found = [sorted((values[a], values[b])) for a, b in self.pairs]
        return not any(high - low == 1 or high - low == low for low, high in found)

    def encode(self, clauses: Clauses) -> None:
        """For each edge without a dot: not this digit here and its neighbour or double there."""
        for a, b in self.pairs:
            for d in range(1, clauses.size + 1):
                for e in {d + 1, d + d}:
                    if e <= clauses.size:
                        clauses.add(-clauses.digit(a, d), -clauses.digit(b, e))
                        clauses.add(-clauses.digit(a, e), -clauses.digit(b, d))

    def shapes(self) -> tuple[Shape, ...]:
        """Nothing is drawn: the rule is told in words."""
        return ()


class Dots(Kind):
    """White and black dots."""

    slug = "dots"
    title = "Dots"
    about = "A white dot joins consecutive digits, a black dot a digit and its double."
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
    techniques = (
        Row(
            "white-dot",
            "White dot",
            2,
            7,
            "A white dot joins consecutive digits; a digit with no partner across it goes.",
            "A white dot: what one cell may be limits the other.",
        ),
        Row(
            "black-dot",
            "Black dot",
            2,
            8,
            "A black dot joins a digit and its double; a digit with no partner across it goes.",
            "A black dot: what one cell may be limits the other.",
        ),
        Row(
            "no-dot",
            "No dot",
            2,
            9,
            "All dots are shown: a placed digit takes its neighbours, its half and its double out "
            "of the cells beside it that no dot joins to it.",
            "A missing dot: all dots are shown, so cells without one are neither consecutive nor "
            "double.",
        ),
        Row(
            "no-dot-either-way",
            "No dot, either way",
            3,
            12,
            "All dots are shown: a cell has two or three digits left, and each of them would rule "
            "out the same digit in a cell that no dot joins to it.",
            "A missing dot: whichever digit a cell takes, the same digit is ruled out beside it.",
        ),
        Row(
            "dot-chain",
            "Chain of dots",
            3,
            13,
            "Dots join three to five cells; a digit that no way of filling them uses goes.",
            "A chain of dots: few digits fill all of its cells together.",
        ),
        Row(
            "dots-hold-a-digit",
            "Dots hold a digit",
            4,
            16,
            "However cells joined by dots are filled, one digit is among them; cells that see all "
            "its places lose it.",
            "Cells joined by dots: one digit is among them, however they are filled.",
        ),
        Row(
            "no-dot-without-place",
            "No dot, no place",
            4,
            18,
            "All dots are shown: a digit's few places in a house lie so close together that a "
            "digit in or beside them all would leave it none.",
            "A missing dot: the few places of a digit lie so close that one cell could block them "
            "all.",
        ),
    )

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The dots in reading order, then, if all are shown, what their absence says."""
        given = mapping(value, ("white", "black", "all-shown"), _WRITTEN)
        all_shown = "all-shown" in given and yes_no(given["all-shown"], ("all-shown",))
        size = geometry.size
        found: dict[tuple[int, int], Colour] = {}
        for colour in _COLOURS:
            if colour not in given:
                continue
            for k, written in enumerate(items(given[colour], '["r1c1 r1c2"]', (colour,))):
                cells = edge(written, size, (colour, k))
                if cells in found:
                    where = words.cells(cells, size)
                    raise RuleFault(
                        f"{where} have two dots between them", "leave one out", (colour, k)
                    )
                found[cells] = colour
        if not found and not all_shown:
            raise RuleFault("there is no dot", f"write them like {_WRITTEN}")
        dots = _linked(Dot(cells, colour) for cells, colour in found.items())
        if not all_shown:
            return dots
        pairs = tuple(pair for pair in edges(size) if pair not in found)
        return (*dots, NoDots(tuple(sorted({cell for pair in pairs for cell in pair})), pairs))

    def schema(self) -> dict[str, Any]:
        """Two lists of edges, and whether they are all."""
        return group({"white": listing(EDGE), "black": listing(EDGE), "all-shown": YES_NO})

    def deal(self, grid: Solved) -> Any:
        """Every dot of a solved grid."""
        return deal_marks(grid, _FITS.items())

    def fewer(self, value: Any) -> list[Any]:
        """Without each dot in turn."""
        return fewer_marks(value, _COLOURS)

    def wording(self, parts: Sequence[Part], size: int) -> str:
        """What the dots of this puzzle mean."""
        colours = {part.colour for part in parts if isinstance(part, Dot)}
        told = []
        if "white" in colours:
            told.append("Digits on the two sides of a white dot are consecutive.")
        if "black" in colours:
            told.append("Of the digits on the two sides of a black dot, one is twice the other.")
        if not any(isinstance(part, NoDots) for part in parts):
            told.append("Not every such pair has its dot.")
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
        return " ".join(told)

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The dots that are drawn."""
        return _linked(
            Dot(shape.cells, colour)
            for shape in shapes
            if isinstance(shape, Edge)
            for colour in _COLOURS
            if shape.mark == colour
        )


def _link(dot: Dot) -> Link:
    return Link(*dot.cells, _FITS[dot.colour], f"{dot.colour} dot")


def _linked(dots: Iterable[Dot]) -> tuple[Dot, ...]:
    """The dots in reading order, each with its chain."""
    known = {dot.cells: dot for dot in dots}
    chain_of = {
        cells: tuple(_link(known[other]) for other in chain)
        for chain in components(known)
        for cells in chain
    }
    return tuple(Dot(cells, known[cells].colour, chain_of[cells]) for cells in sorted(known))


KIND = Dots()
