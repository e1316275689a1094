"""Kept: what went out stays, under its SHA-256, whatever is built over it later."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable
from pathlib import Path

from packbuilder.release import record


def keep(out: Path, names: Iterable[str]) -> None:
    """Keep files of a folder of releases. What is kept already is left alone."""
    for name in names:
        place = kept(out, record.sha256((out / name).read_bytes()), name)
        if not place.exists():
            place.parent.mkdir(parents=True, exist_ok=True)
            draft = place.with_name(f".{name}.new")
            draft.unlink(missing_ok=True)
            try:  # one file under two names takes no more room
                os.link(out / name, draft)
            except OSError:
                shutil.copyfile(out / name, draft)
            draft.replace(place)


def kept(out: Path, digest: str, name: str) -> Path:
    """Where a file of that digest is kept."""
    return out / record.KEPT / digest / name


def kept_bytes(out: Path, digest: str, name: str) -> bytes | None:
    """A file that went out; None where it is there no longer as it was."""
    for place in (kept(out, digest, name), out / name):
        if place.is_file() and record.sha256(data := place.read_bytes()) == digest:
            return data
    return None
