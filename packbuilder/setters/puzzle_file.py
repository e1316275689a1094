"""A taken grid as a puzzle's own file in a pack, listed in the manifest."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from packbuilder import manifest
from packbuilder.errors import InputError, PackbuilderError
from packbuilder.grid import Values, default_shape, format_rows
from packbuilder.puzzle import Pack
from packbuilder.release.staging import move_in, staging
from packbuilder.setting.into import add_entries

FOLDER = "puzzles"
_USUAL = 9
_ASK = (
    "# Ask the setter for the solution and write it here: it is held against the proved one, so\n"
    "# that a slip of one digit in the grid is caught.\n#solution:\n"
)


@dataclass(frozen=True)
class Entry:
    """What is written of a puzzle. ``blocks`` as in the manifest; None for the usual ones."""

    id: str
    title: str
    size: int
    clues: Values
    solution: Values | None = None
    setter: str | None = None
    permission: str | None = None
    blocks: str | None = None


def puzzle_text(entry: Entry) -> str:
    """The file. JSON's quoted strings are YAML's too, so that a title may hold colons."""
    fields = [("id", entry.id), ("title", _quoted(entry.title))]
    if entry.setter:
        fields.append(("setter", _quoted(entry.setter)))
    if entry.permission:
        fields.append(("permission", _quoted(entry.permission)))
    if entry.size != _USUAL:
        fields.append(("size", str(entry.size)))
    if entry.blocks or default_shape(entry.size) is None:
        fields.append(("blocks", entry.blocks or "none"))
    text = "".join(f"{name}: {value}\n" for name, value in fields)
    text += f"grid: |\n{_rows(entry.clues, entry.size)}"
    return text + (f"solution: |\n{_rows(entry.solution, entry.size)}" if entry.solution else _ASK)


def add_puzzle(pack: Pack, file: Path, entry: Entry) -> Path:
    """Write a puzzle's file into a pack, and list it at the end of the manifest, of which no other
    byte changes. Nothing is overwritten. Gives the file.

    Raises InputError for an id that is taken, or a list that cannot be added to.
    """
    name = f"{entry.id}.yaml"
    place = pack.folder / FOLDER / name
    if any(one.id == entry.id for one in pack.puzzles) or place.exists():
        raise InputError(f"{entry.id}: is an id of the pack already; name another with --id")
    with staging(place.parent, "nothing was taken") as aside:
        (aside / name).write_text(puzzle_text(entry), encoding="utf-8", newline="\n")
        move_in([aside / name], place.parent)
    try:
        add_entries(pack, file, [f"  - file: {FOLDER}/{name}\n"])
    except (PackbuilderError, OSError):
        place.unlink()
        raise
    return place


def manifest_of(place: Path) -> Path:
    """The manifest of a pack that is named by its folder or by its manifest."""
    return place / manifest.NAME if place.is_dir() else place


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _rows(values: Values, size: int) -> str:
    return "".join(f"  {row}\n" for row in format_rows(values, size).splitlines())
