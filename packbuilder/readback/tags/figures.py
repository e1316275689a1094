"""Whether the small grids that are figures are heard as they are printed, row by row."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.readback.report import TOLD, Finding
from packbuilder.readback.sections import HOW_TO_PLAY, PRIMER
from packbuilder.readback.survey import Grid
from packbuilder.readback.tags.heard import Heard
from packbuilder.readback.tags.tree import Content, Element, Tree

EXAMPLES = (HOW_TO_PLAY, PRIMER)
"""The sections whose grids are told as figures."""

_ROW = re.compile(r"row (\d+): ([^;.]*)")


def check_figures(tree: Tree, heard: Heard) -> Iterator[Finding]:
    """The alternative of each example says its digits: ``row 1: blank, 3, ...``."""
    owners = {
        content: element
        for element in tree.root.walk()
        if element.role in ("Figure", "TD")
        for content in element.contents()
    }
    for leaf in heard.leaves:
        for grid in leaf.grids if leaf.section in EXAMPLES else ():
            told = {owners.get(Content(leaf.number, d.glyph.tag)) for d in grid.filled.digits}
            if any(one is not None and one.role == "TD" for one in told):
                continue  # told as a table, whose cells say themselves
            figures = [one for one in told if one is not None]
            if len(told) != 1 or not figures:
                yield Finding("tag-cell", "a small grid is no figure of its own", leaf.number)
                continue
            amiss = list(_amiss(grid, figures[0]))
            if amiss:
                more = f"; and {len(amiss) - TOLD} more" if len(amiss) > TOLD else ""
                cells = tuple(cell_name(c, grid.lattice.size) for c, _ in amiss)
                words = "; ".join(words for _, words in amiss[:TOLD]) + more
                yield Finding("tag-cell", words, leaf.number, cells)


def _amiss(grid: Grid, figure: Element) -> Iterator[tuple[int, str]]:
    """The cells that a figure's alternative tells otherwise than they are printed."""
    n = grid.lattice.size
    rows = {int(k): [word.strip() for word in words.split(",")] for k, words in
            _ROW.findall(figure.alt)}  # fmt: skip
    for cell, value in enumerate(grid.filled.values(n)):
        row = rows.get(cell // n + 1, [])
        word = row[cell % n] if len(row) == n else ""
        if (SYMBOLS.find(word) if len(word) == 1 else 0) != value:
            name, due = cell_name(cell, n), SYMBOLS[value] if value else "empty"
            yield cell, f"in its alternative, {name} is told as {word!r}, and is {due}"
