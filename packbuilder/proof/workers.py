"""Flow: a stream of grids through workers and back, in the order of the input.

    source ─► chunk ─► begin ─┐                      ┌─► faults to ``report``
              chunk ─► begin ─┤ up to ``ahead``      ├─► text to ``sink``
              chunk ─► begin ─┘ are under way  ─────►┴─► counts into the tally

A chunk from a slow source is answered before the next is read. Whatever ends the flow, a reader
that has left or an interrupt too, what has not begun by then never begins.
"""

from __future__ import annotations

import contextlib
import signal
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from functools import partial
from multiprocessing import active_children, get_context
from typing import BinaryIO, Protocol, Self, TextIO

from packbuilder.proof.grid_lines import BLOCK, Chunk, chunks

Done = tuple[str, Counter[str]]
"""The lines of output of a chunk, in one text, and how many grids of which kind it held."""

Work = Callable[[Chunk], Done]


class Crew(Protocol):
    """Who does the work."""

    @property
    def ahead(self) -> int:
        """How many later chunks may be begun before one is finished."""
        ...

    def begin(self, chunk: Chunk) -> Callable[[], Done]:
        """Begin a chunk; what comes back waits for it and gives what became of it."""
        ...


def flow(
    source: BinaryIO,
    sink: TextIO,
    crew: Crew,
    *,
    report: Callable[[str], None],
    progress: Callable[[int], None] | None = None,
    block: int = BLOCK,
) -> Counter[str]:
    """Answer each line of ``source`` that is not blank with a line in ``sink``, in order.

    ``report`` gets a sentence for each line that is no grid, ``progress`` the number of lines
    done since it was last called; ``block`` is the size of a chunk in bytes. The counts of all
    chunks come back, with ``bad`` and ``lines``. Memory does not grow with the stream. Raises
    InputError where the source is no plain text.
    """
    tally: Counter[str] = Counter()
    for chunk, (text, counts) in _in_order(chunks(source, block), crew):
        for fault in chunk.faults:
            report(fault)
        sink.write(text)
        if chunk.slow:
            sink.flush()
        tally.update(counts, bad=len(chunk.faults), lines=chunk.lines)
        if progress:
            progress(chunk.lines)
    return tally


def _in_order(pieces: Iterable[Chunk], crew: Crew) -> Iterator[tuple[Chunk, Done]]:
    waiting: deque[tuple[Chunk, Callable[[], Done]]] = deque()
    for piece in pieces:
        waiting.append((piece, crew.begin(piece)))
        while len(waiting) > (0 if piece.slow else crew.ahead):
            chunk, done = waiting.popleft()
            yield chunk, done()
    for chunk, done in waiting:
        yield chunk, done()


def woven(chunk: Chunk, answers: Iterable[str], bad: Callable[[str], str]) -> str:
    """The answers of the good lines, and what ``bad`` makes of each fault, as the lines stood."""
    if not chunk.faults:
        return "".join(answers)
    good, faults = iter(answers), iter(chunk.faults)
    return "".join(next(good) if fine else bad(next(faults)) for fine in chunk.good.tolist())


class _Pool:
    """A pool of workers that is left without doing what was not begun."""

    pool: Executor | None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, failed: type[BaseException] | None, *_: object) -> None:
        if failed:
            self.stop()
        if self.pool:
            self.pool.shutdown(cancel_futures=True)

    def stop(self) -> None:
        """End what is under way, where that can be done."""


class Threads(_Pool):
    """Threads, for work that lets go of Python's lock."""

    def __init__(self, work: Work, workers: int) -> None:
        self.work, self.ahead = work, 2 * workers
        self.pool: ThreadPoolExecutor = ThreadPoolExecutor(workers)

    def begin(self, chunk: Chunk) -> Callable[[], Done]:
        """Hand the chunk to a thread."""
        return self.pool.submit(self.work, chunk).result


class Processes(_Pool):
    """Processes, once the stream is long enough to be worth their start; this one until then.

    The work must be something that can be pickled; each process is given it once. ``alone`` is the
    number of grids for which no other process is started.
    """

    def __init__(self, work: Work, workers: int, alone: int) -> None:
        self.work, self.workers, self.alone = work, workers, alone
        self.pool: ProcessPoolExecutor | None = None
        self.others = frozenset(active_children())

    @property
    def ahead(self) -> int:
        """None while this process does the work: then each answer is given at once."""
        return 3 * self.workers if self.pool else 0

    def begin(self, chunk: Chunk) -> Callable[[], Done]:
        """Hand the chunk to a process, or keep it to be done here when its turn comes."""
        if self.pool is None and self.workers > 1 and self.alone < len(chunk.grids):
            # A fresh start, not a fork: whoever draws a progress bar has threads running.
            self.pool = ProcessPoolExecutor(
                self.workers, get_context("spawn"), initializer=_hired, initargs=(self.work,)
            )
        self.alone -= len(chunk.grids)
        if self.pool is None:
            return partial(self.work, chunk)
        with _uninterrupted():
            return self.pool.submit(_at_work, chunk).result

    def stop(self) -> None:
        """End the processes: one may be seconds from its first answer, and nobody waits for it."""
        for process in set(active_children()) - self.others:
            process.terminate()


@contextlib.contextmanager
def _uninterrupted() -> Iterator[None]:
    """Hold an interrupt back: a process started meanwhile never gets one.

    Ctrl-C goes to all processes of a terminal. Only the first of them has something to say.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _hired(work: Work) -> None:
    """A new process is told its work."""
    global _work
    _work = work


def _at_work(chunk: Chunk) -> Done:
    return _work(chunk)


_work: Work
