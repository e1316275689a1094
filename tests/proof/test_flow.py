"""The flow of chunks through workers: interrupts, readers that leave, the order of the input."""

from __future__ import annotations

import io
import os
import signal
import threading
import time
from collections.abc import Iterable
from dataclasses import dataclass
from multiprocessing import active_children
from pathlib import Path

import pytest

from packbuilder.proof import grid_lines
from packbuilder.proof.stream import Crew, Question, Tally, run
from tests.conftest import EXAMPLE

LINE = len(EXAMPLE) + 1


def source(count: int) -> io.BytesIO:
    return io.BytesIO(f"{EXAMPLE}\n".encode() * count)


@dataclass(frozen=True)
class Asked(Question):
    """A grid a chunk, two processes at once."""

    grids_a_chunk = 1
    alone = 0

    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        """The number of grids."""
        return [f"{len(grids)}\n"]

    def answer(self, *_asked: object) -> str:
        raise AssertionError("only lines are given")

    def fault(self, told: str) -> str:
        return "-\n"


@pytest.fixture(autouse=True)
def quick_source(monkeypatch: pytest.MonkeyPatch) -> None:
    """However short a block is, its source is taken for one that has more to give."""
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)


@dataclass(frozen=True)
class Interrupted(Asked):
    """What Ctrl-C does to every process of a terminal."""

    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        os.kill(os.getpid(), signal.SIGINT)
        return [f"{os.getpid()}\n"]


def test_an_interrupt_does_not_reach_the_workers() -> None:
    sink = io.StringIO()
    tally = run(Interrupted(False), source(4), sink, report=print, workers=2)
    assert tally == Tally(unique=4, lines=4)
    assert str(os.getpid()) not in sink.getvalue().split()


class Leaving(io.StringIO):
    """A reader that goes away."""

    def write(self, _text: str) -> int:
        raise BrokenPipeError


BEGUN: list[int] = []


@dataclass(frozen=True)
class Slow(Asked):
    """Threads, which take a while from the second grid on."""

    alone = None

    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        BEGUN.append(len(grids))
        if len(BEGUN) > 1:
            threading.Event().wait(0.2)
        return ["1\n"]


def test_what_was_not_begun_never_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    BEGUN.clear()
    monkeypatch.setattr(Crew, "ahead", 50)
    with pytest.raises(BrokenPipeError):
        run(Slow(False), source(60), Leaving(), report=print, workers=2)
    assert 0 < len(BEGUN) < 10


@dataclass(frozen=True)
class Late(Asked):
    """A grid takes seconds, and then leaves a mark; a line that is none takes no time."""

    mark: Path = Path()
    alone = -1

    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        if grids:
            time.sleep(5)
            self.mark.touch()
        return ["1\n"] * len(grids)


def test_nobody_waits_for_what_was_begun(tmp_path: Path) -> None:
    mark = tmp_path / "mark"
    both = io.BytesIO(b"hello".ljust(LINE - 1) + b"\n" + source(1).read())
    with pytest.raises(BrokenPipeError):
        run(Late(False, mark=mark), both, Leaving(), report=lambda _: None, workers=2)
    assert not mark.exists()
    assert active_children() == []


def test_few_grids_are_done_here() -> None:
    class Here(Asked):  # a class inside a function: cannot be pickled
        grids_a_chunk = 25
        alone = 60

    sink = io.StringIO()
    run(Here(False), source(60), sink, report=print, workers=2)
    assert sink.getvalue() == "25\n25\n10\n"
