"""The houses of a geometry in flat arrays, as the compiled part of the rule search reads them.

`house_strikes` has a picture of the arrays. Numpy and numba are imported here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import Geometry, latin
from packbuilder.proof import house_strikes
from packbuilder.proof.compiling import announced, without_cache

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Houses:
    """The houses of a geometry, laid flat."""

    size: int
    starts: Ints
    cells: Ints
    of_starts: Ints
    of: Ints
    crossings: Ints
    crossing_starts: Ints
    pieces: Ints

    def settle(self, before: Sequence[int], masks: list[int]) -> int:
        """Strike in ``masks`` until nothing moves: -1, or the house that cannot hold any more.

        ``before`` are the masks of an earlier position of the same search in which nothing moved:
        only houses with cells that differ from it are looked at to begin with.
        """
        now = np.array(masks, np.int64)
        failed: int = house_strikes.settle(
            np.array(before, np.int64), now, self.size, self.starts, self.cells, self.of_starts,
            self.of, self.crossing_starts, self.crossings, self.pieces,
        )  # fmt: skip
        masks[:] = now.tolist()
        return failed


@lru_cache(maxsize=32)
def houses_of(geometry: Geometry) -> Houses:
    """The houses of a geometry, laid flat, and the compiled part ready for them."""
    ready()
    return _laid_flat(geometry)


def _laid_flat(geometry: Geometry) -> Houses:
    size, houses = geometry.size, geometry.houses
    crossings: list[list[int]] = []
    crossing_starts, pieces = [0], list[int]()
    for house in houses:
        mine = set(house.cells)
        for other in houses if len(mine) == size else ():
            both = [c for c in house.cells if c in other.cells]
            if 2 <= len(both) < min(len(other.cells), size):
                row = [len(pieces)]
                for piece in (both, mine - set(both), set(other.cells) - mine):
                    pieces += sorted(piece)
                    row.append(len(pieces))
                crossings.append(row)
        crossing_starts.append(len(crossings))
    return Houses(
        size,
        *_flat([house.cells for house in houses]),
        *_flat(geometry.houses_of),
        np.array(crossings or [[0] * 4], np.int64),
        np.array(crossing_starts, np.int64),
        np.array(pieces, np.int64),
    )


def _flat(rows: Sequence[Sequence[int]]) -> tuple[Ints, Ints]:
    starts = np.cumsum([0, *map(len, rows)])
    return starts.astype(np.int64), np.array([x for row in rows for x in row], np.int64)


@cache
def ready() -> None:
    """Compile, or load from the cache. The first compile ever says so."""
    example = _laid_flat(latin(4))
    with announced("the rule search"):
        try:
            example.settle([0] * 16, [15] * 16)
        except Exception:  # a spoilt cache, a full disk: slower to start, but no less true
            house_strikes.settle = without_cache(house_strikes.settle)
            example.settle([0] * 16, [15] * 16)
