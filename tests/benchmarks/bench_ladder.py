"""What rating costs: each published set, one grid at a time, on one core."""

from __future__ import annotations

import statistics
from time import perf_counter

from packbuilder.grid import Values, blocks, parse_grid
from packbuilder.ladder.path import rate
from tests.conftest import data_file

Row = tuple[str, str, str]

TARGETS = {"easy50": 1.0, "clue17": 2.0, "mixed": 3.0}
"""Milliseconds a grid, median."""


def rows() -> list[Row]:
    """(what, figure, target) for each set that is present."""
    geometry = blocks(3, 3)
    found = []
    for name, target in TARGETS.items():
        clues = _grids(name)
        for grid in clues[:50]:  # the masks of the geometry are made once, when first needed
            rate(geometry, grid)
        times = []
        for grid in clues:
            start = perf_counter()
            rate(geometry, grid)
            times.append(1000 * (perf_counter() - start))
        figure = f"{statistics.median(times):.2f} ms (mean {statistics.mean(times):.2f})"
        found.append((f"`rate` a grid of {name}, median", figure, f"under {target:g} ms"))
    return found


def _grids(name: str) -> list[Values]:
    lines = data_file(f"{name}.txt").read_text().split()
    lines = [line for line in lines if len(line) == 81]
    return [parse_grid(line, 9) for line in lines[:: max(1, len(lines) // 1000)]]
