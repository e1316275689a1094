"""Extra regions: sets of cells, drawn grey, that repeat no digit.

A region of as many cells as the grid has digits holds each digit once; a smaller one just repeats
none. A region may lie scattered over the grid: then its pieces carry a letter, unless they are
single cells and no other region is scattered, for then the grey single cells are the region.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from string import ascii_lowercase, ascii_uppercase
from typing import Any

from packbuilder.grid import SYMBOLS, Geometry, House, Values, cell_name
from packbuilder.rules.cases import Case, Cases, allowed, at
from packbuilder.rules.contract import Kind, Part, Picture, RuleFault, Solved, Told, Wording
from packbuilder.rules.shapes import Corner, Patch, Shape
from packbuilder.rules.tools.cells import NEITHER, picture, pieces, touch
from packbuilder.rules.tools.houses_only import HousesOnly
from packbuilder.rules.tools.random_clues import connected_cells, shuffled
from packbuilder.rules.tools.schema import PICTURE
from packbuilder.rules.tools.words import all_digits

_RANDOM = 2
"""Regions of a random value."""


@dataclass(frozen=True)
class ExtraRegion(HousesOnly):
    """One region; ``cells`` in reading order. ``letter`` is printed on its pieces, if not empty.

    ``within`` is the label of a house that it lies in, if it does: then it says nothing new.
    """

    cells: tuple[int, ...]
    pieces: tuple[tuple[int, ...], ...]
    letter: str = field(default="", compare=False)
    within: str = field(default="", compare=False, repr=False)

    def name(self, size: int) -> str:
        """``extra region at r1c1``."""
        return f"extra region at {cell_name(self.cells[0], size)}"

    def groups(self, size: int) -> tuple[tuple[int, ...], ...]:
        """The region."""
        return (self.cells,)

    def holds(self, values: Values, size: int) -> bool:
        """No digit comes twice in it."""
        found = [values[cell] for cell in self.cells]
        return all(found.count(digit) == 1 for digit in found)

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The region, unless a house has all of it."""
        told = House("extra region", f"the {self.name(geometry.size)}", self.cells)
        return () if self.within else (told,)

    def shapes(self) -> tuple[Shape, ...]:
        """A grey patch for each piece, with the letter in its first cell if there is one."""
        letters = (Corner(piece[0], self.letter) for piece in self.pieces if self.letter)
        return (*(Patch(piece) for piece in self.pieces), *letters)


class ExtraRegions(Kind):
    """Grey regions that repeat no digit."""

    slug = "extra-regions"
    title = "Extra regions"
    about = "Grey regions hold each digit once; regions smaller than a row repeat none."
    example = """\
id: extra-regions
title: Extra regions
size: 6
grid: |
  ...54.
  ..1...
  ...4..
  .2....
  .....3
  1...6.
rules:
  - extra-regions: |
      .aaaa.
      ..aa..
      ......
      .....b
      ...bbb
      ...b.b
"""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """A region for each letter of the picture."""
        size, found = geometry.size, picture(value, geometry.size)
        for letter, cells in found.items():
            if len(cells) > size:
                raise RuleFault(
                    f"region {letter!r} covers {len(cells)} cells, but there are only {size} "
                    "digits to fill them without a repeat",
                    f"draw it with {size} cells or fewer",
                )
            if len(cells) == 1:
                raise RuleFault(
                    f"region {letter!r} covers one cell, {cell_name(cells[0], size)}, which says "
                    "nothing",
                    "draw it with two cells or more, or leave it out",
                )
        return tuple(
            replace(region, within=next((house.label for house in geometry.houses
                                         if set(region.cells) <= set(house.cells)), ""))
            for region in _regions(found.values(), size)
        )  # fmt: skip

    def warnings(self, parts: Sequence[Part], size: int) -> list[tuple[str, tuple[int, ...]]]:
        """Regions that a house has anyway."""
        return [
            (f"the {part.name(size)} lies within {part.within}, which repeats no digit anyway",
             part.cells)
            for part in parts
            if isinstance(part, ExtraRegion) and part.within
        ]  # fmt: skip

    def schema(self) -> dict[str, Any]:
        """A picture."""
        return PICTURE

    def random_value(self, grid: Solved) -> Any:
        """Two regions that hold every digit, apart from one another."""
        size, free, found = grid.geometry.size, set(grid.free), []
        for start in shuffled(sorted(free), grid.draw):
            cells = connected_cells(grid, free, start, size) if start in free else []
            told = any(set(cells) <= set(house.cells) for house in grid.geometry.houses)
            if len(cells) == size and not told:
                found.append(cells)
                free -= {c for c in free if any(c == d or touch(c, d, size) for d in cells)}
            if len(found) == _RANDOM:
                break
        return "\n".join(_rows(_drawn(found, size), size)) if found else None

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """A picture of the regions, of 26 at most: those past them stand in another one."""
        cells, most = [part.cells for part in parts], len(ascii_lowercase)
        batches = (cells[k : k + most] for k in range(0, len(cells), most))
        return tuple(Picture(_drawn(batch, geometry.size)) for batch in batches)

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """The regions of pictures, one after the other."""
        parts: list[Part] = []
        for one in told:
            if not isinstance(one, Picture):
                raise RuleFault(f"{one.label!r} is no picture", "draw the regions in letters")
            parts += self.read("\n".join(_rows(one.letters, geometry.size)), geometry)
        return tuple(parts)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """What a region means, and how a scattered one is known."""
        regions = [part for part in parts if isinstance(part, ExtraRegion)]
        means = "No digit comes twice in an extra region."
        if all(len(part.cells) == size for part in regions):
            means = f"Each extra region also holds every digit from {all_digits(size)} once."
        page = "The regions are grey."
        if any(part.letter for part in regions):
            page += " Grey patches with the same letter are one region."
        elif any(len(part.pieces) > 1 for part in regions):
            page += " The single grey cells together are one region."
        text = "The cells with one letter are a region; a full stop is a cell in none of them."
        return Wording(means, page, text)

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """A region as large as a block, one cell off the corner."""
        size = geometry.size
        high, wide = geometry.shape or (2, -(-size // 2))
        spots = [(r, c) for r in range(2, high + 2) for c in range(2, wide + 2)][:size]
        letters = [["."] * size for _ in range(size)]
        for r, c in spots:
            letters[r - 1][c - 1] = "a"
        value = "\n".join("".join(row) for row in letters)
        half = -(-size // 2)  # every other digit, and then those between
        digits = {at(*spot): k // half + k % half * 2 + 1 for k, spot in enumerate(spots)}
        last = at(*spots[-1])
        twice = digits["r2c2"]
        return Cases(
            Case(digits, f"The region has every digit from {all_digits(size)} once.", value),
            Case(
                digits | {last: twice},
                f"{allowed(geometry)}, but the region has two {SYMBOLS[twice]}s.",
                value,
                f"r2c2 {last}",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Patches with one letter are a region, so are single cells; other patches stand alone."""
        patches = [shape.cells for shape in shapes if isinstance(shape, Patch)]
        letter_at = {
            shape.cell: shape.text
            for shape in shapes
            if isinstance(shape, Corner) and shape.text in ascii_uppercase
        }
        found: dict[object, list[int]] = {}
        for patch in patches:
            letter = next((letter_at[cell] for cell in patch if cell in letter_at), "")
            found.setdefault(letter if letter or len(patch) == 1 else patch, []).extend(patch)
        return _regions(found.values(), geometry.size)


def _drawn(regions: Iterable[Iterable[int]], size: int) -> str:
    """Regions that do not overlap, a small letter each: one letter a cell."""
    letters = [NEITHER] * size**2
    for cells, letter in zip(regions, ascii_lowercase, strict=False):
        for cell in cells:
            letters[cell] = letter
    return "".join(letters)


def _rows(letters: str, size: int) -> list[str]:
    return [letters[k : k + size] for k in range(0, len(letters), size)]


def _regions(found: Iterable[Sequence[int]], size: int) -> tuple[ExtraRegion, ...]:
    """The regions in reading order of their first cells, scattered ones with their letters."""
    regions = sorted(tuple(sorted(cells)) for cells in found)
    parted = {cells: pieces(cells, size) for cells in regions}
    scattered = [cells for cells in regions if len(parted[cells]) > 1]
    plain = len(scattered) == 1 and len(parted[scattered[0]]) == len(scattered[0])
    letters = {} if plain else dict(zip(scattered, ascii_uppercase, strict=False))
    return tuple(ExtraRegion(cells, parted[cells], letters.get(cells, "")) for cells in regions)


KIND = ExtraRegions()
