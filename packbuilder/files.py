"""Files that a person names: only regular ones are read, and no more of them than is sensible."""

from __future__ import annotations

import atexit
import errno
import json
import os
import stat
import tempfile
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from packbuilder.errors import InputError

MOST_JSON = 50_000_000
"""Bytes of a record; that of 1,000 puzzles has two million."""

LONGEST_NAME = 255

_AT_ONCE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
"""Without waiting for whoever might write to a pipe of that name; and as it is, on Windows."""


def read_file(path: Path, most: int, kind: str) -> bytes:
    """The bytes of a file, ``most`` at the most; ``kind`` says what is looked for: "a PDF".

    Raises InputError where it cannot be read: also for a pipe, which might never end, for a device
    and a folder, or a link to one.
    """
    try:
        file = os.open(path, os.O_RDONLY | _AT_ONCE)
        try:
            mode = os.fstat(file).st_mode
            if not stat.S_ISREG(mode):
                raise InputError(f"{path}: is {_called(mode)}; name {kind}")
            with os.fdopen(file, "rb", closefd=False) as opened:
                data = opened.read(most + 1)
        finally:
            os.close(file)
    except (OSError, ValueError) as fault:  # ValueError: a NUL in the path
        reason = getattr(fault, "strerror", None) or fault
        raise InputError(f"{path}: {reason}; name {kind}") from fault
    if len(data) > most:
        raise InputError(f"{path}: is larger than {most / 1e6:g} MB, which {kind} never is")
    return data


@cache
def shipped(name: str) -> Path | None:
    """A file or a folder of files in the package, by its path there; None where it has none.

    Where the package is in a zip, it is unpacked for this run.
    """
    found = files("packbuilder").joinpath(*name.split("/"))
    if isinstance(found, Path) or not (found.is_file() or found.is_dir()):
        return found if isinstance(found, Path) and found.exists() else None
    folder = tempfile.TemporaryDirectory(prefix="packbuilder-")
    atexit.register(folder.cleanup)
    place = Path(folder.name) / found.name
    if found.is_file():
        place.write_bytes(found.read_bytes())
        return place
    place.mkdir()
    for one in found.iterdir():
        (place / one.name).write_bytes(one.read_bytes())
    return place


def read_json(path: Path) -> Any:
    """What a JSON file of ours holds. Raises ValueError for whatever else may stand in its place:
    nothing, a folder, a damaged file, values too deep to read."""
    try:
        return json.loads(read_file(path, MOST_JSON, "a record").decode("utf-8"))
    except (InputError, RecursionError) as fault:
        raise ValueError(str(fault)) from fault


def is_plain_name(name: object) -> bool:
    """Whether this can be the name of a file in a folder, on any system: no way out of it."""
    if not isinstance(name, str) or name in ("", ".", "..") or set(name) & set("/\\:\0"):
        return False
    try:
        return len(name.encode()) <= LONGEST_NAME
    except UnicodeEncodeError:  # half a character
        return False


def out_of_room(fault: OSError) -> str:
    """What a fault of the system says of a lack of room, in words that go on from a colon; "" where
    it is another."""
    if fault.errno == errno.EFBIG:
        return "a file would become larger than the system allows here (`ulimit -f` says how large)"
    return "the disk is full" if fault.errno in (errno.ENOSPC, errno.EDQUOT) else ""


def _called(mode: int) -> str:
    kinds = {stat.S_IFDIR: "a folder", stat.S_IFIFO: "a pipe"}
    return kinds.get(stat.S_IFMT(mode), "no regular file, but a device or the like")
