"""Whether each grid is heard as it is printed: its digits in their cells, row by row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from packbuilder.grid import cell_name
from packbuilder.readback.report import Fault, gather
from packbuilder.reader.marks import Glyph
from packbuilder.reader.pages import SeenGrid
from packbuilder.reader.spoken import Heard


def check_cells(grid: SeenGrid, heard: Mapping[int, Sequence[Heard]]) -> Iterator[Fault]:
    """Each digit and candidate is the content of its own cell, in one table, and of no other.

    ``heard`` says of the page's marked content where it is heard. The first row and the first
    column of a table are its headings.
    """
    n = grid.lattice.size
    digits = (*grid.filled.digits, *grid.filled.candidates)
    found = {id(d): heard.get(d.glyph.tag, ()) for d in digits}
    tables = [one.table for places in found.values() for one in places]
    table = max(set(tables), key=tables.count, default=0)
    told = []
    for d in digits:
        row, column = divmod(d.cell, n)
        if list(found[id(d)]) != [Heard(table, row + 1, column + 1)]:
            told.append((d.cell, f"{cell_name(d.cell, n)} {_words(d.glyph, found[id(d)])}"))
    yield from gather("tag-cell", told)


def _words(glyph: Glyph, places: Sequence[Heard]) -> str:
    if not places:
        return f"({glyph.text}) would not be heard in any cell"
    where = " and ".join(f"row {p.row}, column {p.column}" for p in places)
    return f"({glyph.text}) would be heard in {where}"
