"""Walks among the grids of a picture: the compiled search of `picture_search`, ready to use.

Numpy is imported here, so import this module where it is needed.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.compiled import Kernel
from packbuilder.compiled.kernel import Example
from packbuilder.grid import Geometry, Values, latin
from packbuilder.proof import kernel
from packbuilder.proof.tables import room, tables

STEPS = ("locked", "naked-pair", "hidden-pair", "naked-triple", "hidden-triple", "x-wing",
         "naked-quad", "hidden-quad", "swordfish", "jellyfish")  # fmt: skip
"""What the sieve knows beyond singles, easiest first. ``locked`` is pointing and claiming. A set of
them is a number: bit k for the k-th. (`easy_steps.KINDS` has them in the same order.)"""

NODES = 1_000_000
"""Branches of one stretch of a walk: a fraction of a second; 9x9 grids take much less."""


class Asked(NamedTuple):
    """What the grids must be.

    ``below`` and ``steps`` are sets of `STEPS`; a score from ``low`` to ``high`` will
    do. From ``fewest`` to ``most`` cells have clues. ``minimal``: no clue may be left out.
    """

    below: int
    steps: int
    low: int
    high: int
    fewest: int
    most: int
    minimal: bool


class Place(NamedTuple):
    """Where clues may change: cells, whether each may be empty, and for all cells their peers.

    ``old`` is room for two digits.
    """

    cells: Any
    optional: Any
    peers: Any
    old: Any


class Walk:
    """One walk, from clues that may have any number of solutions on.

    ``changeable`` are the cells whose digits may change; those of them that are ``optional`` may be
    empty. The same seed takes the same walk on any machine.
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
        self._grid = np.array(clues, np.uint8)
        self._place = Place(
            np.array(changeable, np.int64),
            np.array([cell in optional for cell in changeable], np.bool_),
            _peers(geometry),
            np.zeros(2, np.uint8),
        )
        self._state = np.array([seed % (2**64 - 1) + 1, 0, 0], np.uint64)

    @property
    def clues(self) -> Values:
        """The clues where the walk stands."""
        return tuple(map(int, self._grid))

    @property
    def solutions(self) -> int:
        """How many solutions they have; more than `picture_search.COUNTED` are not told apart."""
        return int(self._state[1])

    @property
    def met(self) -> int:
        """How many grids with one solution it has met."""
        return int(self._state[2])

    def go(self, asked: Asked, *, tries: int, most: int) -> list[Values]:
        """Walk on, for so many changes at most: the first ``most`` grids that are as asked for."""
        found = np.zeros((most, self._grid.size), np.uint8)
        hits = run(
            self._grid, self._place, asked, tries, NODES, self._state, found,
            room(tables(self.geometry)), tables(self.geometry),
        )  # fmt: skip
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


def _example() -> Example:
    """A grid of 4x4 cells in which one digit may change: one step is legal, and finds a grid."""
    geometry = latin(4)
    place = Place(np.arange(15, 16), np.ones(1, np.bool_), _peers(geometry), np.zeros(2, np.uint8))
    grid = np.array([1, 2, 3, 4, 2, 1, 4, 3, 3, 4, 1, 2, 4, 3, 2, 1], np.uint8)
    state = np.array([1, 0, 0], np.uint64)
    found = np.zeros((1, 16), np.uint8)
    asked = Asked(0, 0, 0, 0, 0, 16, False)
    args = (grid, place, asked, 1, 1, state, found, room(tables(geometry)), tables(geometry))
    return args, lambda hits: hits == 1 and bool((found[0] == grid).all())


run = Kernel(
    "packbuilder.proof.picture_search:run",
    [f"packbuilder.proof.{name}" for name in ("search", "easy_steps", "vectors", "tables")],
    "the search in pictures",
    _example,
)
