"""Cells, clues and techniques in the words of a finding."""

from __future__ import annotations

from collections.abc import Iterable

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.puzzle import Puzzle


def names(cells: Iterable[int], size: int, most: int = 12) -> str:
    """``r1c1, r1c2 and r3c4``; a long list is cut with its length."""
    names = [cell_name(c, size) for c in cells]
    if len(names) > most:
        return ", ".join(names[:most]) + f" and {len(names) - most} more cells"
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def clue_list(cells: Iterable[int], puzzle: Puzzle) -> str:
    """``9 at r2c9, 4 at r1c3``."""
    return ", ".join(f"{SYMBOLS[puzzle.clues[c]]} at {cell_name(c, puzzle.size)}" for c in cells)
