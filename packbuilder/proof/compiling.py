"""Compiling: kept on disk where that is possible, and announced where it takes a while."""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, suppress
from hashlib import sha256
from types import ModuleType
from typing import Any

from numba import njit
from numba.core import event

_kept = True
"""Whether what is compiled is kept for the next run."""


def cached(function: Callable[..., Any], others: Sequence[ModuleType] = ()) -> Any:
    """Compile, and keep the result on disk where there is a folder that may be written.

    Numba renews what it keeps when the function's own file changes. ``others`` are modules whose
    functions are compiled into it: a change there changes the name under which it is kept.
    """
    if others:
        sources = "".join(map(inspect.getsource, others)).encode()  # also out of a zip
        function.__qualname__ = f"{function.__name__}_{sha256(sources).hexdigest()[:12]}"
    try:
        return njit(cache=True, nogil=True)(function)
    except RuntimeError:  # neither beside the function's file nor in the user's cache folder
        global _kept
        _kept = False
        return njit(nogil=True)(function)


def without_cache(compiled: Any) -> Any:
    """The same function, to be compiled in memory only."""
    return njit(nogil=True)(compiled.py_func)


def announced(what: str) -> AbstractContextManager[Any]:
    """Say once, on standard error, that something is being compiled here, if anything is."""
    listening: AbstractContextManager[Any] = event.install_listener(
        "numba:compile", _Announcement(what)
    )
    return listening


class _Announcement(event.Listener):
    def __init__(self, what: str) -> None:
        self.words: str | None = f"first use: compiling {what}, once, a few seconds ..."
        if not _kept:
            self.words = (
                f"compiling {what}, a few seconds; it cannot be kept here, so each run does: "
                "name a folder for it in NUMBA_CACHE_DIR"
            )

    def on_start(self, event: event.Event) -> None:
        if self.words:
            words, self.words = self.words, None
            with suppress(OSError, AttributeError):  # nobody can hear it: no stream, or a full one
                sys.stderr.write(f"{words}\n")
                sys.stderr.flush()

    def on_end(self, event: event.Event) -> None:
        pass
