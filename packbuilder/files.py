"""Files that a person names: only regular ones are read, and no more of them than is sensible."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from packbuilder.errors import InputError

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


def _called(mode: int) -> str:
    kinds = {stat.S_IFDIR: "a folder", stat.S_IFIFO: "a pipe"}
    return kinds.get(stat.S_IFMT(mode), "no regular file, but a device or the like")
