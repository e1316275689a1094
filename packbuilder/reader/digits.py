"""From glyphs to cells: which digit stands where in a grid, and what stands there and is none."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from packbuilder.grid import SYMBOLS
from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Glyph
from packbuilder.reader.typefaces import ink_of

CANDIDATE = 0.45
"""A digit set smaller than this share of a cell is a candidate, where candidates may stand."""


WHITE = 0.9
"""The least of red, green and blue of a white letter."""


class Digit(NamedTuple):
    """A digit in a cell. ``x y`` is the middle of its ink, measured from the middle of the cell
    in cells, y upwards."""

    cell: int
    value: int
    x: float
    y: float
    glyph: Glyph


@dataclass(frozen=True)
class Filled:
    """What the text of a grid says. ``strange`` holds (nearest cell, glyph) of what is no digit
    of this grid, or lies over its edge. ``named`` are small white letters, which name cells."""

    digits: tuple[Digit, ...]
    candidates: tuple[Digit, ...]
    strange: tuple[tuple[int, Glyph], ...]
    named: tuple[tuple[int, Glyph], ...] = ()

    @property
    def letters(self) -> tuple[tuple[int, str], ...]:
        """The white letters that name cells."""
        return tuple((cell, glyph.text) for cell, glyph in self.named)

    def values(self, size: int) -> tuple[int, ...]:
        """The digit of each cell, 0 where none is printed."""
        found = [0] * (size * size)
        for digit in self.digits:
            found[digit.cell] = digit.value
        return tuple(found)


def fill(
    lattice: Lattice, glyphs: Iterable[Glyph], *, candidates: bool = False, most: int = 0
) -> Filled:
    """Put each glyph that touches the grid into its cell.

    The grid has digits up to ``most``; if that is not given, up to its size. With ``candidates``,
    digits smaller than CANDIDATE of a cell are taken for candidates.
    """
    symbols = SYMBOLS[: (most or lattice.size) + 1]
    left, bottom, right, top = lattice.box
    big: list[Digit] = []
    small: list[Digit] = []
    strange: list[tuple[int, Glyph]] = []
    named: list[tuple[int, Glyph]] = []
    for glyph in glyphs:
        if not (glyph.x1 > left and glyph.x0 < right and glyph.y1 > bottom and glyph.y0 < top):
            continue
        if not glyph.text.strip():
            continue
        x0, y0, x1, y1 = ink_of(glyph)
        if not (x1 > left and x0 < right and y1 > bottom and y0 < top):
            continue
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        cell = lattice.cell_at(x, y)
        is_small = candidates and glyph.size < CANDIDATE * lattice.pitch
        if cell is not None and is_small and glyph.colour and min(glyph.colour) > WHITE:
            named.append((cell, glyph))
            continue
        value = symbols.find(glyph.text)
        if cell is None or value < 1:
            strange.append((lattice.nearest(x, y), glyph))
            continue
        mx, my = lattice.middle(cell)
        digit = Digit(cell, value, (x - mx) / lattice.pitch, (y - my) / lattice.pitch, glyph)
        (small if is_small else big).append(digit)
    return Filled(tuple(big), tuple(small), tuple(strange), tuple(named))
