"""What every test may borrow: published data where it is present, and packs written on the spot."""

from __future__ import annotations

import os
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

# An open grid of the trade's most quoted example, and its solution: the article "Sudoku" of a
# free encyclopaedia (from memory). Both engines and OR-Tools judge it in tests/published/.
EXAMPLE = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"
EXAMPLE_SOLVED = "534678912672195348198342567859761423426853791713924856961537284287419635345286179"


def data_file(name: str) -> Path:
    """A file of published grids; skips the test where it is absent."""
    folder = Path(os.environ.get("PACKBUILDER_DATA", ROOT.parent / "shared" / "data"))
    path = folder / name
    if not path.is_file():
        pytest.skip(f"no published data here ({name})")
    return path


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
