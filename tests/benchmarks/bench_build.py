"""Whole commands from the shell: start included, caches warm."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RUNS = 3


def _seconds(*args: str) -> float:
    """The best of a few runs of one command."""
    best = float("inf")
    for _ in range(RUNS):
        start = time.perf_counter()
        command = [sys.executable, "-m", "packbuilder.cli", *args]
        subprocess.run(command, check=True, capture_output=True, cwd=ROOT)
        best = min(best, time.perf_counter() - start)
    return best


def rows() -> list[tuple[str, str, str]]:
    """What was measured, the figure, the target."""
    pack = str(ROOT / "packs" / "night-train")
    with tempfile.TemporaryDirectory() as out:
        _seconds("build", pack, "--out", out)  # compiles, where that was not done
        build = _seconds("build", pack, "--out", out)
    return [
        ("build of the sample pack, gate and read-back included", f"{build:.1f} s", "8 s"),
        ("`packbuilder --help`", f"{_seconds('--help'):.2f} s", "0.25 s"),
    ]
