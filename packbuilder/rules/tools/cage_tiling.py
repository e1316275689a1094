"""Cages for a solved grid: tiles of two to four cells, and how they are written."""

from __future__ import annotations

from string import ascii_letters
from typing import Any

from packbuilder.rules.contract import Solved
from packbuilder.rules.tools import random_clues
from packbuilder.rules.tools.cage_reading import from_list, from_picture
from packbuilder.rules.tools.cells import NEITHER, touch
from packbuilder.rules.tools.random_clues import beside, connected_cells, pick

LENGTHS = (2, 2, 3, 3, 3, 4)
"""Cells of a cage, each as likely as it is often here: about 30 cages in a 9x9 grid."""

LARGEST = 5
"""Cells of a cage that has taken in a cell that was left alone."""


def random_cages(grid: Solved) -> list[list[int]]:
    """The free cells cut into cages of two cells and more that repeat no digit.

    A cell that fits no cage is left out.
    """
    size, free = grid.geometry.size, set(grid.free)
    cages: list[list[int]] = []
    alone: list[int] = []
    while free:
        # Cells with few open neighbours come first, or they would be left alone.
        degree = {c: len(free.intersection(beside(c, size))) for c in sorted(free)}
        least = min(degree.values())
        start = pick([c for c, count in degree.items() if count == least], grid.draw)
        cells = connected_cells(grid, free, start, pick(LENGTHS, grid.draw))
        free -= set(cells)
        (cages.append(cells) if len(cells) > 1 else alone.extend(cells))
    for cell in alone:
        for cage in cages:
            fits = grid.values[cell] not in {grid.values[c] for c in cage}
            if fits and len(cage) < LARGEST and any(touch(cell, c, size) for c in cage):
                cage.append(cell)
                cage.sort()
                break
    return sorted(cages)


def some_of(value: Any, count: int, grid: Solved) -> Any:
    """So many of random cages, as a list; None where there are fewer."""
    size = grid.geometry.size
    read = from_picture if isinstance(value, dict) else from_list
    cages = sorted(random_clues.shuffled(read(value, size).items(), grid.draw)[:count])
    found = [
        {"sum": str(total), "cells": random_clues.written(cells, size)} for cells, total in cages
    ]
    return found if len(found) == count else None


def written(cages: list[list[int]], grid: Solved) -> Any:
    """A picture with sums; a list where there are more cages than letters."""
    size, sums = grid.geometry.size, [str(sum(grid.values[c] for c in cage)) for cage in cages]
    if len(cages) > len(ascii_letters):
        texts = (random_clues.written(cage, size) for cage in cages)
        return [{"sum": total, "cells": text} for total, text in zip(sums, texts, strict=True)]
    letters = [NEITHER] * size**2
    for cage, letter in zip(cages, ascii_letters, strict=False):
        for cell in cage:
            letters[cell] = letter
    rows = ("".join(letters[k : k + size]) for k in range(0, size**2, size))
    pictured = dict(zip(ascii_letters, sums, strict=False))
    return {"picture": "\n".join(rows), "sums": pictured} if cages else None
