"""Walks among the grids of a picture: the compiled search of `picture_search`, ready to use.

Numpy and numba are imported here, so import this module where it is needed.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import Geometry, Values, latin
from packbuilder.proof import kernel, picture_search
from packbuilder.proof.compiling import announced, without_cache
from packbuilder.proof.picture_search import Asked, Place
from packbuilder.proof.tables import tables

NODES = 1_000_000
"""Branches of one stretch of a walk: a fraction of a second; 9x9 grids take much less."""


class Walk:
    """One walk, from clues that may have any number of solutions on.

    ``changeable`` are the cells whose digits may change; those of them that are ``optional`` may be
    empty. ``met`` is how many grids with one solution it has met. The same seed takes the same walk
    on any machine.
    """

    def __init__(
        self,
        geometry: Geometry,
        clues: Sequence[int],
        changeable: Sequence[int],
        optional: Collection[int],
        seed: int,
    ) -> None:
        self.geometry = geometry
        self.met = 0
        self._grid = np.array(clues, np.uint8)
        self._place = Place(
            np.array(changeable, np.int64),
            np.array([cell in optional for cell in changeable], np.bool_),
            _peers(geometry),
            np.zeros(2, np.uint8),
        )
        self._state = np.array([seed % (2**64 - 1) + 1, 0], np.uint64)

    @property
    def clues(self) -> Values:
        """The clues where the walk stands."""
        return tuple(map(int, self._grid))

    @property
    def solutions(self) -> int:
        """How many solutions they have; more than `picture_search.COUNTED` are not told apart."""
        return int(self._state[1])

    def go(self, asked: Asked, *, tries: int, most: int) -> list[Values]:
        """Walk on, for so many changes at most: the first ``most`` grids that are as asked for."""
        ready()
        found = np.zeros((most, self._grid.size), np.uint8)
        hits, met = picture_search.run(
            self._grid, self._place, asked, tries, NODES, self._state, found,
            tables(self.geometry),
        )  # fmt: skip
        self.met += int(met)
        return [tuple(map(int, row)) for row in found[:hits]]


def unique_fillings(
    geometry: Geometry, clues: Sequence[int], free: Sequence[int], most: int
) -> list[Values]:
    """Grids with one solution that have a digit in each of the ``free`` cells, and ``clues`` else.

    Found by listing all solutions of the clues without these cells: where one solution alone has
    some digits there, they leave one solution. None where there are more than ``most`` solutions.
    """
    bare = [0 if cell in free else clue for cell, clue in enumerate(clues)]
    solutions, whole = kernel.explore(geometry, bare, limit=most)
    if not whole or not len(solutions):
        return []
    keys = np.zeros(len(solutions), np.int64)
    for cell in free:
        keys = keys * (geometry.size + 1) + solutions[:, cell]
    _, first, counts = np.unique(keys, return_index=True, return_counts=True)
    found = []
    for k in sorted(first[counts == 1]):
        grid = list(bare)
        for cell in free:
            grid[cell] = int(solutions[k, cell])
        found.append(tuple(grid))
    return found


@lru_cache(maxsize=16)
def _peers(geometry: Geometry) -> NDArray[np.int64]:
    """For each cell the cells that see it, then the cell itself as often as there is room."""
    width = 1 + max(map(len, geometry.peers))
    rows = [[*sorted(peers), *[cell] * width][:width] for cell, peers in enumerate(geometry.peers)]
    return np.array(rows, np.int64)


@cache
def ready() -> None:
    """Compile the search, or load it from the cache. The first compile ever says so."""
    kernel.ready()
    with announced("the search in pictures"):
        try:
            _try()
        except Exception:  # a spoilt cache, a full disk: slower to start, but no less true
            picture_search.run = without_cache(picture_search.run)
            _try()


def _try() -> None:
    geometry = latin(4)
    place = Place(np.arange(3), np.zeros(3, np.bool_), _peers(geometry), np.zeros(2, np.uint8))
    grid, state = np.array([1, 2, 3, *[0] * 13], np.uint8), np.array([1, 0], np.uint64)
    asked = Asked(0, 0, 0, 0, 0, 16, False)
    found = np.zeros((1, 16), np.uint8)
    picture_search.run(grid, place, asked, 1, 1, state, found, tables(geometry))
