"""What setting costs: stripped grids, and grids to a request, on one core.

Rates count the seconds of this process alone, the best of several runs: other work on the machine
only ever slows them. What a person waits for is told by the clock on the wall.
"""

from __future__ import annotations

import statistics
from time import perf_counter, process_time

from packbuilder.errors import Unfinished
from packbuilder.grid import blocks
from packbuilder.proof import kernel
from packbuilder.setting.removal import remove
from packbuilder.setting.search import set_grids
from packbuilder.symmetry import orbits

Row = tuple[str, str, str]

CLASSIC = blocks(3, 3)
BATCH, BATCHES = 128, 6
BUDGET = 10.0


def rows() -> list[Row]:
    """(what, figure, target) of each measurement."""
    kernel.ready()
    return [_minimal_grids(), _grade_four(), _hidden_triples()]


def _minimal_grids() -> Row:
    places = orbits("none", 9)
    times = []
    for k in range(BATCHES):
        start = process_time()
        remove(CLASSIC, places, range(k * BATCH, (k + 1) * BATCH), seed="bench")
        times.append(process_time() - start)
    return "minimal grids by removal", f"{BATCH / min(times):,.0f} a second", "3,000 a second"


def _grade_four() -> Row:
    start = perf_counter()
    found = list(set_grids(CLASSIC, count=10, grade=4, clues=(24, 30), seed=1))
    took = perf_counter() - start
    return f"{len(found)} rotational grids of grade 4, 24-30 clues", f"{took:.2f} s", "10 s"


def _hidden_triples() -> Row:
    times = []
    for seed in range(10):
        start = perf_counter()
        request = set_grids(
            CLASSIC, count=1, grade=4, clues=(24, 30), needs=("hidden-triple",), seed=seed,
            budget=BUDGET,
        )  # fmt: skip
        try:
            next(request)
        except Unfinished:
            continue
        times.append(perf_counter() - start)
    median = f", median {statistics.median(times):.2f} s" if times else ""
    return (
        "a rotational grid that needs a hidden triple",
        f"{len(times)} of 10 within {BUDGET:.0f} s{median}",
        f"9 of 10 within {BUDGET:.0f} s",
    )


if __name__ == "__main__":
    for row in rows():
        print(" | ".join(row))
