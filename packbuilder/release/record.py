"""The release record: which files were released, and the proved facts of every puzzle in them."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from packbuilder import __version__
from packbuilder.gate import Report, facts
from packbuilder.grid import format_grid

NAME = "release.json"


def as_json(report: Report, files: dict[str, Path]) -> dict[str, Any]:
    """The record of one release.

    ``files`` maps an edition's name to its finished file. No date, no path and no supporter is in
    it: the same input gives the same bytes.
    """
    return {
        "packbuilder": __version__,
        "pack": report.pack.slug,
        "title": report.pack.title,
        "issue": report.pack.issue,
        "files": [_file(edition, path) for edition, path in files.items()],
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


def _file(edition: str, path: Path) -> dict[str, Any]:
    data = path.read_bytes()
    return {
        "edition": edition,
        "name": path.name,
        "bytes": len(data),
        "sha256": hashlib.sha256(data).hexdigest(),
    }


def write(record: dict[str, Any], path: Path) -> None:
    """Write the record as UTF-8 JSON, keys in the order that ``as_json`` gave them."""
    path.write_text(json.dumps(record, ensure_ascii=False, indent=2) + "\n", encoding="utf-8")
