"""What is measured, never what is asserted by the clock. ``python -m tests.benchmarks`` shows it.

Each ``bench_*.py`` here has a function ``rows()`` that measures and gives a `Row` for each figure.
Ratios compare what was measured in the same run, turn and turn about.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parent.parent.parent


class Row(NamedTuple):
    """One line of the table: what was measured, the figure with its unit, what it should reach."""

    what: str
    figure: str
    target: str = ""


def best(
    call: Callable[[], object], rounds: int = 5, clock: Callable[[], float] = time.perf_counter
) -> float:
    """The shortest time of some rounds, in seconds: what the code costs, less what disturbed it.

    ``clock=time.process_time`` leaves out the time that other programs took: for one core only.
    """
    return min(_timed(call, clock) for _ in range(rounds))


def best_in_turn(
    calls: list[Callable[[], object]],
    rounds: int = 5,
    clock: Callable[[], float] = time.process_time,
) -> list[float]:
    """`best` for several calls that take turns, so that a busy machine hurts them alike."""
    times = [[_timed(call, clock) for call in calls] for _ in range(rounds)]
    return [min(column) for column in zip(*times, strict=True)]


def data_file(name: str) -> Path | None:
    """A file of grids (see tests/conftest.py), or None where it is absent."""
    folder = os.environ.get("PACKBUILDER_DATA")
    path = Path(folder or "") / name
    return path if folder and path.is_file() else None


def _timed(call: Callable[[], object], clock: Callable[[], float]) -> float:
    start = clock()
    call()
    return clock() - start
