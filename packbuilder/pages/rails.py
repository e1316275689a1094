"""Rails: the strong links of a step, from place to place, and the letters of its ends.

Two rails run on either side of a line's digits, which stand between them: of the two places that
they join one holds the digit. They stop before what else a cell shows.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from packbuilder.grid import SYMBOLS
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.straight_ways import Way
from packbuilder.plan.items import Disc, Glyphs, Item, Point, Text, Trace
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

BOX = 0.65
"""The side of the box round a place that links join, in cells."""

LETTER = "SourceSansPro-Bold"
"""The face of white digits and letters on black."""

LETTER_SIZE = 0.25, 7.0
"""That of letters: in cells, and the least in points."""

_APART, _SLANTED = 0.255, 0.11  # of a cell: from the middle to either rail, and where they slant
_FULL, _DIGIT = 0.45, 0.31  # of a cell: where rails stop for candidates and rings; for a digit
_DISC = 0.6  # of a letter's type size: the disc under it


def rails(
    place: GridPlace,
    pairs: Iterable[tuple[int, int]],
    full: Collection[int],
    filled: Collection[int],
) -> list[Item]:
    """Two rails for each pair of places. They pass by no ``full`` cell, and where they slant by no
    ``filled`` one."""
    weight = place.scaled(0.045, 0.8, 2.0)
    items: list[Item] = []
    for one, other in pairs:
        way = Way(one, other, place.size)
        apart = _APART if way.is_level else _SLANTED
        rooms = dict.fromkeys(() if way.is_level else filled, _DIGIT) | dict.fromkeys(full, _FULL)
        edge = box_edge(way)
        pieces = way.clear(edge, edge, rooms, apart)
        runs = tuple(
            place.run((way.at(low, side), way.at(high, side)))
            for side in (apart, -apart)
            for low, high in pieces
        )
        if runs:
            items.append(Trace(runs, weight, round_ends=True))
    return items


def box_edge(way: Way) -> float:
    """How far along a way the box of its first cell ends."""
    (a, b), (c, d) = way.ends
    return BOX / 2 * way.length / max(abs(c - a), abs(d - b))


def lettered(
    place: GridPlace, letters: Iterable[tuple[int, str]], at: Point = (0.14, 0.14)
) -> list[Item]:
    """White letters on black discs, ``at`` a point from each cell's upper left corner, in cells."""
    items: list[Item] = []
    size = place.type_size(*LETTER_SIZE)
    for cell, letter in letters:
        row, column = divmod(cell, place.size)
        x, y = place.at(column + at[0], row + at[1])
        radius = _DISC * size
        x = max(x, place.x + radius)  # no farther to the side than the grid
        items.append(Disc(x, y, radius, 0.8, "paper", "ink"))
        left = x - width(letter, LETTER, size) / 2
        items.append(Text(left, y - FIGURE_HEIGHT * size / 2, letter, LETTER, size, "paper"))
    return items


def tiles(place: GridPlace, written: Iterable[tuple[int, int]], size: float) -> list[Item]:
    """White digits of a type size (points) for the middles of black tiles."""
    cells, spots = [], []
    for cell, digit in written:
        x, y = place.middle(cell)
        letter = SYMBOLS[digit]
        left = x - width(letter, LETTER, size) / 2
        spots.append((left, y - FIGURE_HEIGHT * size / 2, letter))
        cells.append(cell)
    return [Glyphs(LETTER, size, tuple(spots), "paper", cells=tuple(cells))] if cells else []
