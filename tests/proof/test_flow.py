"""The flow of chunks through workers: interrupts, readers that leave, the order of the input."""

from __future__ import annotations

import io
import os
import signal
import threading
import time
from collections import Counter
from functools import partial
from multiprocessing import active_children
from pathlib import Path

import pytest

from packbuilder.proof import grid_lines
from packbuilder.proof.grid_lines import Chunk
from packbuilder.proof.workers import Done, Processes, Threads, flow
from tests.conftest import EXAMPLE

LINE = len(EXAMPLE) + 1


def source(count: int) -> io.BytesIO:
    return io.BytesIO(f"{EXAMPLE}\n".encode() * count)


def interrupted(chunk: Chunk) -> Done:
    """What Ctrl-C does to every process of a terminal."""
    os.kill(os.getpid(), signal.SIGINT)
    return f"{os.getpid()}\n", Counter(done=len(chunk.grids))


def test_an_interrupt_does_not_reach_the_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)
    sink = io.StringIO()
    with Processes(interrupted, 2, alone=0) as crew:
        tally = flow(source(4), sink, crew, report=print, block=2 * LINE)
    assert tally == Counter(done=4, lines=4, bad=0)
    assert str(os.getpid()) not in sink.getvalue().split()


class Leaving(io.StringIO):
    """A reader that goes away."""

    def write(self, _text: str) -> int:
        raise BrokenPipeError


def test_what_was_not_begun_never_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)
    begun: list[int] = []
    last = threading.Event()

    def work(chunk: Chunk) -> Done:
        begun.append(len(chunk.grids))
        if len(begun) > 1:
            last.wait(0.2)
        return "1\n", Counter()

    crew = Threads(work, 1)
    crew.ahead = 50
    with pytest.raises(BrokenPipeError), crew:
        flow(source(60), Leaving(), crew, report=print, block=LINE)
    assert len(begun) < 10


def late(chunk: Chunk, mark: Path) -> Done:
    """A grid takes seconds, and then leaves a mark; a line that is none takes no time."""
    if len(chunk.grids):
        time.sleep(5)
        mark.touch()
    return "1\n", Counter()


def test_nobody_waits_for_what_was_begun(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)
    mark = tmp_path / "mark"
    both = io.BytesIO(b"hello\n" + source(1).read())
    with pytest.raises(BrokenPipeError), Processes(partial(late, mark=mark), 2, alone=-1) as crew:
        flow(both, Leaving(), crew, report=lambda _: None, block=6)
    assert not mark.exists()
    assert active_children() == []


def test_few_grids_are_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)

    def work(chunk: Chunk) -> Done:
        return f"{len(chunk.grids)}\n", Counter()

    sink = io.StringIO()
    with Processes(work, 2, alone=60) as crew:  # a function inside a function: cannot be pickled
        flow(source(60), sink, crew, report=print, block=25 * LINE)
        assert crew.pool is None
    assert sink.getvalue() == "25\n25\n10\n"
