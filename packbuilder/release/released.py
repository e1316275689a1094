"""Released files, as their record tells of them: what is made of one is made of what was proved."""

from __future__ import annotations

from pathlib import Path

from packbuilder.editions import Edition
from packbuilder.errors import InputError, Mismatch
from packbuilder.release import record
from packbuilder.release.staging import settled


def released(path: Path, edition: Edition, option: str, outcome: str) -> bytes:
    """The bytes of an edition's released file.

    ``option`` says where it is looked for, ``outcome`` what comes of it if it is not there. Raises
    InputError where the edition was not released, Mismatch where the file is another.
    """
    settled(path.parent)
    lines = [line for line in record.file_lines(path.parent) if line["name"] == path.name]
    if not lines or not path.is_file():
        raise InputError(
            f"{path}: is not released; build it first, with --edition {edition.name}, "
            f"or say with {option} where it is"
        )
    data = path.read_bytes()
    if record.sha256(data) != lines[0]["sha256"]:
        raise Mismatch(
            f"{path}: is not the file that was released (its SHA-256 is not the one in "
            f"{record.NAME}); {outcome}. Build the pack again"
        )
    return data
