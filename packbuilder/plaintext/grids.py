"""Grids, and pictures of letters: one sign a cell, a row a line."""

from __future__ import annotations

from collections.abc import Sequence

from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.plan.outline import WIDTH, Rows


def grid_rows(values: Values, geometry: Geometry) -> Rows:
    """The rows of a grid: ``r3  . 4 .  . . 9  . . .``."""
    return signs([SYMBOLS[value] for value in values], geometry)


def signs(cells: Sequence[str], geometry: Geometry) -> Rows:
    """One sign a cell, set in rows.

    The row's name is padded to the longest, so that cells of a column stand below one another.
    Blocks are set apart by a second blank, where the line has room for that, and bands of blocks by
    a blank line.
    """
    n = geometry.size
    high, wide = geometry.shape or (n, n)
    longest = len(f"r{n}")
    if longest + 2 + 2 * n - 1 + (n // wide - 1) > WIDTH:
        wide = n
    lines = []
    for row in range(n):
        if row and row % high == 0:
            lines.append("")
        here = cells[row * n : row * n + n]
        blocks = [" ".join(here[k : k + wide]) for k in range(0, n, wide)]
        lines.append(f"{f'r{row + 1}':<{longest}}  {'  '.join(blocks)}")
    return Rows(tuple(lines))
