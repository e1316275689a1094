"""Clashing neighbours, for all cells and digits at once.

The candidates of a grid lie in one int, 16 bits a cell; shifted down by d - 1 and cut to the lowest
bit of each cell it is the *plane* of the digit d. So what a cell does to the one beside it is done
for all cells by a shift.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Sequence
from functools import cache, cached_property

LANE = 16
"""Bits of a cell."""

FEW = 4
"""Places of a digit in a row or column that a cell can touch all at once."""

KEPT = 20_000
"""Planes that are remembered; so many recur in a search."""


class ClashingPlanes:
    """Pairs of cells side by side, or one below the other, that may not hold clashing digits."""

    def __init__(
        self, size: int, pairs: Sequence[tuple[int, int]], clash: Callable[[int, int], bool]
    ) -> None:
        self.size = size
        self.ones = sum(1 << LANE * cell for cell in range(size * size))
        digits = range(size)
        self.clashes = [[e for e in digits if clash(d + 1, e + 1)] for d in digits]
        self.friends = [[e for e in digits if not clash(d + 1, e + 1)] for d in digits]
        self._right = sum(1 << LANE * a for a, b in pairs if b == a + 1)
        self._down = sum(1 << LANE * a for a, b in pairs if b == a + size)
        self._blocked: dict[int, int] = {}

    def prune(self, masks: list[int]) -> bool:
        """Strike what clashes with all digits of a neighbour, and what would leave a digit no place
        in a row or a column; False if a cell or a digit has nothing left."""
        whole = int.from_bytes(array("H", masks).tobytes(), "little")
        while True:
            planes = [whole >> d & self.ones for d in range(self.size)]
            gone = 0
            for e, plane in enumerate(planes):
                loose = 0
                for d in self.friends[e]:
                    loose |= planes[d]
                gone |= (self._beside(self.ones & ~loose) & plane) << e
            for d, plane in enumerate(planes):
                blocked = self._blocked.get(plane)
                if blocked is None:
                    blocked = self._remember(plane)
                if blocked < 0:
                    return False
                for e in self.clashes[d] if blocked else ():
                    if e != d:
                        gone |= (blocked & planes[e]) << e
            if not gone:
                break
            whole &= ~gone
        left = array("H")
        left.frombytes(whole.to_bytes(LANE // 8 * len(masks), "little"))
        masks[:] = left.tolist()
        return 0 not in masks

    def _beside(self, cells: int) -> int:
        """The cells that make a pair with one of these."""
        right, down, row = self._right, self._down, LANE * self.size
        return (
            (cells & right) << LANE | cells >> LANE & right
            | (cells & down) << row | cells >> row & down
        )  # fmt: skip

    def _remember(self, plane: int) -> int:
        """The cells that touch all places of a digit in some row or column; -1 where one has none.

        A place touches itself. A single place is left out: what it does, the pairs do.
        """
        found = 0
        for line in _lines(self.size):
            places = plane & line
            if not places:
                found = -1
                break
            if 1 < places.bit_count() <= FEW:
                touching = -1
                while places:
                    low = places & -places
                    places ^= low
                    touching &= self._near[low.bit_length() // LANE]
                found |= touching
        if len(self._blocked) > KEPT:
            self._blocked.clear()
        self._blocked[plane] = found
        return found

    @cached_property
    def _near(self) -> list[int]:
        """For each cell itself and those that make a pair with it."""
        cells = (1 << LANE * cell for cell in range(self.size * self.size))
        return [cell | self._beside(cell) for cell in cells]


@cache
def _lines(size: int) -> tuple[int, ...]:
    """The rows and columns of a grid."""
    span = range(size)
    rows = [sum(1 << LANE * (r * size + c) for c in span) for r in span]
    columns = [sum(1 << LANE * (r * size + c) for r in span) for c in span]
    return (*rows, *columns)
