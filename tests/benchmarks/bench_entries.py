"""A hundred thousand entries judged: right, wrong, whole grids, repeats, in many zones."""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path

from packbuilder.supporters.entries import Prize, judge
from packbuilder.supporters.entry_lists import write_lists
from tests.benchmarks import Row
from tests.conftest import EXAMPLE_SOLVED

LINES = 100_000


def rows() -> list[Row]:
    """What was measured, the figure, the target."""
    prize = Prize("kettle", 1, "Kettle", EXAMPLE_SOLVED, (2, 13, 34, 50, 77, 80), 9000)
    rng, lines = random.Random(1), ["received,name,puzzle,digits"]
    for k in range(LINES):
        zone = f"{rng.choice('+-')}{rng.randrange(12):02}:30"
        at = f"2026-12-{rng.randrange(1, 29):02}T{rng.randrange(24):02}:{k % 60:02}:{k % 59:02}"
        digits = rng.choice((prize.code, prize.code[::-1], EXAMPLE_SOLVED, EXAMPLE_SOLVED[::-1]))
        lines.append(f"{at}{zone},Solver {rng.randrange(LINES)},kettle,{digits}")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "list.csv"
        file.write_text("\n".join(lines) + "\n", encoding="utf-8")
        start, spent = time.perf_counter(), time.process_time()
        results = judge(file, [prize], 3)
        write_lists(results, {}, Path(folder) / "out", with_names=False)
        took, spent = time.perf_counter() - start, time.process_time() - spent
    told = f"{took:.1f} s ({spent:.1f} s of processor time)"
    return [Row(f"entries: {LINES:,} lines judged, lists written", told, "under 10 s")]
