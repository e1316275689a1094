"""Confined: a file that may be made to harm is read in a process of its own, within ceilings.

Its parsers may ask for any time and any memory, or end the process: here that is a sentence. The
process looks at itself, which every system allows; where the system keeps ceilings too
(`resource`), they hold where it cannot look, as inside a library that never lets go.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from multiprocessing import connection, get_context
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar, cast

from packbuilder.errors import InputError, PackbuilderError, Unfinished
from packbuilder.workers import end_with_parent, uninterrupted

MEMORY = 400_000_000
"""Bytes more that a process may have than when it was ready; a pack of 400 pages takes a third."""

SECONDS, SECONDS_A_PAGE = 3.0, 0.2
"""Processor seconds that a file may take, and so much more for each page that it should have: three
times what a pack takes."""

_BEGIN = 120.0  # seconds in which a process must be ready: it may have to compile first
_WAIT = 10.0  # times these by the clock: other programs may be at work
_LOOK = 0.02  # seconds from look to look
_TOO_LONG, _TOO_MUCH = 81, 82  # exit codes of the process itself
_BACKSTOP = 900_000_000  # bytes of data, where the system keeps a ceiling
_STATM = Path("/proc/self/statm")  # Linux: see proc(5)

T = TypeVar("T")


def seconds_for(pages: int) -> float:
    """The processor's seconds that a file may take which should have so many pages."""
    return SECONDS + SECONDS_A_PAGE * pages


def confined(
    name: str, ready: Callable[[], object], seconds: float, work: Callable[..., T], *some: Any
) -> T:
    """What ``work`` gives for some values, called in a process that first makes itself ``ready``.

    All of it must be known by name to a new process. ``name`` is that of the file in faults, and
    ``seconds`` what the processor may give. Raises InputError where a ceiling is reached or the
    process ends, what ``work`` raises for people, and Unfinished where no process is granted.
    """
    context = get_context("spawn")
    ours, theirs = context.Pipe()
    child = context.Process(target=_work, args=(theirs, ready, seconds, work, some), daemon=True)
    try:
        with uninterrupted():
            child.start()
    except OSError as fault:
        raise Unfinished(f"{name}: the system grants no process to read it in: {fault}") from fault
    theirs.close()
    try:
        kind, found = "", cast(Any, None)
        for wait in (_BEGIN, _WAIT * seconds):
            if not ours.poll(wait):
                raise InputError(_too_long(name, seconds))
            kind, found = ours.recv()
            if kind:
                break
        if kind == "fault":
            raise found
        if kind == "crash":
            raise RuntimeError(found)
        return cast(T, found)
    except EOFError:
        child.join(1.0)
        raise InputError(_ended(name, seconds, child.exitcode)) from None
    finally:
        child.kill()
        child.join()
        ours.close()


def _ended(name: str, seconds: float, code: int | None) -> str:
    if code == _TOO_LONG or code == -24:  # SIGXCPU
        return _too_long(name, seconds)
    if code == _TOO_MUCH:
        return (
            f"{name}: takes more than {MEMORY / 1e6:.0f} MB of memory to read, which no pack does; "
            "it is not a file of this pack. Build or copy it again"
        )
    return (
        f"{name}: is too damaged to read: it ended the process that read it. Build or copy it again"
    )


def _too_long(name: str, seconds: float) -> str:
    return (
        f"{name}: takes more than {seconds:.0f} seconds to read, which no file of this pack does; "
        "build or copy it again"
    )


# --- in the process itself -----------------------------------------------------------------------


def _work(
    pipe: connection.Connection,
    ready: Callable[[], object],
    seconds: float,
    work: Callable[..., Any],
    some: tuple[Any, ...],
) -> None:
    end_with_parent()
    told: tuple[str, Any]
    try:
        ready()
        _keep_ceilings(seconds)
        pipe.send(("", None))
        told = "found", work(*some)
    except PackbuilderError as fault:
        if _memory_ran_out(fault):
            os._exit(_TOO_MUCH)
        told = "fault", fault
    except MemoryError:
        os._exit(_TOO_MUCH)
    except Exception as fault:
        told = "crash", f"{type(fault).__name__}: {fault}"
    pipe.send(told)


def _memory_ran_out(fault: BaseException | None) -> bool:
    while fault is not None and not isinstance(fault, MemoryError):
        fault = fault.__cause__
    return fault is not None


def _keep_ceilings(seconds: float) -> None:
    """From now on: so many seconds of the processor, and MEMORY."""
    end = time.process_time() + seconds
    Thread(target=_watch, args=(end, memory() + MEMORY), daemon=True).start()
    with suppress(ImportError, OSError, ValueError, AttributeError):  # not on every system
        import resource

        for kind, most in (
            (resource.RLIMIT_CPU, int(end) + 2),
            (resource.RLIMIT_DATA, _BACKSTOP),
            (resource.RLIMIT_CORE, 0),
        ):
            resource.setrlimit(kind, (most, most))


def _watch(end: float, most: int) -> None:
    while True:
        if time.process_time() > end:
            os._exit(_TOO_LONG)
        if memory() > most:
            os._exit(_TOO_MUCH)
        time.sleep(_LOOK)


def memory() -> int:
    """The bytes of memory that this process has; or, on some systems, that it had at most."""
    if _STATM.exists():
        return int(_STATM.read_text("ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
    if sys.platform == "win32":
        return _most_memory_of_windows()
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most if sys.platform == "darwin" else most * 1024


def _most_memory_of_windows() -> int:
    """By GetProcessMemoryInfo of kernel32 (PROCESS_MEMORY_COUNTERS, PeakWorkingSetSize)."""
    import ctypes

    class Counters(ctypes.Structure):
        _fields_ = (
            ("size", ctypes.c_uint32), ("faults", ctypes.c_uint32),
            *((f"size_{k}", ctypes.c_size_t) for k in range(8)),
        )  # fmt: skip

    counters = Counters(size=ctypes.sizeof(Counters))
    kernel32: Any = getattr(ctypes, "windll").kernel32  # noqa: B009
    kernel32.K32GetProcessMemoryInfo.argtypes = (ctypes.c_void_p, ctypes.c_void_p, ctypes.c_uint32)
    process = ctypes.c_void_p(-1)  # the pseudo handle of this process
    kernel32.K32GetProcessMemoryInfo(process, ctypes.byref(counters), counters.size)
    return int(counters.size_0)
