"""The command line on a system that is poorer, as Windows is: a program for the tests to run.

There are no fcntl, no fork, few signals and no owners of files; a lock is msvcrt's; a file that is
open can neither be moved nor be replaced; an encoding that is not named is a fault of ours. Worker
processes begin here too, so it holds for them. (From Python's documentation of `os`, `signal`,
`msvcrt`; that open files cannot be moved: from memory.)
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import signal
import sys
import types
import warnings
from pathlib import Path
from typing import Any

ABSENT = ("fcntl", "resource", "pwd", "grp", "termios")
SIGNALS = ("SIGALRM", "SIGHUP", "SIGKILL", "SIGUSR1", "SIGUSR2", "SIGCHLD", "SIGPIPE", "setitimer",
           "pthread_sigmask", "alarm", "pause", "sigwait")  # fmt: skip
OF_POSIX = ("fork", "forkpty", "geteuid", "getuid", "getegid", "getgid", "setsid", "mkfifo",
            "fchmod", "nice", "killpg", "getpgid", "setpgid")  # fmt: skip

warnings.filterwarnings("error", category=EncodingWarning, module=r"packbuilder(\..*)?$")


def locking(file: int, _how: int, _bytes: int) -> None:
    _flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


_flock = fcntl.flock
_replace, _rename, _link = os.replace, os.rename, os.link


def held(path: Any) -> bool:
    """Whether this process has a file open."""
    wanted = Path(path).resolve()
    for one in Path("/proc/self/fd").iterdir():
        with contextlib.suppress(OSError):
            if one.readlink() == wanted:
                return True
    return False


def moving(move: Any) -> Any:
    def moved(source: Any, target: Any, **more: Any) -> None:
        for path in (source, target):
            if held(path):
                raise PermissionError(13, "it is being used by another process", str(path))
        move(source, target, **more)

    return moved


def become_windows() -> None:
    """Take away what Windows has not; once in each process."""
    for name in ABSENT:
        sys.modules[name] = None  # type: ignore[assignment]
    for name in SIGNALS:
        if hasattr(signal, name):
            delattr(signal, name)
    for name in OF_POSIX:
        if hasattr(os, name):
            delattr(os, name)
    os.replace, os.rename = moving(_replace), moving(_rename)
    sys.modules["msvcrt"] = types.SimpleNamespace(LK_NBLCK=2, locking=locking)  # type: ignore[assignment]
    from packbuilder.release import locks

    locks.sys = types.SimpleNamespace(platform="win32")  # type: ignore[attr-defined]


if __name__ in ("__main__", "__mp_main__"):
    # These are asked by libraries that are not here on Windows, so they come first.
    import subprocess  # noqa: F401

    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    become_windows()

if __name__ == "__main__":
    from packbuilder.cli import main

    main()
