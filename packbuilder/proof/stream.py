"""Stream: prove a file of any length, a 9x9 grid a line, on all cores, in constant memory.

Chunks of about 2,000 grids go to threads (the kernel lets go of Python's lock), and come back in
the order of the input. Each line that is not blank gives one line of output:

- plain: ``0``, ``1`` or ``2`` (two or more) solutions, ``?`` where the limit ran out first, ``-``
  for a line that is no grid;
- JSONL: ``{"grid", "solutions", "solution"}``; the grid as it stood in its line; ``solutions`` null
  where undecided, ``solution`` null unless there is exactly one. A line that is no grid has null
  for all three, and ``error`` says why.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from os import cpu_count
from typing import BinaryIO, TextIO

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import blocks
from packbuilder.proof import kernel
from packbuilder.proof.lines import CELLS, SIZE, Chunk, chunks

_PLAIN = np.frombuffer(b"012-?", np.uint8)
"""The answer of a count; -2, a bad line, and -1, undecided, count from the end."""

_BAD = -2

Answers = tuple[NDArray[np.int8], NDArray[np.uint8]]


@dataclass(frozen=True)
class StreamTally:
    """What a stream held: how many grids of each kind, how many bad lines, how many lines."""

    none: int = 0
    unique: int = 0
    several: int = 0
    undecided: int = 0
    bad: int = 0
    lines: int = 0

    @property
    def grids(self) -> int:
        """All the lines that could be read as a grid."""
        return self.none + self.unique + self.several + self.undecided

    def plus(self, counts: NDArray[np.int8], chunk: Chunk) -> StreamTally:
        """The tally with one more chunk."""
        none, unique, several = (int((counts == k).sum()) for k in (0, 1, 2))
        return StreamTally(
            self.none + none,
            self.unique + unique,
            self.several + several,
            self.undecided + int((counts == -1).sum()),
            self.bad + len(chunk.faults),
            self.lines + chunk.lines,
        )


def run(
    source: BinaryIO,
    sink: TextIO,
    *,
    jsonl: bool,
    report: Callable[[str], None],
    progress: Callable[[int], None] | None = None,
    node_limit: int = kernel.NODE_LIMIT,
    threads: int | None = None,
) -> StreamTally:
    """Prove each line of ``source`` and write the answers to ``sink``, in order.

    ``report`` gets a sentence for each line that is no grid, ``progress`` the number of lines
    done since it was last called. Memory does not grow with the stream.
    """
    kernel.ready()
    workers = threads or cpu_count() or 1
    tally = StreamTally()
    waiting: deque[tuple[Chunk, Future[Answers]]] = deque()

    def settle(most: int) -> None:
        """Write out what is waiting, until at most so many chunks are left."""
        nonlocal tally
        while len(waiting) > most:
            chunk, future = waiting.popleft()
            counts, solutions = future.result()
            for fault in chunk.faults:
                report(fault)
            sink.write(_jsonl(chunk, counts, solutions) if jsonl else _plain(chunk, counts))
            tally = tally.plus(counts, chunk)
            if progress:
                progress(chunk.lines)

    with ThreadPoolExecutor(workers) as pool:
        for chunk in chunks(source):
            waiting.append((chunk, pool.submit(_prove, chunk, node_limit)))
            settle(0 if chunk.slow else 2 * workers)
            if chunk.slow:
                sink.flush()
        settle(0)
    return tally


def _prove(chunk: Chunk, node_limit: int) -> Answers:
    return kernel.prove_many(_GEOMETRY, chunk.grids, node_limit=node_limit, threads=1)


_GEOMETRY = blocks(SIZE // 3, SIZE // 3)


def _plain(chunk: Chunk, counts: NDArray[np.int8]) -> str:
    answers = np.full(len(chunk.good), _BAD, np.int8)
    answers[chunk.good] = counts
    out = np.full((len(answers), 2), ord("\n"), np.uint8)
    out[:, 0] = _PLAIN[answers]
    return out.tobytes().decode("ascii")


def _jsonl(chunk: Chunk, counts: NDArray[np.int8], solutions: NDArray[np.uint8]) -> str:
    grids = chunk.texts.tobytes().decode("ascii")
    solved = (solutions + ord("0")).tobytes().decode("ascii")
    found = []
    for k, count in enumerate(counts.tolist()):
        at = k * CELLS
        solution = f'"{solved[at : at + CELLS]}"' if count == 1 else "null"
        said = "null" if count < 0 else count
        found.append(
            f'{{"grid": "{grids[at : at + CELLS]}", "solutions": {said}, "solution": {solution}}}\n'
        )
    if not chunk.faults:
        return "".join(found)
    good, bad = iter(found), iter(chunk.faults)
    return "".join(next(good) if fine else _error(next(bad)) for fine in chunk.good.tolist())


def _error(fault: str) -> str:
    return json.dumps({"grid": None, "solutions": None, "solution": None, "error": fault}) + "\n"
