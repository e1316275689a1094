"""Worker processes: started fresh, deaf to Ctrl-C, and ended at once where the work fails."""

from __future__ import annotations

import contextlib
import os
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import AbstractContextManager
from multiprocessing import active_children, get_context, parent_process
from threading import Thread, current_thread, main_thread

Pool = Callable[[int], AbstractContextManager[Executor]]
"""Who does work that can be pickled: for a number of workers an executor, ended with the block."""


@contextlib.contextmanager
def processes(
    workers: int, begin: Callable[[], None] | None = None
) -> Iterator[ProcessPoolExecutor]:
    """A pool of processes, each of which calls ``begin`` first.

    Where the block fails, what has not begun never begins, and nobody waits for what is under way.
    """
    others = set(active_children())
    # A fresh start, not a fork: whoever draws a progress bar has threads running.
    pool = ProcessPoolExecutor(workers, get_context("spawn"), initializer=_begin, initargs=(begin,))
    try:
        yield pool
    except BaseException:
        for process in set(active_children()) - others:
            process.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _begin(begin: Callable[[], None] | None) -> None:
    end_with_parent()
    if begin:
        begin()


def end_with_parent() -> None:
    """See to it that this process, which another one started, does not outlive that one.

    One that is killed cannot tell its workers; they would go on, and hold its output open.
    """
    parent = parent_process()
    if parent is not None:
        Thread(target=_end_after, args=(parent.join,), daemon=True).start()


def _end_after(wait: Callable[[], None]) -> None:
    wait()
    os._exit(1)


@contextlib.contextmanager
def uninterrupted() -> Iterator[None]:
    """Hold an interrupt back until the end: a process started meanwhile never gets one.

    Ctrl-C goes to all processes of a terminal. Only the first of them has something to say, and not
    while it hands another one what that needs to begin.
    """
    if not hasattr(signal, "pthread_sigmask") or current_thread() is not main_thread():
        yield
        return
    held: list[int] = []
    handler = signal.signal(signal.SIGINT, lambda number, _: held.append(number))
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
        signal.signal(signal.SIGINT, handler)
    if held:  # another thread took it, which the mask of this one does not hold back
        raise KeyboardInterrupt
