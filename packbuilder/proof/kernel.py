"""The kernel: how many solutions a grid has, by a compiled search over any houses.

Numpy is imported here, so import this module where it is needed. The layout of the
data is drawn in `tables`, the search itself is in `search`.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from os import cpu_count
from threading import local

import numpy as np
from numpy.typing import NDArray

from packbuilder.compiled import Kernel, Laid, laid
from packbuilder.compiled.kernel import Example
from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry, Values, latin
from packbuilder.proof.tables import room, tables
from packbuilder.proof.verdict import Verdict

NODE_LIMIT = 2_000_000
"""Branches before a proof gives up: some ten seconds at worst. Real 9x9 grids need under 1,000."""

CHUNK = 2048
"""Grids that a thread takes at a time."""

_NO_LIMIT = 1 << 62
_TRIES = 64
_FIRST_TRY = 500

_PACE = 100_000
"""Branches in a second, at a guess on the low side: how far a try may go before a deadline."""

Grids = NDArray[np.uint8]


def prove(geometry: Geometry, clues: Sequence[int], *, node_limit: int = NODE_LIMIT) -> Verdict:
    """Whether the grid has no solution, one, or two and more, with the first two as witnesses.

    ``clues`` has one entry a cell, 0 for empty. Undecided after ``node_limit`` branches. Raises
    ValueError for clues that do not fit the geometry.
    """
    counts, nodes, solutions = _run(geometry, _grids(geometry, clues), 2, node_limit, keep=2)
    found = int(counts[0])
    first, second = (tuple(map(int, row)) if row[0] else None for row in solutions[0])
    return Verdict(found if found >= 0 else None, first, second, int(nodes[0]))


def prove_many(
    geometry: Geometry,
    grids: Grids,
    *,
    node_limit: int = NODE_LIMIT,
    threads: int | None = None,
) -> tuple[NDArray[np.int8], Grids]:
    """`prove` for many grids at once, on all cores unless ``threads`` says otherwise.

    ``grids`` has shape (k, cells). Returns the counts (k,): 0, 1, 2 for two or more, -1 for
    undecided; and the first solution of each grid (k, cells), zeros where none was found.
    """
    grids = _grids(geometry, grids)
    parts = [grids[k : k + CHUNK] for k in range(0, len(grids), CHUNK)]
    workers = min(threads or cpu_count() or 1, len(parts))
    if workers <= 1:
        done = [_run(geometry, part, 2, node_limit, keep=1) for part in parts]
    else:
        with ThreadPoolExecutor(workers) as pool:
            done = list(pool.map(lambda p: _run(geometry, p, 2, node_limit, keep=1), parts))
    counts = [counts.astype(np.int8) for counts, _, _ in done]
    solutions = [solutions[:, 0] for _, _, solutions in done]
    return (
        np.concatenate([np.zeros(0, np.int8), *counts]),
        np.concatenate([np.zeros((0, geometry.cell_count), np.uint8), *solutions]),
    )


def count(geometry: Geometry, clues: Sequence[int], *, limit: int) -> int:
    """The number of solutions, up to ``limit``. There is no node limit: it ends with the search."""
    counts, _, _ = _run(geometry, _grids(geometry, clues), limit, _NO_LIMIT, keep=0)
    return int(counts[0])


def explore(
    geometry: Geometry, clues: Sequence[int], *, limit: int, node_limit: int = NODE_LIMIT
) -> tuple[Grids, bool]:
    """Up to ``limit`` solutions (found, cells), and whether they are all that there are."""
    counts, _, found = _run(geometry, _grids(geometry, clues), limit, node_limit, keep=limit)
    solutions = found[0, found[0, :, 0] > 0]
    return solutions, 0 <= counts[0] < limit


def random_solution(
    geometry: Geometry,
    seed: int,
    *,
    clues: Sequence[int] | None = None,
    deadline: float | None = None,
) -> Values:
    """A full grid, drawn by random branching: the same for the same seed. Not quite uniform.

    It has the ``clues``, if there are any. ``deadline`` (on the monotonic clock) says when to give
    up; it never changes which grid is found. Raises InputError where the geometry has no full grid
    at all, Unfinished where none was found in time, or in a number of tries.
    """
    state = np.random.SeedSequence(seed & ((1 << 64) - 1))
    empty = _grids(geometry, [0] * geometry.cell_count if clues is None else clues)
    for attempt, start in enumerate(state.generate_state(_TRIES, np.uint64)):
        # A bad first branch can cost minutes, a new start costs nothing: limits grow slowly.
        limit = _FIRST_TRY * 2 ** (attempt // 4)
        if deadline is not None:
            left = deadline - time.monotonic()
            if left <= 0 and not attempt:
                raise Unfinished("the time ran out before a grid was filled")
            if left <= 0:
                break
            # A try that is cut short finds its grid or none, so the answer stays the same.
            limit = min(limit, _FIRST_TRY + int(left * _PACE))
        counts, _, solutions = _run(geometry, empty, 1, limit, keep=1, seed=int(start) | 1)
        if counts[0] == 1:
            return tuple(map(int, solutions[0, 0]))
        if counts[0] == 0:
            what = "redraw them" if clues is None else "or the clues; change one of them"
            raise InputError(f"no full grid fits these regions ({geometry.name()}); {what}")
    raise Unfinished("no full grid of these regions was found, and there may be none")


def ready() -> None:
    """Compile the search, or load what was kept of it. The first compile ever says so."""
    run.ready()


def _grids(geometry: Geometry, clues: Sequence[int] | Grids) -> Grids:
    """The clues as an array (k, cells) that the search may trust."""
    grids = np.atleast_2d(np.asarray(clues))
    if grids.shape[1] != geometry.cell_count:
        raise ValueError(f"{grids.shape[1]} cells; a {geometry.name()} has {geometry.cell_count}")
    if grids.size and not 0 <= grids.min() <= grids.max() <= geometry.size:
        raise ValueError(f"a clue is outside 0 to {geometry.size}")
    return np.ascontiguousarray(grids, np.uint8)


def _run(
    geometry: Geometry, grids: Grids, limit: int, node_limit: int, *, keep: int, seed: int = 0
) -> tuple[NDArray[np.int64], NDArray[np.int64], Grids]:
    """One call of the search: counts (k,), nodes (k,), solutions (k, keep, cells)."""
    counts = np.zeros(len(grids), np.int64)
    nodes = np.zeros(len(grids), np.int64)
    solutions = np.zeros((len(grids), keep, geometry.cell_count), np.uint8)
    run(grids, limit, node_limit, np.uint64(seed), counts, nodes, solutions, *_laid(geometry))
    return counts, nodes, solutions


def _laid(geometry: Geometry) -> tuple[Laid, Laid]:
    """Room for this thread, and the tables, laid out for many calls."""
    last = getattr(_THREAD, "last", None)
    if last is None or last[0] is not geometry:
        last = _THREAD.last = geometry, laid(room(tables(geometry))), _tables(geometry)
    return last[1], last[2]


_THREAD = local()


@lru_cache(maxsize=64)
def _tables(geometry: Geometry) -> Laid:
    return laid(tables(geometry))


def _example() -> Example:
    """The Latin squares of 4x4: there are 576."""
    geometry = latin(4)
    counts, nodes = np.zeros(1, np.int64), np.zeros(1, np.int64)
    args = (
        np.zeros((1, 16), np.uint8), 1000, 1000, np.uint64(0), counts, nodes,
        np.zeros((1, 1, 16), np.uint8), room(tables(geometry)), tables(geometry),
    )  # fmt: skip
    return args, lambda _: counts[0] == 576


run = Kernel(
    "packbuilder.proof.search:run",
    ["packbuilder.proof.vectors", "packbuilder.proof.tables"],
    "the proof kernel",
    _example,
)
