"""The release record: which files were released, and the proved facts of every puzzle in them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from packbuilder import __version__
from packbuilder.gate import Report, facts
from packbuilder.grid import format_grid

NAME = "release.json"

Line = dict[str, Any]
"""What the record says of one file: see ``line``."""


def as_json(report: Report, files: Iterable[Line]) -> dict[str, Any]:
    """The record of one release; ``files`` are its lines, in the order of the editions.

    No date, no path and no supporter is in it: the same input gives the same bytes.
    """
    return {
        "packbuilder": __version__,
        "pack": report.pack.slug,
        "title": report.pack.title,
        "issue": report.pack.issue,
        "files": list(files),
        "puzzles": [
            {
                **facts(one),
                "title": one.puzzle.title,
                "setter": one.puzzle.setter,
                "grid": format_grid(one.puzzle.clues),
                "geometry": one.puzzle.geometry.name(),
                "fingerprint": one.kin,
                "proved_by": ["kernel", "sat"],
            }
            for one in report.checked
        ],
    }


def line(edition: str, path: Path, pages: int, made_from: str) -> Line:
    """What the record says of one finished file.

    ``pages`` is how many sheets' sides or screen pages it has, 0 for a text; ``made_from`` is the
    stamp of the book that it was held against (see `release.stamp`).
    """
    data = path.read_bytes()
    return {
        "edition": edition,
        "name": path.name,
        "bytes": len(data),
        "sha256": hashlib.sha256(data).hexdigest(),
        "pages": pages,
        "made_from": made_from,
    }


def write(record: dict[str, Any], path: Path) -> None:
    """Write the record as UTF-8 JSON, keys in the order that ``as_json`` gave them."""
    path.write_text(json.dumps(record, ensure_ascii=False, indent=2) + "\n", encoding="utf-8")


def read_lines(out: Path) -> list[Line]:
    """The lines of the record in a folder of releases; none where there is no sound record."""
    try:
        found = json.loads((out / NAME).read_text(encoding="utf-8"))["files"]
        return [one for one in found if _sound(one)]
    except (OSError, ValueError, KeyError, TypeError):
        return []


def is_as_recorded(line: Line, path: Path) -> bool:
    """Whether a file has the very bytes that a line of the record tells of."""
    try:
        if path.is_symlink() or not path.is_file():
            return False
        return bool(hashlib.sha256(path.read_bytes()).hexdigest() == line["sha256"])
    except OSError:
        return False


def _sound(line: object) -> bool:
    """Whether a line names an edition, and a file in the record's own folder."""
    if not isinstance(line, dict):
        return False
    texts = [line.get(key) for key in ("edition", "name", "sha256")]
    if not all(isinstance(text, str) and text for text in texts):
        return False
    return Path(line["name"]).name == line["name"] and line["name"] not in (".", "..", NAME)
