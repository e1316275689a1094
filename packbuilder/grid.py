"""Geometry: cells, houses, and grids of text in and out.

A grid of size n has n x n cells, numbered 0 to n*n-1 row by row. For people a cell is written
``r1c1`` (row, column, from 1). Values are a flat tuple of ints, row by row, 0 for an empty cell.
Digits past 9 are written A, B, C, ... (16 is G).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

MIN_SIZE, MAX_SIZE = 4, 16
SYMBOLS = ".123456789ABCDEFG"
_READ = (
    {ch: v for v, ch in enumerate(SYMBOLS)}
    | {"0": 0}
    | {ch.lower(): v for v, ch in enumerate(SYMBOLS) if ch.isalpha()}
)
_CELL = re.compile(r"r(\d{1,2})c(\d{1,2})")
_SHAPE = re.compile(r"([0-9]{1,2})x([0-9]{1,2})")

Values = tuple[int, ...]


class GridFault(ValueError):
    """A text grid that cannot be read. ``row`` and ``column`` count from 1, or are None."""

    def __init__(self, message: str, row: int | None = None, column: int | None = None) -> None:
        super().__init__(message)
        self.row = row
        self.column = column


@dataclass(frozen=True)
class House:
    """A set of cells that may not repeat a digit.

    ``kind`` is ``row``, ``column``, ``block`` or ``region`` (rules add their own, such as
    ``diagonal``); ``label`` is how a person names it: "row 1", "block 3", "region C".
    A house may have fewer cells than the grid has digits; then it need not hold every digit.
    """

    kind: str
    label: str
    cells: tuple[int, ...]


@dataclass(frozen=True)
class Geometry:
    """The houses of a grid, and which block or region each cell lies in.

    ``regions`` has one entry a cell (an index from 0), or is None for a Latin square.
    ``shape`` is (rows, columns) of a block where the regions are blocks, else None.
    """

    size: int
    houses: tuple[House, ...]
    regions: tuple[int, ...] | None = None
    shape: tuple[int, int] | None = None

    @property
    def cell_count(self) -> int:
        """How many cells the grid has: size x size."""
        return self.size * self.size

    @cached_property
    def houses_of(self) -> tuple[tuple[int, ...], ...]:
        """For each cell, the indices of the houses that it lies in, in order."""
        return tuple(
            tuple(h for h, house in enumerate(self.houses) if cell in house.cells)
            for cell in range(self.cell_count)
        )

    @cached_property
    def peers(self) -> tuple[frozenset[int], ...]:
        """For each cell, the other cells that may not hold its digit."""
        return tuple(
            frozenset(j for h in self.houses_of[i] for j in self.houses[h].cells if j != i)
            for i in range(self.cell_count)
        )

    def holds(self, values: Values) -> bool:
        """True if a full grid breaks no house. Plain on purpose: it judges the engines."""
        if any(not 1 <= v <= self.size for v in values):
            return False
        return all(
            len({values[i] for i in house.cells}) == len(house.cells) for house in self.houses
        )

    def name(self) -> str:
        """The grid in words: ``9x9, blocks 3x3``."""
        kind = (
            f"blocks {self.shape[0]}x{self.shape[1]}"
            if self.shape
            else "Latin square"
            if self.regions is None
            else "irregular regions"
        )
        return f"{self.size}x{self.size}, {kind}"


def lines_of(size: int) -> tuple[House, ...]:
    """The rows and the columns of a grid."""
    span = range(size)
    rows = (House("row", f"row {r + 1}", tuple(r * size + c for c in span)) for r in span)
    columns = (House("column", f"column {c + 1}", tuple(r * size + c for r in span)) for c in span)
    return (*rows, *columns)


def latin(size: int) -> Geometry:
    """A Latin square: rows and columns only."""
    return Geometry(size, lines_of(size))


def blocks(rows: int, columns: int) -> Geometry:
    """A grid with rectangular blocks of ``rows`` x ``columns`` cells; its size is their product."""
    size = rows * columns
    across = size // columns
    region = [(i // size) // rows * across + (i % size) // columns for i in range(size * size)]
    return _with_regions(
        size, region, [f"block {k + 1}" for k in range(size)], "block", (rows, columns)
    )


def irregular(picture: str) -> Geometry:
    """A grid whose regions are drawn as a picture, one letter a cell, a line a row.

    Raises GridFault where the picture is not square, is too small or too large, or where a
    letter does not cover exactly as many cells as the grid has digits.
    """
    rows = [re.sub(r"\s", "", line) for line in picture.strip().splitlines()]
    size = len(rows)
    check_size(size)
    for r, row in enumerate(rows):
        if len(row) != size:
            raise GridFault(
                f"row {r + 1} of the regions picture has {len(row)} letters; it needs {size}", r + 1
            )
    letters = list(dict.fromkeys("".join(rows)))
    for letter in letters:
        count = sum(row.count(letter) for row in rows)
        if count != size:
            raise GridFault(
                f"region {letter!r} covers {count} cells; each region of a {size}x{size} grid "
                f"covers {size}"
            )
    region = [letters.index(ch) for row in rows for ch in row]
    return _with_regions(size, region, [f"region {ch}" for ch in letters], "region")


@lru_cache(256)
def read_blocks(text: str | None, size: int) -> Geometry:
    """The geometry that a person writes down for a grid of a size.

    ``3x3`` (rows x columns of a block); ``none`` for a Latin square; a picture of the regions, a
    letter or a digit a cell, a line a row or all in one line, blanks left out; None for the usual
    blocks. Raises GridFault, with the row where one is wrong, saying what to write instead.
    """
    check_size(size)
    if text is None:
        shape = default_shape(size)
        if shape is None:
            raise GridFault(
                f"a grid of size {size} has no usual block; write none for a Latin square, or draw "
                "its regions as a picture"
            )
        return blocks(*shape)
    if text.strip() == "none":
        return latin(size)
    if found := _SHAPE.fullmatch(text.strip()):
        return _of_shape(int(found[1]), int(found[2]), size)
    return irregular("\n".join(_picture_rows(text, size)))


def _of_shape(rows: int, columns: int, size: int) -> Geometry:
    if rows * columns != size:
        usual = default_shape(size)
        raise GridFault(
            f"blocks of {rows}x{columns} hold {rows * columns} cells, in a grid of size {size}; "
            "write "
            + (f"{usual[0]}x{usual[1]}" if usual else "none, or a picture of the regions")
            + f", or size: {rows * columns}" * (MIN_SIZE <= rows * columns <= MAX_SIZE)
        )
    if 1 in (rows, columns):
        raise GridFault(
            f"blocks of {rows}x{columns} are the rows or columns again; write none for a Latin "
            "square"
        )
    return blocks(rows, columns)


def _picture_rows(text: str, size: int) -> list[str]:
    rows = [row for row in (re.sub(r"\s", "", line) for line in text.splitlines()) if row]
    if len(rows) == 1 and len(rows[0]) == size * size:
        rows = [rows[0][k : k + size] for k in range(0, size * size, size)]
    if len(rows) <= 1:
        shown = repr(text if len(text) <= 40 else text[:37] + "...")
        raise GridFault(
            f"{shown} is not a shape of blocks; write rows x columns (such as 3x3), none, "
            "or a picture: a letter a cell, a line a row"
        )
    for r, row in enumerate(rows):
        for c, letter in enumerate(row):
            if not letter.isalnum():
                raise GridFault(
                    f"row {r + 1}, column {c + 1} of the picture is {letter!r}; write a letter "
                    "for the region of the cell",
                    r + 1,
                    c + 1,
                )
    if len(rows) != size:
        raise GridFault(f"the picture has {len(rows)} rows; a grid of size {size} needs {size}")
    return rows


def default_shape(size: int) -> tuple[int, int] | None:
    """The usual block of a size: 3x3 for 9, 2x3 for 6, 3x4 for 12; None for a prime size."""
    for rows in range(int(size**0.5), 1, -1):
        if size % rows == 0:
            return rows, size // rows
    return None


def check_size(size: int) -> None:
    """Raise GridFault for a size outside 4 to 16."""
    if not MIN_SIZE <= size <= MAX_SIZE:
        raise GridFault(f"a grid of size {size}; sizes go from {MIN_SIZE} to {MAX_SIZE}")


def cell_name(cell: int, size: int) -> str:
    """``r1c1`` for cell 0."""
    return f"r{cell // size + 1}c{cell % size + 1}"


def losses(
    removes: Iterable[tuple[int, int]],
) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    """What (cell, digit) pairs take, as (digits, cells): cells of one loss are together."""
    lost: dict[int, list[int]] = {}
    for cell, d in removes:
        lost.setdefault(cell, []).append(d)
    alike: dict[tuple[int, ...], list[int]] = {}
    for cell in sorted(lost):
        alike.setdefault(tuple(sorted(lost[cell])), []).append(cell)
    return [(digits, tuple(cells)) for digits, cells in alike.items()]


def parse_cell(text: str, size: int) -> int:
    """The number of the cell written ``r1c1``. Raises GridFault."""
    found = _CELL.fullmatch(text.strip())
    if not found:
        raise GridFault(f"{text!r} is not a cell; write it as r1c1 (row, column, from 1)")
    row, column = int(found[1]), int(found[2])
    if not (1 <= row <= size and 1 <= column <= size):
        raise GridFault(f"{text} lies outside a {size}x{size} grid", row, column)
    return (row - 1) * size + column - 1


def parse_grid(text: str, size: int) -> Values:
    """Read a grid of digits: ``.`` or ``0`` is empty, blanks are ignored.

    One line per row, or all cells in one line. Raises GridFault with the row and the column of
    the first wrong character or length.
    """
    rows = [row for row in (re.sub(r"[ \t\r|]", "", line) for line in text.splitlines()) if row]
    if len(rows) == 1 and len(rows[0]) == size * size:
        rows = [rows[0][k : k + size] for k in range(0, size * size, size)]
    for r, row in enumerate(rows):
        for c, ch in enumerate(row):
            if _READ.get(ch, size + 1) > size:
                raise GridFault(
                    f"row {r + 1}, column {c + 1} is {ch!r}; a cell of a {size}x{size} grid is "
                    f"'.' or 1 to {SYMBOLS[size]}",
                    r + 1,
                    c + 1,
                )
    if len(rows) == 1 and size > 1:
        raise GridFault(f"the grid has {len(rows[0])} cells in one line; it needs {size * size}", 1)
    for r, row in enumerate(rows):
        if len(row) != size:
            raise GridFault(f"row {r + 1} has {len(row)} cells; it needs {size}", r + 1)
    if len(rows) != size:
        raise GridFault(f"the grid has {len(rows)} rows; it needs {size}")
    return tuple(_READ[ch] for row in rows for ch in row)


def format_grid(values: Values) -> str:
    """The grid as one line of text, row by row, ``.`` for an empty cell."""
    return "".join(SYMBOLS[v] for v in values)


def format_rows(values: Values, size: int) -> str:
    """The grid as ``size`` lines of text."""
    line = format_grid(values)
    return "\n".join(line[k : k + size] for k in range(0, len(line), size))


def _with_regions(
    size: int,
    region: list[int],
    labels: list[str],
    kind: str,
    shape: tuple[int, int] | None = None,
) -> Geometry:
    found = [
        House(kind, label, tuple(i for i, g in enumerate(region) if g == k))
        for k, label in enumerate(labels)
    ]
    return Geometry(size, (*lines_of(size), *found), tuple(region), shape)
