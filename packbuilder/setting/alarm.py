"""The alarm: work that knows no clock ends when the time is up."""

from __future__ import annotations

import contextlib
import signal
import threading
import time
from collections.abc import Iterator
from types import FrameType

from packbuilder.errors import Unfinished


@contextlib.contextmanager
def alarm(deadline: float) -> Iterator[None]:
    """Raise Unfinished in the block when a deadline (on the monotonic clock) comes.

    Where there are no alarms (on Windows, or outside the main thread) the block ends when it looks
    at the clock itself.
    """
    left = deadline - time.monotonic()
    if not hasattr(signal, "setitimer") or threading.current_thread() != threading.main_thread():
        yield
        return
    if left <= 0:
        raise Unfinished("the time ran out")
    before = signal.signal(signal.SIGALRM, _ring)
    signal.setitimer(signal.ITIMER_REAL, left)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _ring(_number: int, _frame: FrameType | None) -> None:
    raise Unfinished("the time ran out")
