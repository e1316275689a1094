"""Locks: one run at a time in a folder. The second is told; a run that was killed holds nothing."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from collections.abc import Iterator
from pathlib import Path

from packbuilder.errors import InputError

NAME = ".in-use"
"""The file that is locked, in the folder itself; gone when the run has ended."""

_BUSY = (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
_held: set[Path] = set()


@contextlib.contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Keep a folder to this run, which may ask for it again meanwhile.

    Raises InputError where another run is at work there. A file system without locks has none.
    """
    place = folder.resolve()
    if place in _held:
        yield
        return
    file = _taken(place / NAME)
    if file is None:
        raise InputError(
            f"{folder}: another run of packbuilder is at work there; wait until it has ended"
        )
    _held.add(place)
    try:
        yield
    finally:
        _held.discard(place)
        with contextlib.suppress(OSError):
            (place / NAME).unlink()
        os.close(file)


def _taken(path: Path) -> int | None:
    """The lock file, opened and locked; None where another run has it."""
    while True:
        file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(file)
            with contextlib.suppress(FileNotFoundError):
                if os.path.samestat(os.fstat(file), path.stat()):
                    return file
        except OSError as fault:
            os.close(file)
            if fault.errno in _BUSY:
                return None
            raise
        os.close(file)  # whoever had it took the file away as it ended: once more


def _lock(file: int) -> None:
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as fault:
        if fault.errno not in (errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP):
            raise
