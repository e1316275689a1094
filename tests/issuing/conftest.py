"""A pack of two small puzzles, released once; each test gets a folder of its own, with a ledger."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packbuilder import cli
from packbuilder.errors import Exit

MANIFEST = """\
pack:
  title: The Tea House
  issue: 2026-12
  byline: Ada Quill
  theme: Two cups, and a plate.
  sampler: 1
puzzles:
  - id: saucer
    title: Saucer
    size: 6
    grid: 2..6...31..4.....61.....3..24...5..1
  - id: spoon
    title: Spoon
    setter: Bo Marl
    permission: by letter, 3 October 2026
    size: 4
    grid: .21....213......
"""


@pytest.fixture(scope="session")
def sent(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sent") / "tea-house"
    folder.mkdir()
    (folder / "manifest.yaml").write_text(MANIFEST, encoding="utf-8")
    assert cli.run(["release", str(folder)]) == Exit.GOOD
    return folder.parent


@pytest.fixture
def pack(sent: Path, tmp_path: Path) -> Path:
    shutil.copytree(sent, tmp_path / "packs")
    return tmp_path / "packs" / "tea-house"


def rewrite(pack: Path, old: str, new: str) -> None:
    manifest = pack / "manifest.yaml"
    text = manifest.read_text(encoding="utf-8")
    assert old in text
    manifest.write_text(text.replace(old, new), encoding="utf-8")


def listing(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
