"""Private files: for their owner's eyes alone, and in no repository."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

_IGNORE = "# What lies here tells who the supporters are: no repository has it.\n*\n"


def private_file(path: Path, text: str) -> Path:
    """Write a file that none but its owner may read, and have it on the disk; gives its path."""
    file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(file, "w", encoding="utf-8", newline="") as out:
        out.write(text)
        out.flush()
        with contextlib.suppress(OSError):  # a file system that cannot promise
            os.fsync(out.fileno())
    return path


def keep_out_of_repositories(aside: Path, folder: Path) -> None:
    """Have git pass a folder over; ``aside`` is a folder to make the file in."""
    if not (folder / ".gitignore").exists():
        draft = aside / ".gitignore"
        draft.write_text(_IGNORE, encoding="utf-8", newline="\n")
        draft.replace(folder / ".gitignore")
