"""What the mark load costs beside the rating: each set of grids, a grid at a time, on one core."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Callable
from time import process_time

from packbuilder.grid import Values, blocks, parse_grid
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.head.solve import tell
from packbuilder.ladder.rounds import rate
from tests.benchmarks import Row, data_file

TARGETS = {"easy50": 0.5, "clue17": 0.5, "mixed": 0.5}
"""Milliseconds a grid, median, on top of the rating."""

MOST = 2000
"""Grids of a set that are timed."""

CLASSIC = blocks(3, 3)


def rows() -> list[Row]:
    """(what, figure, target) for each set that is present."""
    found = []
    for name, target in TARGETS.items():
        clues = _grids(name)
        if clues:
            found += _rows(name, clues, target)
    return found


def _rows(name: str, clues: list[Values], target: float) -> list[Row]:
    for grid in clues[:50]:  # the masks of the geometry are made once, when first needed
        rate(CLASSIC, grid), no_notes(CLASSIC, grid)
    loads, told = _times(no_notes, clues), _times(tell, clues[::20])
    rating = statistics.median(_times(rate, clues[::5]))
    figure = (
        f"{statistics.median(loads):.2f} ms (mean {statistics.mean(loads):.2f}, worst "
        f"{max(loads):.0f}; `rate` {rating:.2f})"
    )
    return [
        Row(f"`no_notes` a grid of {name}, median", figure, f"under {target:g} ms"),
        Row(f"the same told in words, {name}, median", f"{statistics.median(told):.1f} ms"),
        Row(f"mark loads of {name}", _shares(clues)),
    ]


def _times(call: Callable[..., object], clues: list[Values]) -> list[float]:
    times = []
    for grid in clues:
        start = process_time()
        call(CLASSIC, grid)
        times.append(1000 * (process_time() - start))
    return times


def _shares(clues: list[Values]) -> str:
    counts: Counter[str] = Counter()
    for grid in clues:
        answer = no_notes(CLASSIC, grid)
        counts[
            "not known" if answer.solved is None else f"{answer.marks}" if answer.solved else "-"
        ] += 1
    return ", ".join(f"{load}: {100 * n / len(clues):.1f} %" for load, n in sorted(counts.items()))


def _grids(name: str) -> list[Values]:
    path = data_file(f"{name}.txt")
    lines = [line for line in path.read_text().split() if len(line) == 81] if path else []
    return [parse_grid(line, 9) for line in lines[:: max(1, -(-len(lines) // MOST))]]


if __name__ == "__main__":
    for row in rows():
        print(" | ".join(row))
