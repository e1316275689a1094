"""Parity: cells marked even (a grey square) or odd (a grey disc)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Literal

from packbuilder.grid import Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
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
from packbuilder.rules.shapes import Box, Path, Ring, Shape
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import cells as read_cells
from packbuilder.rules.tools.cells import mapping
from packbuilder.rules.tools.clue_words import clue, labelled
from packbuilder.rules.tools.deducing import conclusion, losing, removals
from packbuilder.rules.tools.masks import digits_of, everything, mask_of, single
from packbuilder.rules.tools.random_clues import share_of, written
from packbuilder.rules.tools.schema import CELLS, group

Which = Literal["even", "odd"]
_WRITTEN = '{even: "r1c1 r2c2", odd: "r3c3"}'


@dataclass(frozen=True)
class Marked(Part):
    """One marked cell. ``alike`` are all cells with the same mark, for deductions only."""

    cells: tuple[int]
    which: Which
    alike: tuple[int, ...] = field(default=(), compare=False, repr=False)
    renaming = "parity"

    def name(self, size: int) -> str:
        """``even mark at r1c1``."""
        return f"{self.which} mark at {cell_name(self.cells[0], size)}"

    def holds(self, values: Values, size: int) -> bool:
        """The digit has the parity of the mark."""
        return values[self.cells[0]] % 2 == (0 if self.which == "even" else 1)

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The mark."""
        return (Relation(self.which, self.cells),)

    def encode(self, clauses: Clauses) -> None:
        """None of the digits of the other parity."""
        for d in range(1 if self.which == "even" else 2, clauses.size + 1, 2):
            clauses.add(-clauses.digit(self.cells[0], d))

    def prune(self, masks: list[int], size: int) -> bool:
        """The digits of the other parity."""
        masks[self.cells[0]] &= _mask(self.which, size)
        return masks[self.cells[0]] != 0

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The first of the cells with one mark tells of them all; so does the first in a house."""
        if self.alike and self.alike[0] == self.cells[0]:
            yield from self._wrong(sight)
        yield from self._full(sight)

    def _wrong(self, sight: Sight) -> Iterator[Deduction]:
        """Digits of the other parity."""
        other = everything(sight.size) & ~_mask(self.which, sight.size)
        removes = removals(sight.masks, [(cell, other) for cell in self.alike])
        if removes:
            digits = tuple(sorted({d for _, d in removes}))
            tell = partial(self._tell_wrong, removes, sight.size)
            yield Deduction("parity-mark", losing(removes), digits, removes, tell)

    def _tell_wrong(self, removes: Removes, size: int) -> str:
        hit = losing(removes)
        marked = f"{words.cells(hit, size)} {'is' if len(hit) == 1 else 'are'} marked {self.which}"
        return f"{marked}. {words.takes_out(removes, size)}"

    def _full(self, sight: Sight) -> Iterator[Deduction]:
        """A house whose digits of one parity are all spoken for: its other cells have none."""
        size, mine, masks = sight.size, _mask(self.which, sight.size), sight.masks
        for h in sight.geometry.houses_of[self.cells[0]]:
            house = sight.geometry.houses[h]
            if self.cells[0] != min(set(house.cells) & set(self.alike), default=-1):
                continue
            holders = tuple(cell for cell in house.cells if not masks[cell] & ~mine)
            if len(holders) == mine.bit_count() and not all(single(masks[c]) for c in holders):
                wanted = [(cell, mine) for cell in house.cells if cell not in holders]
                tell = partial(self._tell_full, house.label, holders, size)
                digits = digits_of(mine)
                yield from conclusion(sight, "parity-count", holders, wanted, tell, digits)

    def _tell_full(self, label: str, holders: tuple[int, ...], size: int, removes: Removes) -> str:
        digits = words.digits(digits_of(_mask(self.which, size)))
        return (
            f"In {label}, {words.cells(holders, size)} hold {digits}, all the {self.which} digits "
            f"there are. {words.takes_out(removes, size)}"
        )

    def shapes(self) -> tuple[Shape, ...]:
        """A grey square for even, a grey disc for odd."""
        cell = self.cells[0]
        return (Box(cell) if self.which == "even" else Ring(cell, solid=True),)


class Parity(Kind):
    """Cells marked even or odd."""

    slug = "parity"
    title = "Even and odd"
    about = "A grey square holds an even digit, a grey disc an odd one."
    example = """\
id: parity
title: Even and odd
size: 6
grid: |
  ..4...
  ......
  ...4..
  .23...
  ....1.
  ......
rules:
  - parity:
      even: r1c2 r1c4 r2c1 r5c1
      odd: r4c5 r5c6
"""
    techniques = (
        Row("parity-mark", "Even or odd", 1, 2,
            "A cell marked even loses the odd digits, one marked odd the even ones.",
            "Cells marked even or odd: digits of the other kind do not go there."),
        Row("parity-count", "Even and odd counted", 3, 8,
            "As many cells of a house are even (or odd) as there are such digits; its other cells "
            "have none of them.",
            "Count the even and the odd cells of a house against the digits there are."),
    )  # fmt: skip

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """A part for each marked cell, in reading order."""
        given = mapping(value, ("even", "odd"), _WRITTEN)
        found: dict[int, Which] = {}
        for which in _WHICH:
            if which not in given:
                continue
            for cell in read_cells(given[which], geometry.size, (which,)):
                if cell in found:
                    raise RuleFault(
                        f"{cell_name(cell, geometry.size)} is marked both even and odd",
                        "mark it once",
                        (which,),
                    )
                found[cell] = which
        for which in _WHICH:
            _check_count({c for c, w in found.items() if w == which}, which, geometry)
        return _marked(found)

    def schema(self) -> dict[str, Any]:
        """Two lists of cells."""
        return group({"even": CELLS, "odd": CELLS})

    def random_value(self, grid: Solved) -> Any:
        """Marks in four of ten free cells."""
        marked = share_of(sorted(grid.free), 0.4, grid.draw) if grid.free else []
        found = {
            which: [cell for cell in marked if grid.values[cell] % 2 == (which == "odd")]
            for which in _WHICH
        }
        size = grid.geometry.size
        return {which: written(cells, size) for which, cells in found.items() if cells} or None

    def fewer(self, value: Any) -> list[Any]:
        """Without each mark in turn."""
        found = []
        for which, cells in value.items():
            names = cells.split()
            for k in range(len(names)):
                left = " ".join(names[:k] + names[k + 1 :])
                lighter = {key: left if key == which else value[key] for key in value}
                found.append({key: text for key, text in lighter.items() if text})
        return found if len(found) > 1 else []

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``even: r1c1 r2c2``."""
        marks = [part for part in parts if isinstance(part, Marked)]
        cells = {which: [p.cells[0] for p in marks if p.which == which] for which in _WHICH}
        return tuple(clue(which, cells[which], geometry.size) for which in _WHICH if cells[which])

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """Cells behind even and odd."""
        return self.read(labelled(told, _WHICH), geometry)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """What the marks of this puzzle mean."""
        marks = {part.which for part in parts if isinstance(part, Marked)}
        here = [which for which in _WHICH if which in marks or not marks]
        looks = {"even": "An even cell has a grey square.", "odd": "An odd cell has a grey disc."}
        return Wording(
            " ".join(f"Cells marked {which} hold {which} digits." for which in here),
            page=" ".join(looks[which] for which in here),
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A marked cell of each kind that there is, and one without a mark."""
        marks = {part.which for part in parts if isinstance(part, Marked)} or {*_WHICH}
        first, second = ("even", "odd") if len(marks) > 1 else (*marks, *marks)
        one, other = (4 if first == "even" else 1), (2 if second == "even" else 3)
        value = {first: "r1c1"}
        value[second] = "r1c1 r1c3" if first == second else "r1c3"
        wrong = other + 1 if other == 2 else other - 1
        free = next(d for d in (1, 2, 3, 4) if d not in (one, other, wrong))
        told = f"{one} is {first}, {other} is {second}."
        if first == second:
            told = f"{one} and {other} are {first}."
        kind = "odd" if second == "even" else "even"
        return Cases(
            Case(
                {"r1c1": one, "r1c3": other, "r2c2": free},
                f"{told} A cell without a mark may have any digit.",
                value,
            ),
            Case(
                {"r1c1": one, "r1c3": wrong, "r2c2": free},
                f"{wrong} is {kind}, and the mark says {second}.",
                value,
                "r1c3",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Grey squares and discs; a disc at the end of a broad line is the line's bulb."""
        ends = {
            cell
            for shape in shapes
            if isinstance(shape, Path) and shape.style == "broad"
            for cell in (shape.cells[0], shape.cells[-1])
        }
        found: dict[int, Which] = {}
        for shape in shapes:
            if isinstance(shape, Box):
                found[shape.cell] = "even"
            elif isinstance(shape, Ring) and shape.solid and shape.cell not in ends:
                found[shape.cell] = "odd"
        return _marked(found)


_WHICH: tuple[Which, Which] = ("even", "odd")


def _mask(which: Which, size: int) -> int:
    return mask_of(range(2 if which == "even" else 1, size + 1, 2))


def _marked(found: dict[int, Which]) -> tuple[Marked, ...]:
    alike = {w: tuple(sorted(c for c, other in found.items() if other == w)) for w in _WHICH}
    return tuple(Marked((c,), found[c], alike[found[c]]) for c in sorted(found))


def _check_count(marked: set[int], which: Which, geometry: Geometry) -> None:
    """No house has more marks than there are digits for them."""
    size, most = geometry.size, _mask(which, geometry.size).bit_count()
    for house in geometry.houses:
        count = len(marked & set(house.cells))
        if count > most:
            raise RuleFault(
                f"{house.label} has {count} cells marked {which}, but a {size}x{size} grid has "
                f"only {most} {which} digits",
                f"mark at most {most} of them",
                (which,),
            )


KIND = Parity()
