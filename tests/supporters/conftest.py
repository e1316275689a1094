"""A small pack, released once in every kind of edition; each test gets a folder of its own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packbuilder import cli
from packbuilder.errors import Exit
from tests.conftest import EXAMPLE

EDITIONS = ("print", "booklet", "screen-dark", "text")
MANIFEST = f"""\
pack:
  title: The Tea House
  issue: 2026-12
  byline: Ada Quill
puzzles:
  - id: kettle
    title: Kettle
    grid: {EXAMPLE}
  - id: saucer
    title: Saucer
    size: 6
    grid: 2..6...31..4.....61.....3..24...5..1
"""


@pytest.fixture(scope="session")
def released(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("released") / "tea-house"
    folder.mkdir()
    (folder / "manifest.yaml").write_text(MANIFEST, encoding="utf-8")
    editions = [part for name in EDITIONS for part in ("--edition", name)]
    assert cli.run(["build", str(folder), *editions]) == Exit.GOOD
    return folder


@pytest.fixture
def pack(released: Path, tmp_path: Path) -> Path:
    folder = tmp_path / "tea-house"
    shutil.copytree(released, folder)
    return folder
