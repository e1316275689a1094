"""Where machine code is kept: in the user's folder for caches, else beside the program.

A file is named by what the code depends on, and begins with the digest of name and code: what was
cut short, altered or misnamed is not code. On POSIX systems it must be the user's own, or root's,
and nobody else may write to it.
"""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import tempfile
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

_DIGEST = 32


def read(name: str) -> bytes | None:
    """The code that is kept under a name, if there is any."""
    for folder in _folders():
        with contextlib.suppress(OSError, RuntimeError), (folder / name).open("rb") as file:
            if not _trusted(os.fstat(file.fileno())):
                continue
            digest, code = file.read(_DIGEST), file.read()
            if digest == _digest(name, code):
                return code
    return None


def write(name: str, code: bytes) -> None:
    """Keep code under a name, in the first folder that may be written; nowhere if there is none."""
    for folder in _folders():
        with contextlib.suppress(OSError, RuntimeError):
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=folder, delete=False) as file:
                try:
                    file.write(_digest(name, code) + code)
                    file.close()
                    Path(file.name).replace(folder / name)
                except BaseException:
                    file.close()
                    Path(file.name).unlink(missing_ok=True)
                    raise
            return


def can_write() -> bool:
    """Whether there is a folder to keep code in."""
    for folder in _folders():
        with contextlib.suppress(OSError, RuntimeError):
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=folder):
                return True
    return False


def _folders() -> Iterator[Path]:
    if own := os.environ.get("PACKBUILDER_CACHE"):
        yield Path(own)
        return
    if sys.platform == "win32":
        caches = os.environ.get("LOCALAPPDATA")
    elif sys.platform == "darwin":
        caches = "~/Library/Caches"
    else:
        caches = os.environ.get("XDG_CACHE_HOME") or "~/.cache"
    if caches:
        with contextlib.suppress(RuntimeError):  # a user without a home
            yield Path(caches).expanduser() / "packbuilder"
    yield Path(__file__).parent / "__pycache__"


def _trusted(status: os.stat_result) -> bool:
    if not hasattr(os, "geteuid"):
        return True
    others = stat.S_IWGRP | stat.S_IWOTH
    return status.st_uid in (os.geteuid(), 0) and not status.st_mode & others


def _digest(name: str, code: bytes) -> bytes:
    return sha256(name.encode() + b"\n" + code).digest()
