"""Stream: a file of any length, a 9x9 grid a line, on all cores, in constant memory.

    source ─► chunk ─► prove, answer ─┐                      ┌─► faults to ``report``
              chunk ─► prove, answer ─┤ up to ``ahead``      ├─► text to ``sink``
              chunk ─► prove, answer ─┘ are under way  ─────►┴─► counts into the tally

Each line that is not blank gives one line of output, in the order of the input. A chunk from a slow
source is answered before the next is read. Whatever ends the stream, a reader that has left or an
interrupt too, what has not begun by then never begins.
"""

from __future__ import annotations

import contextlib
from abc import ABC, abstractmethod
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from os import cpu_count
from typing import BinaryIO, ClassVar, TextIO

from packbuilder.grid import Geometry, Values, blocks
from packbuilder.proof import kernel
from packbuilder.proof.grid_lines import CELLS, Chunk, chunks
from packbuilder.rules.contract import Part
from packbuilder.workers import Pool, processes, uninterrupted

NINE = blocks(3, 3)

Done = tuple[str, Counter[str]]
"""The lines of output of a chunk, in one text, and how many grids of which kind it held."""

_KINDS = {0: "none", 1: "unique", 2: "several", -1: "undecided"}


@dataclass(frozen=True)
class Tally:
    """What a stream held: how many grids of each kind, how many bad lines, how many lines."""

    none: int = 0
    unique: int = 0
    several: int = 0
    undecided: int = 0
    bad: int = 0
    lines: int = 0


@dataclass(frozen=True)
class Question(ABC):
    """What is asked of every grid, besides how many solutions it has.

    Where ``alone`` is None threads do the work, for it lets go of Python's lock; else other
    processes do, once there are more than so many grids, so that their start is worth it.
    """

    jsonl: bool
    node_limit: int = kernel.NODE_LIMIT

    grids_a_chunk: ClassVar[int] = 2000
    alone: ClassVar[int | None] = None

    @abstractmethod
    def answers(self, grids: list[str], counts: list[int], solved: list[str]) -> Iterable[str]:
        """The line for each grid, by the number of its solutions (-1: undecided) and the first."""

    @abstractmethod
    def answer(
        self,
        name: str | None,
        geometry: Geometry,
        clues: Values,
        parts: Sequence[Part],
        count: int,
        first: Values | None,
    ) -> str:
        """The line for one puzzle of any size and with any rules; ``name`` is its id."""

    @abstractmethod
    def fault(self, told: str) -> str:
        """The line for a line that is no grid."""

    def work(self, chunk: Chunk) -> Done:
        """Prove the grids of a chunk, and answer its lines as they stood."""
        counts, solutions = kernel.prove_many(
            NINE, chunk.grids, node_limit=self.node_limit, threads=1
        )
        grids, solved = _rows(chunk.texts.tobytes()), _rows((solutions + ord("0")).tobytes())
        answers = self.answers(grids, counts.tolist(), solved)
        if chunk.faults:
            good, faults = iter(answers), iter(chunk.faults)
            answers = [
                next(good) if fine else self.fault(next(faults)) for fine in chunk.good.tolist()
            ]
        kinds = {name: int((counts == kind).sum()) for kind, name in _KINDS.items()}
        return "".join(answers), Counter(kinds)


def _rows(cells: bytes) -> list[str]:
    text = cells.decode("ascii")
    return [text[at : at + CELLS] for at in range(0, len(text), CELLS)]


def run(
    question: Question,
    source: BinaryIO,
    sink: TextIO,
    *,
    report: Callable[[str], None],
    progress: Callable[[int], None] = lambda _lines: None,
    workers: int | None = None,
    pool: Pool | None = None,
) -> Tally:
    """Answer each line of ``source`` that is not blank with a line in ``sink``, in order.

    ``report`` gets a sentence for each line that is no grid, ``progress`` the number of lines done
    since it was last called. The work is done here, on all cores, or by the ``workers`` of a
    ``pool``. Raises InputError where the source is no plain text.
    """
    if not pool:
        kernel.ready()
    tally: Counter[str] = Counter()
    size = question.grids_a_chunk * (CELLS + 1)
    with Crew(question.work, workers or cpu_count() or 1, question.alone, pool) as crew:
        for chunk, (text, counts) in _in_order(chunks(source, size), crew):
            for told in chunk.faults:
                report(told)
            sink.write(text)
            if chunk.slow:
                sink.flush()
            tally.update(counts, bad=len(chunk.faults), lines=chunk.lines)
            progress(chunk.lines)
    return Tally(**tally)


def _in_order(pieces: Iterable[Chunk], crew: Crew) -> Iterator[tuple[Chunk, Done]]:
    waiting: deque[tuple[Chunk, Callable[[], Done]]] = deque()
    for piece in pieces:
        waiting.append((piece, crew.begin(piece)))
        while len(waiting) > (0 if piece.slow else crew.ahead):
            chunk, done = waiting.popleft()
            yield chunk, done()
    for chunk, done in waiting:
        yield chunk, done()


class Crew(contextlib.ExitStack):
    """Who does the work: this process until there are more than ``alone`` grids, then a pool.

    A pool of processes, whose work must be something that can be pickled; of threads, and at once,
    where ``alone`` is None; or another ``pool``, at once too.
    """

    def __init__(
        self, work: Callable[[Chunk], Done], workers: int, alone: int | None, pool: Pool | None
    ) -> None:
        super().__init__()
        self.work, self.workers = work, workers
        self.made = pool or (_threads if alone is None else processes)
        self.left = -1 if alone is None or pool else alone
        self.others = workers > 1 or pool is not None
        self.pool: Executor | None = None

    @property
    def ahead(self) -> int:
        """How many later chunks may be begun before one is finished."""
        return 3 * self.workers if self.pool else 0

    def begin(self, chunk: Chunk) -> Callable[[], Done]:
        """Hand the chunk to a worker, or keep it to be done here; what comes back waits for it."""
        if self.pool is None and self.others and self.left < len(chunk.grids):
            self.pool = self.enter_context(self.made(self.workers))
        self.left -= len(chunk.grids)
        if self.pool is None:
            return partial(self.work, chunk)
        with uninterrupted():
            return self.pool.submit(self.work, chunk).result


@contextlib.contextmanager
def _threads(workers: int) -> Iterator[ThreadPoolExecutor]:
    pool = ThreadPoolExecutor(workers)
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)
