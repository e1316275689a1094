"""Manifests to test with: sound ones, and how to spoil them.

What fields may hold is the house's own: their limits stand in `manifest.fields` and nowhere else.
"""

import pytest

from packbuilder.errors import InputError
from packbuilder.manifest import load
from tests.conftest import EXAMPLE as GRID

# Line numbers matter below: the head is lines 1 to 4, the first puzzle begins on line 6.
SOUND = f"""\
pack:
  title: Harbour Lights
  issue: 2026-12
  byline: Ada Quill
puzzles:
  - id: lamp-room
    title: The Lamp Room
    grid: {GRID}
    promise:
      grade: 1
"""
ROWS = """\
    grid: |
      12. 973 ..6
      ..8 .4. ..3
      .5. ..1 ...

      .69 ... ...
      7.. 1.2 ..5
      ... ... 42.

      ... 2.. .4.
      5.. .1. 7..
      4.. 538 .62
"""
WITH_ROWS = SOUND.replace(f"    grid: {GRID}\n", ROWS)
M, P = "manifest.yaml", "puzzles[1]"


def puzzle(extra="", **fields):
    """A sound pack with one small puzzle and the fields given."""
    given_fields = {"id": "a", "title": "A", "size": "4", "grid": "." * 16} | fields
    lines = [f"    {name}: {text}" for name, text in given_fields.items() if text is not None]
    lines[0] = "  - " + lines[0].strip()
    return "".join(SOUND.partition("puzzles:\n")[:2]) + "\n".join(lines) + "\n" + extra


def head(**fields):
    """A sound pack with fields of its head added or changed; None leaves one out."""
    given_fields = {"title": "T", "issue": "2026-12", "byline": "B"} | fields
    lines = [f"  {name}: {text}" for name, text in given_fields.items() if text is not None]
    return "pack:\n" + "\n".join(lines) + "\npuzzles:\n" + SOUND.partition("puzzles:\n")[2]


def write(folder, text, files=()):
    """Write a pack's folder: the manifest's text, then other files by name."""
    folder.mkdir(exist_ok=True)
    for name, content in {M: text, **dict(files)}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


def told(folder):
    """The faults of a pack, without the folder before each."""
    with pytest.raises(InputError) as error:
        load(folder)
    lines = str(error.value).splitlines()
    assert all(line.startswith(f"{folder}/") for line in lines)
    return [line.replace(f"{folder}/", "") for line in lines]
