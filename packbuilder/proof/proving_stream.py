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
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from os import cpu_count
from typing import BinaryIO, TextIO

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import blocks
from packbuilder.proof import kernel
from packbuilder.proof.grid_lines import CELLS, SIZE, Chunk
from packbuilder.proof.workers import Done, Threads, flow, woven

_PLAIN = np.frombuffer(b"012-?", np.uint8)
"""The answer of a count; -2, a bad line, and -1, undecided, count from the end."""

_BAD = -2

_KINDS = {0: "none", 1: "unique", 2: "several", -1: "undecided"}
_GEOMETRY = blocks(SIZE // 3, SIZE // 3)


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
    work = partial(_answer, jsonl=jsonl, node_limit=node_limit)
    with Threads(work, threads or cpu_count() or 1) as crew:
        return StreamTally(**flow(source, sink, crew, report=report, progress=progress))


def _answer(chunk: Chunk, *, jsonl: bool, node_limit: int) -> Done:
    counts, solutions = kernel.prove_many(_GEOMETRY, chunk.grids, node_limit=node_limit, threads=1)
    text = _jsonl(chunk, counts, solutions) if jsonl else _plain(chunk, counts)
    return text, Counter({name: int((counts == kind).sum()) for kind, name in _KINDS.items()})


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
    return woven(chunk, found, _error)


def _error(fault: str) -> str:
    return json.dumps({"grid": None, "solutions": None, "solution": None, "error": fault}) + "\n"
