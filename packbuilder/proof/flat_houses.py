"""The houses of a geometry in flat arrays, as the compiled part of the rule search reads them.

`strikes` has a picture of the arrays. Numpy is imported here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import Geometry

Ints = NDArray[np.int64]


class FlatHouses(NamedTuple):
    """The houses of a geometry, laid flat. A tuple, so that numba takes it as it is.

    ``of`` are the numbers of what strikes at each cell: the houses, and behind them whatever else
    there is (see `flat_rules`).
    """

    size: int
    starts: Ints
    cells: Ints
    of_starts: Ints
    of: Ints
    crossings: Ints
    crossing_starts: Ints
    pieces: Ints


@lru_cache(maxsize=32)
def flat_houses(geometry: Geometry) -> FlatHouses:
    """The houses of a geometry, laid flat."""
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
    return FlatHouses(
        size,
        *flat([house.cells for house in houses]),
        *flat(geometry.houses_of),
        np.array(crossings or [[0] * 4], np.int64),
        np.array(crossing_starts, np.int64),
        np.array(pieces, np.int64),
    )


def flat(rows: Sequence[Sequence[int]]) -> tuple[Ints, Ints]:
    """Where each row starts (and the last one ends), and all rows one behind the other."""
    starts = np.cumsum([0, *map(len, rows)])
    return starts.astype(np.int64), np.array([x for row in rows for x in row], np.int64)
