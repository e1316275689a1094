"""Twins: the two cells at the ends of a dashed line hold the same digit. A TEMPLATE, not a rule.

To add a rule, copy this file to ``<name>.py`` beside it (``little-sums`` lives in
``little_sums.py``), change everything in it, give it tests in ``tests/rules/test_<name>.py``, and
run ``tests/rules/test_contract.py``. There is no list to add it to: the folder is scanned for files
with a ``KIND``. The folder `tools` holds what rules share: reading cells and pictures (`cells`),
masks (`masks`), words (`words`), pieces of JSON Schema (`schema`).

This file is scanned by no one, but the tests hold it to the same contract.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, ClassVar

from packbuilder.grid import Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
    Clauses,
    Deduction,
    Kind,
    Part,
    Row,
    RuleFault,
    Sight,
    Solved,
    Told,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Path, Shape
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import cells as read_cells
from packbuilder.rules.tools.cells import items
from packbuilder.rules.tools.clue_words import clue, numbered
from packbuilder.rules.tools.masks import digits_of
from packbuilder.rules.tools.random_clues import shuffled, written
from packbuilder.rules.tools.schema import CELLS, listing

_WRITTEN = '["r1c1 r2c3"]'
"""How the value is written, for faults."""


@dataclass(frozen=True)
class Twins(Part):
    """A part is frozen, and is all that the program keeps of a rule in a puzzle.

    Two parts that mean the same must be equal: put their cells in one order where the order has no
    meaning, as here.
    """

    cells: tuple[int, int]
    renaming = "any"

    def name(self, size: int) -> str:
        """How a person points at it. It stands in sentences, so it begins with a small letter."""
        return f"twins {words.cells(self.cells, size)}"

    def holds(self, values: Values, size: int) -> bool:
        """The rule at its plainest: it judges the engines, so it borrows nothing from them."""
        a, b = self.cells
        return values[a] == values[b]

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """What it says, without a word of where: so puzzles in disguise are found."""
        return (Relation("equal", self.cells),)

    def encode(self, clauses: Clauses) -> None:
        """The rule as clauses, by whichever of the ways of `Clauses` says it most simply.

        A part without a clause is taken to be nothing but the `houses` that it brings.
        """
        clauses.pairs(*self.cells, lambda a, b: a == b)

    def prune(self, masks: list[int], size: int) -> bool:
        """For the second engine, called thousands of times: ints and bits, no objects.

        It may be weak, never wrong; but once all cells have one candidate it says what `holds`
        says. An empty mask means False.
        """
        a, b = self.cells
        both = masks[a] & masks[b]
        masks[a] = masks[b] = both
        return both != 0

    # A rule that forbids repeats gives them as `houses`: then the kernel, the clauses and every
    # technique of the ladder know of them without another word. This one has none.

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """What a person concludes, easiest first, each with its reason.

        Say only what follows from this part and the candidates as they are; a removal that is no
        candidate any more is left out, and a deduction without removals is none. ``words`` is
        called only where the sentence is wanted.
        """
        masks = sight.masks
        both = masks[self.cells[0]] & masks[self.cells[1]]
        removes = tuple((cell, d) for cell in self.cells for d in digits_of(masks[cell] & ~both))
        if removes and both:
            yield Deduction(
                "twins",
                self.cells,
                digits_of(both),
                removes,
                lambda: (
                    f"{words.cells(self.cells, sight.size)} hold the same digit. "
                    f"{words.takes_out(removes, sight.size)}"
                ),
            )

    def shapes(self) -> tuple[Shape, ...]:
        """How it looks: what a reader needs to tell it from all other rules, in black ink."""
        return (Path(self.cells, "dashed"),)


class TwinsKind(Kind):
    """The rule itself: how it is written, worded, and found again in print."""

    slug = "twins"
    title = "Twins"
    about = "The two ends of each dashed line hold the same digit."
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("twins", "Twins", 2, 9,
            "Two cells that hold the same digit have the same candidates.",
            "What one of two twins cannot be, the other cannot be either."),
    )  # fmt: skip
    # A whole puzzle, small and with one solution; `packbuilder rules twins` prints it.
    example = """\
id: twins
title: Twins
size: 4
grid: |
  ....
  .1.3
  .2..
  ....
rules:
  - twins: ["r2c2 r4c1", "r2c1 r3c3"]
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The parts that the value under ``twins:`` means; every slip is a RuleFault.

        All scalars are text as written. ``path`` leads to the faulty piece: keys, list indices,
        and behind a picture the index of its row.
        """
        found: list[Part] = []
        for k, entry in enumerate(items(value, _WRITTEN)):
            cells = read_cells(entry, geometry.size, (k,))
            if len(cells) != 2:
                raise RuleFault(
                    f"twins are two cells, and here are {words.number(len(cells))}",
                    f"write them like {_WRITTEN}",
                    (k,),
                )
            a, b = sorted(cells)
            if b in geometry.peers[a]:
                raise RuleFault(
                    f"{words.cells((a, b), geometry.size)} see each other",
                    "twins need two cells that may hold the same digit",
                    (k,),
                )
            if Twins((a, b)) in found:
                raise RuleFault(
                    f"twins {cell_name(a, geometry.size)} and {cell_name(b, geometry.size)} are "
                    "given twice",
                    "leave one out",
                    (k,),
                )
            found.append(Twins((a, b)))
        return tuple(found)

    def schema(self) -> dict[str, Any]:
        """What an editor may complete and check while the manifest is written."""
        return listing(CELLS)

    def random_value(self, grid: Solved) -> Any:
        """Clues that hold on a solved grid, for `packbuilder set`: see also `Kind.fewer`."""
        size, values = grid.geometry.size, grid.values
        cells = shuffled(sorted(grid.free), grid.draw)[: 2 * size]
        equal = [(a, b) for a, b in combinations(sorted(cells), 2) if values[a] == values[b]]
        return [written(pair, size) for pair in equal] or None

    # Where something is legal, but mostly a slip, say so in `warnings`.

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """Its clues for those who see no picture: ``1: r1c1 r2c3``, in the order of the parts.

        Say every cell and every number that is drawn, and nothing that the wording says.
        """
        return tuple(
            clue(str(k), part.cells, geometry.size) for k, part in enumerate(parts, start=1)
        )

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """The inverse: mostly, make of the words what a manifest would hold, and `read` that.

        The words come out of a printed file, so anything may stand in them.
        """
        return self.read(numbered(told), geometry)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The whole rule, as one tells it to a friend, with figures for a grid of this size.

        It must be true of just these parts. What it looks like in print, and how the text edition
        tells it, are said beside the meaning, never in place of it. All that it can say for any
        grid is to stand in `tests/words/expected.txt`.
        """
        return Wording(
            "The two cells of a pair of twins hold the same digit.",
            page="They are joined by a dashed line.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Twins, and two digits that are none."""
        value = ["r1c2 r2c4"]
        return Cases(
            Case({"r1c2": 3, "r2c4": 3}, "3 at both ends.", value),
            Case({"r1c2": 3, "r2c4": 4}, "3 at one end, 4 at the other.", value, "r1c2 r2c4"),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The parts, from shapes alone: what the read-back found on the page, of all rules."""
        return tuple(
            Twins((min(shape.cells), max(shape.cells)))
            for shape in shapes
            if isinstance(shape, Path) and shape.style == "dashed" and len(shape.cells) == 2
        )


KIND = TwinsKind()
