"""What rating costs, one grid at a time on one core, and how sets of grids come out."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Callable
from time import process_time

from packbuilder.grid import Geometry, Values, blocks
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.rounds import rate
from tests.conftest import data_grids

Row = tuple[str, str, str]

TARGETS = {"easy50": 1.0, "clue17": 2.0, "mixed": 3.0}
"""Milliseconds a grid, median."""

MOST = 1000
"""Grids of a set that are measured, evenly spread over it."""


def rows() -> list[Row]:
    """(what, figure, target) for each set that is present."""
    geometry = blocks(3, 3)
    found: list[Row] = []
    for name, target in TARGETS.items():
        clues = _grids(name)
        rating, unaided = (_times(solve, geometry, clues) for solve in (rate, no_notes))
        found.append((f"`rate` a grid of {name}", _figure(rating), f"under {target:g} ms"))
        most = f"at most as much again: {_figure(rating, mean=False)}"
        found.append((f"the least marks without notes, {name}", _figure(unaided), most))
        found.append((f"grades of {name}, per cent", shares(name, "grade"), ""))
        found.append((f"hardest steps of {name}, per cent", shares(name, "hardest"), ""))
    return found


def shares(name: str, fact: str) -> str:
    """The share of each grade, or of each hardest technique, in a set."""
    geometry, clues = blocks(3, 3), _grids(name)
    ratings = [rate(geometry, grid) for grid in clues]
    if fact == "hardest":
        counts = Counter(r.hardest if r.solved else "beyond" for r in ratings).most_common()
    else:
        counts = sorted(Counter(r.grade for r in ratings).items(), key=lambda pair: str(pair[0]))
    return ", ".join(f"{what} {100 * count / len(clues):.1f}" for what, count in counts)


def _times(
    solve: Callable[[Geometry, Values], object], geometry: Geometry, clues: list[Values]
) -> list[float]:
    """Milliseconds of this process for each grid."""
    for grid in clues[:50]:  # the masks of the geometry are made once, when first needed
        solve(geometry, grid)
    times = []
    for grid in clues:
        start = process_time()
        solve(geometry, grid)
        times.append(1000 * (process_time() - start))
    return times


def _figure(times: list[float], *, mean: bool = True) -> str:
    median = f"{statistics.median(times):.2f} ms"
    return f"{median} median, {statistics.mean(times):.2f} mean" if mean else median


def _grids(name: str) -> list[Values]:
    grids = data_grids(f"{name}.txt")
    return grids[:: max(1, len(grids) // MOST)]
