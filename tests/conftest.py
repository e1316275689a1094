"""What every test may borrow: a grid, sets of grids where they are, packs written on the spot."""

from __future__ import annotations

import os
import textwrap
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest
from hypothesis import settings

from packbuilder.grid import Values, parse_grid

ROOT = Path(__file__).resolve().parent.parent

# Made by this program: `packbuilder set --grade 1 --clues 30 --seed 1`. That it has this solution
# and no other is for OR-Tools to say (tests/proof/test_engines.py).
EXAMPLE = "12.973..6..8.4...3.5...1....69......7..1.2..5......42....2...4.5...1.7..4..538.62"
EXAMPLE_SOLVED = "124973856978645213356821974269754381743182695815369427631297548582416739497538162"

# The sets of grids that some tests measure, where PACKBUILDER_DATA names a folder with them:
# clue17.txt   a tenth of Gordon Royle's list of 49,151 grids with 17 clues (from memory)
# easy50.txt   50 easy grids, origin not recorded
# mixed.txt    2,000 grids of every grade, origin not recorded

settings.register_profile("suite", deadline=None)  # nothing asserts the clock
settings.load_profile("suite")

# Rooms of which a test with many cases takes every fourth: the cases are many and of one kind, and
# the whole would take twice as long as all else. PACKBUILDER_ALL_CASES=1 runs every one.
SAMPLED = tuple(
    f"tests/{room}/" for room in ("ladder", "outside", "pages", "proof", "readback", "setting")
)
MANY, EVERY = 8, 4


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave a part of the cases of large tests out, always the same part."""
    if os.environ.get("PACKBUILDER_ALL_CASES"):
        return
    of = {item: item.nodeid.partition("[")[0] for item in items}
    cases = Counter(of.values())
    left = [
        item
        for item in items
        if item.nodeid.startswith(SAMPLED)
        and cases[of[item]] > MANY
        and crc32(item.nodeid.encode()) % EVERY
    ]
    config.hook.pytest_deselected(items=left)
    out = set(left)
    items[:] = [item for item in items if item not in out]


def data_file(name: str) -> Path:
    """A file of grids in the folder that PACKBUILDER_DATA names; skips the test without it."""
    folder = os.environ.get("PACKBUILDER_DATA")
    path = Path(folder or "") / name
    if not folder or not path.is_file():
        pytest.skip(f"PACKBUILDER_DATA names no folder with {name}")
    return path


def data_grids(name: str, every: int = 1) -> list[Values]:
    """Every so manyth grid of a file, 81 cells a line; skips the test without it."""
    lines = data_file(name).read_text(encoding="utf-8").split()
    return [parse_grid(line, 9) for line in lines if len(line) == 81][::every]


@pytest.fixture
def write_pack(tmp_path: Path) -> Callable[..., Path]:
    """Write a pack's folder; ``puzzles`` is YAML, one list entry or more. Gives the folder."""

    def write(puzzles: str, pack: str = "", name: str = "tea-house") -> Path:
        folder = tmp_path / name
        folder.mkdir(exist_ok=True)
        head = "pack:\n  title: The Tea House\n  issue: 2026-12\n  byline: Ada Quill\n"
        text = head + textwrap.indent(textwrap.dedent(pack), "  ")
        text += "\npuzzles:\n" + textwrap.indent(textwrap.dedent(puzzles).strip("\n"), "  ") + "\n"
        (folder / "manifest.yaml").write_text(text, encoding="utf-8")
        return folder

    return write
