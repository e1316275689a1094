"""A pack with two guests, questions to them, and a fault that keeps it from print."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import EXAMPLE

MANIFEST = f"""\
pack:
  title: The Tea House
  issue: 2026-12
  byline: Ada Quill
  questions:
    time: How long it took
    trick: What is the trick to look for?
puzzles:
  - id: kettle
    title: Kettle
    grid: {EXAMPLE}
  - id: saucer
    title: Saucer
    setter: Bo Marl
    permission: by letter, 3 October 2026
    size: 6
    grid: 2..6...31..4.....61.....3..24...5..1
    intro: Mind the handle.
    answers:
      trick: Look at the ones.
      time: two evenings and a morning
  - id: spoon
    title: Spoon
    setter: Cy Hall
    permission: said yes at the fair
    size: 4
    grid: .21....213......
"""


@pytest.fixture
def pack(tmp_path: Path) -> Path:
    folder = tmp_path / "tea-house"
    folder.mkdir()
    (folder / "manifest.yaml").write_text(MANIFEST, encoding="utf-8")
    return folder
