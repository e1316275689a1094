"""The release record: which files were released, and the proved facts of every puzzle in them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from packbuilder import __version__, symmetry
from packbuilder.files import is_plain_name, read_json
from packbuilder.gate import Report, facts
from packbuilder.grid import format_grid
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.setting.picture import drawn_by

NAME = "release.json"

KEPT = "kept"
"""The folder beside it that keeps what went out, each file in a folder named by its SHA-256."""

_PACK_TEXTS = {name: name for name in ("byline", "theme", "foreword", "licence", "questions")}
_PUZZLE_TEXTS = {
    "intro": "intro", "own hints": "hints", "answers to questions": "answers", "link": "link"
}  # fmt: skip
"""What the texts are called that are printed as they are written, and the field of each."""

FileLine = dict[str, Any]
"""What the record says of one file: see `file_line`."""


def as_json(
    report: Report, numbers: Mapping[str, int], files: Iterable[FileLine]
) -> dict[str, Any]:
    """The record of one release; ``numbers`` are those of the puzzles in print, by their ids;
    ``files`` are its lines, in the order of the editions.

    No date, no path and no supporter is in it: the same input gives the same bytes.
    """
    return {
        "packbuilder": __version__,
        "pack": report.pack.slug,
        "title": report.pack.title,
        "issue": report.pack.issue,
        "texts": _digests(_PACK_TEXTS, report.pack),
        "files": list(files),
        "puzzles": [
            {
                **facts(one),
                "number": numbers[one.puzzle.id],
                "title": one.puzzle.title,
                "setter": one.puzzle.setter,
                "grid": format_grid(one.puzzle.clues),
                "geometry": one.puzzle.geometry.name(),
                "rules": list(dict.fromkeys(one.puzzle.rule_names)),
                "symmetry": symmetry.fullest(one.puzzle.clues, one.puzzle.size),
                "picture": drawn_by(one.puzzle.clues) or None,
                "fingerprint": one.kin,
                "texts": _digests(_PUZZLE_TEXTS, one.puzzle),
                "proved_by": ["kernel", "sat"],
            }
            for one in report.checked
        ],
    }


def _digests(names: Mapping[str, str], owner: Pack | Puzzle) -> dict[str, str]:
    """A digest of each printed text that is there: enough to say later that it changed."""
    texts = {name: getattr(owner, field) for name, field in names.items()}
    return {name: sha256(repr(text).encode())[:16] for name, text in texts.items() if text}


def file_line(edition: str, path: Path, pages: int, made_from: str) -> FileLine:
    """What the record says of one finished file.

    ``pages`` is how many sheets' sides or screen pages it has, 0 for a text; ``made_from`` is the
    digest of what it was made from (see `release.source_digest`).
    """
    data = path.read_bytes()
    return {
        "edition": edition,
        "name": path.name,
        "bytes": len(data),
        "sha256": sha256(data),
        "pages": pages,
        "made_from": made_from,
    }


def sha256(data: bytes) -> str:
    """The digest by which a released file is known, in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def write(record: dict[str, Any], path: Path) -> None:
    """Write the record as UTF-8 JSON, keys in the order that ``as_json`` gave them."""
    text = json.dumps(record, ensure_ascii=False, indent=2) + "\n"
    path.write_text(text, encoding="utf-8", newline="\n")


def file_lines(out: Path) -> list[FileLine]:
    """The lines of the record in a folder of releases; none where there is no sound record."""
    try:
        return [one for one in read_json(out / NAME)["files"] if _sound(one)]
    except (ValueError, KeyError, TypeError):
        return []


def is_as_recorded(line: FileLine, path: Path) -> bool:
    """Whether a file has the very bytes that a line of the record tells of."""
    try:
        regular = path.is_file() and not path.is_symlink()
        return regular and sha256(path.read_bytes()) == line["sha256"]
    except OSError:
        return False


def _sound(line: object) -> bool:
    """Whether a line names an edition, and a file in the record's own folder."""
    if not isinstance(line, dict) or not all(isinstance(v, str | int) for v in line.values()):
        return False
    texts = [line.get(key) for key in ("edition", "name", "sha256")]
    if not all(isinstance(text, str) and text for text in texts):
        return False
    return is_plain_name(line["name"]) and line["name"] != NAME
