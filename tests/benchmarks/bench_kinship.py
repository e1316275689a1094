"""What kinship costs: fingerprints of puzzles, of their solved grids, and disguises told.

Times are those of this process alone, the best of several runs.
"""

from __future__ import annotations

from time import process_time

from packbuilder import kinship
from packbuilder.grid import Values, blocks
from packbuilder.kinship import Posed, disguise, fingerprint, fingerprints
from packbuilder.kinship import forms as kinship_forms
from packbuilder.proof import kernel
from tests.benchmarks import Row, best
from tests.conftest import data_grids

CLASSIC = blocks(3, 3)
SOME = 300


def rows() -> list[Row]:
    """(what, figure, target) of each measurement."""
    grids = data_grids("clue17.txt")
    kernel.ready()
    full = [kernel.random_solution(CLASSIC, seed) for seed in range(SOME)] * 10
    some = grids[:SOME]
    kinship_forms._compiled = None
    plain = _each(lambda: [fingerprint(CLASSIC, clues) for clues in some], SOME)
    kinship.ready()
    alone = _each(lambda: [fingerprint(CLASSIC, clues) for clues in some], SOME)
    batch = _each(lambda: list(fingerprints(CLASSIC, grids)), len(grids))
    solved = _each(lambda: list(fingerprints(CLASSIC, full)), len(full))
    told = _each(lambda: [disguise(*pair) for pair in _pairs(some)], SOME)
    differ = f"{len(set(fingerprints(CLASSIC, grids))):,} of {len(grids):,} differ"
    return [
        Row("fingerprints of 17 clues, in a batch", f"{batch:.1f} µs; {differ}", "10 µs; all"),
        Row("the same, one by one, compiled search ready", f"{alone:.0f} µs", "100 µs"),
        Row("the same, one by one, in plain Python", f"{plain:.0f} µs"),
        Row("fingerprints of full grids, in a batch", f"{solved:.1f} µs"),
        Row("a disguise told and checked", f"{told:.0f} µs"),
    ]


def _pairs(grids: list[Values]) -> list[tuple[Posed, Posed]]:
    """Each grid, and the grid with its rows in reverse and its digits counted down."""
    return [
        (
            Posed(CLASSIC, grid),
            Posed(
                CLASSIC, tuple(10 - d if d else 0 for r in range(9) for d in grid[72 - 9 * r :][:9])
            ),
        )
        for grid in grids
    ]


def _each(call: object, count: int) -> float:
    return best(call, clock=process_time) / count * 1e6  # type: ignore[arg-type]


if __name__ == "__main__":
    for row in rows():
        print(" | ".join(row))
