"""Measure, and print one Markdown table: ``python -m tests.benchmarks [proof ladder ...]``.

Without names, everything is measured; with names, only ``bench_<name>.py``.
"""

from __future__ import annotations

import platform
import sys
from importlib import import_module
from os import cpu_count
from pathlib import Path

import pytest


def main(names: list[str]) -> int:
    """Print the table of the benchmarks so named; the exit code is 2 if a name is unknown."""
    known = sorted(path.stem.removeprefix("bench_") for path in _folder().glob("bench_*.py"))
    unknown = [name for name in names if name not in known]
    if unknown:
        print(f"no benchmark {', '.join(unknown)}; there are: {', '.join(known)}", file=sys.stderr)
        return 2
    print(f"{cpu_count()} cores, {platform.machine()}, Python {platform.python_version()}\n")
    print("| what | measured | target |\n|---|---|---|")
    for name in names or known:
        try:
            for row in import_module(f"tests.benchmarks.bench_{name}").rows():
                print("| " + " | ".join(row) + " |", flush=True)
        except pytest.skip.Exception as absent:  # published data that is not here
            print(f"| {name} | {absent} | |")
    return 0


def _folder() -> Path:
    return Path(__file__).parent


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
