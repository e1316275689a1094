"""Thermometers: digits rise along each, from the bulb to the tip.

Two may share a bulb, a stem or any other cells (branches).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise, permutations
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
    Clauses,
    Deduction,
    Part,
    Removes,
    Row,
    Sight,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Path, Ring, Shape
from packbuilder.rules.tools.cells import Where
from packbuilder.rules.tools.deducing import bounded, conclusion
from packbuilder.rules.tools.lines import Caution, LineKind, no_longer, paths, rings
from packbuilder.rules.tools.masks import everything, least, most, single, up_to
from packbuilder.rules.tools.words import listed, number


@dataclass(frozen=True)
class Thermometer(Part):
    """Cells from the bulb to the tip; each digit is greater than the one before."""

    cells: tuple[int, ...]
    renaming = "reversal"

    def name(self, size: int) -> str:
        """``thermometer from r1c1 to r1c5``."""
        bulb, tip = cell_name(self.cells[0], size), cell_name(self.cells[-1], size)
        return f"thermometer from {bulb} to {tip}"

    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it."""
        return all(values[a] < values[b] for a, b in pairwise(self.cells))

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The cells as they rise."""
        cells = self.cells[::-1] if turned else self.cells
        return (Relation("thermometer", cells, tuple(range(len(cells)))),)

    def encode(self, clauses: Clauses) -> None:
        """Where a cell holds d or more, the next holds d + 1 or more."""
        for a, b in pairwise(self.cells):
            for d in range(1, clauses.size + 1):
                clauses.add(-clauses.at_least(a, d), clauses.at_least(b, d + 1))

    def prune(self, masks: list[int], size: int) -> bool:
        """Bounds upwards, then downwards: complete for a chain of inequalities."""
        floor = 0
        for cell in self.cells:
            mask = masks[cell] >> floor << floor
            if not mask:
                return False
            masks[cell] = mask
            floor = (mask & -mask).bit_length()
        ceiling = size + 1
        for cell in reversed(self.cells):
            mask = masks[cell] & ((1 << (ceiling - 1)) - 1)
            if not mask:
                return False
            masks[cell] = mask
            ceiling = mask.bit_length()
        return True

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The room that its length leaves; then what a bound in one cell does to others."""
        yield from self._length(sight)
        yield from self._rise(sight, up=True)
        yield from self._rise(sight, up=False)

    def shapes(self) -> tuple[Shape, ...]:
        """A broad line from a disc at the bulb."""
        return (Ring(self.cells[0], solid=True), Path(self.cells, "broad"))

    def _length(self, sight: Sight) -> Iterator[Deduction]:
        full, room = everything(sight.size), sight.size - len(self.cells)
        wanted = [
            (cell, full & ~(up_to(k + 1 + room) & ~up_to(k))) for k, cell in enumerate(self.cells)
        ]
        tell = partial(self._tell_length, sight.size)
        yield from conclusion(sight, "thermometer-length", self.cells, wanted, tell, ())

    def _tell_length(self, size: int, removes: Removes) -> str:
        room = size - len(self.cells)
        losing = {cell for cell, _ in removes}
        spans = [
            f"{cell_name(cell, size)} {_room(k + 1, k + 1 + room)}"
            for k, cell in enumerate(self.cells)
            if cell in losing
        ]
        count = number(len(self.cells)).capitalize()
        bulb = cell_name(self.cells[0], size)
        start = f"{count} cells rise along the thermometer from {bulb}"
        if room == 0:
            return f"{start}, and there are just as many digits: {listed(spans)}."
        return f"{start}. That leaves only so much room for each: {listed(spans)}."

    def _rise(self, sight: Sight, *, up: bool) -> Iterator[Deduction]:
        """A cell that is at least (at most) some digit pushes those after (before) it along.

        From each cell, as far as no cell on the way says more by itself.
        """
        cells = self.cells if up else self.cells[::-1]
        masks, full = sight.masks, everything(sight.size)
        k = 0
        while k < len(cells):
            anchor, wanted = least(masks[cells[k]]) if up else most(masks[cells[k]]), []
            j = k + 1
            while j < len(cells):
                bound = anchor + j - k if up else anchor - (j - k)
                out = full & (up_to(bound - 1) if up else ~up_to(bound))
                if not masks[cells[j]] & out:
                    break
                wanted.append((cells[j], out))
                j += 1
            run = cells[k:j]
            tell = partial(_tell_rise, run, anchor, single(masks[run[0]]), up, sight.size)
            yield from conclusion(sight, "thermometer-rise", run, wanted, tell, (anchor,))
            k = j


def _tell_rise(
    run: tuple[int, ...], anchor: int, known: bool, up: bool, size: int, _: Removes
) -> str:
    side, way, step = ("least", "after", 1) if up else ("most", "before", -1)
    moved = [
        f"{cell_name(cell, size)} {bounded(side, anchor + step * k, size)}"
        for k, cell in enumerate(run[1:], 1)
        if 1 <= anchor + step * k <= size
    ]
    start = SYMBOLS[anchor] if known else f"at {side} {SYMBOLS[anchor]}"
    first = f"On the thermometer {cell_name(run[0], size)} is {start}"
    if len(run) == 2:
        return f"{first}, and the cell {way} it follows: {moved[0]}."
    return f"{first}, and the cells {way} it follow: {listed(moved)}."


def _room(low: int, high: int) -> str:
    return f"is {SYMBOLS[low]}" if low == high else f"from {SYMBOLS[low]} to {SYMBOLS[high]}"


class Thermometers(LineKind):
    """The rule."""

    slug = "thermometers"
    title = "Thermometers"
    about = "Digits rise along each thermometer, from its bulb to its tip."
    lengths = (3, 6)
    no_loop = "a thermometer rises from its bulb to its tip, which cannot be one cell"
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("thermometer-length", "Thermometer length", 2, 9,
            "A cell of a thermometer has room for a digit only if the cells before it can be less "
            "and the cells after it more.",
            "The length of a thermometer leaves little room at its ends."),
        Row("thermometer-rise", "Thermometer rise", 3, 6,
            "A bound on one cell of a thermometer pushes the cells after it up, or those before "
            "it down.",
            "A bound that travels along a thermometer."),
    )  # fmt: skip
    example = """\
id: thermometers
title: Thermometers
size: 6
grid: |
  ......
  ......
  ......
  ......
  ......
  ....2.
rules:
  - thermometers:
      - r1c5 r1c4 r2c3
      - r6c4 r5c5 r5c6 r4c6
      - r3c6 r4c5 r4c4 r3c3
      - r4c3 r4c2 r4c1
      - r2c1 r2c2 r1c2
"""

    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """One thermometer. Raises RuleFault where it is longer than there are digits."""
        no_longer(cells, geometry.size, "thermometer", path)
        return Thermometer(cells)

    def begins(self, digits: Sequence[int], size: int) -> bool:
        """While the digits rise."""
        return all(a < b for a, b in pairwise(digits))

    def warnings(self, parts: Sequence[Part], size: int) -> list[Caution]:
        """Thermometers that a reader cannot tell apart: a tip on a bulb or a tip, a mere stem."""
        found: list[Caution] = []
        for one, other in permutations((part.cells for part in parts), 2):
            tip = cell_name(one[-1], size)
            if one[-1] == other[0]:
                what = (
                    f"the tip of a thermometer lies on a bulb at {tip}; print cannot show the rise"
                )
                found.append((what, one))
            if one[-1] == other[-1] and one < other:
                what = f"two thermometers end at {tip}; print cannot show where either ends"
                found.append((what, (*one, *other[:-1])))
            if other[: len(one)] == one:
                bulb = cell_name(one[0], size)
                what = f"a thermometer from {bulb} to {tip} is only the stem of a longer one"
                found.append((what, one))
        return found

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        return Wording(
            "Digits rise along each thermometer from its bulb on: every digit is greater than the "
            "one before.",
            page="A thermometer is a broad band, and its bulb is the disc at one end.",
            text="Thermometers are told from the bulb to the tip.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A rise, and a fall on the way up."""
        size = geometry.size
        a, b, c, d = (2, 4, 7, 9) if size > 8 else (1, 3, 4, 6) if size > 5 else (1, 2, 3, 4)
        value = ["r1c1 r2c2 r2c3 r1c4"]
        return Cases(
            Case(
                {"r1c1": a, "r2c2": b, "r2c3": c, "r1c4": d},
                f"{a}, {b}, {c}, {d}: it rises from the bulb on.",
                value,
            ),
            Case(
                {"r1c1": a, "r2c2": c, "r2c3": b, "r1c4": d},
                f"From {c} to {b} it falls.",
                value,
                "r2c2 r2c3",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Broad lines from a disc. Where both ends have one, a line runs as it is drawn."""
        bulbs = rings(shapes, solid=True)
        found: list[Part] = []
        for path in paths(shapes, "broad", geometry.size):
            if path.cells[0] in bulbs:
                found.append(Thermometer(path.cells))
            elif path.cells[-1] in bulbs:
                found.append(Thermometer(path.cells[::-1]))
        return tuple(dict.fromkeys(found))


KIND = Thermometers()
