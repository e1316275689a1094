"""Random clues that hold on a solved grid, and how a line finds its way over it.

Every draw is one call of ``Solved.draw``, for only ``random()`` is promised to give the same
numbers in every Python; so the same seed gives the same clues everywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TypeVar

from packbuilder.grid import cell_name
from packbuilder.rules.contract import Draw, Solved
from packbuilder.rules.tools.cells import touch

T = TypeVar("T")

SHARE = 0.45
"""How much of the free cells lines may cover: enough to solve by, with room for a pencil."""

TRIES = 1500
"""Lines that are begun before no more are looked for."""


def pick(options: Sequence[T], draw: Draw) -> T:
    """One of them."""
    return options[int(draw() * len(options))]


def shuffled(options: Iterable[T], draw: Draw) -> list[T]:
    """All of them, in another order."""
    found = list(options)
    keys = [draw() for _ in found]
    return [found[k] for k in sorted(range(len(found)), key=keys.__getitem__)]


def share_of(options: Iterable[T], share: float, draw: Draw) -> list[T]:
    """A share of them, at least one where there is any; in the order in which they come."""
    found = list(options)
    count = max(1, round(share * len(found)))
    kept = set(shuffled(range(len(found)), draw)[:count])
    return [option for k, option in enumerate(found) if k in kept]


def written(cells: Iterable[int], size: int) -> str:
    """Cells as the manifest has them: ``r1c1 r1c2``."""
    return " ".join(cell_name(cell, size) for cell in cells)


def random_lines(
    grid: Solved,
    lengths: tuple[int, int],
    grow: Callable[[LineSpace, int], tuple[int, ...]],
    holds: Callable[[tuple[int, ...]], bool],
) -> list[tuple[int, ...]]:
    """Lines on free cells, of so many cells, that share no cell and nowhere cross.

    ``grow`` makes a line of a wanted length or less; those that ``holds`` accepts are kept.
    """
    space = LineSpace(grid)
    found: list[tuple[int, ...]] = []
    wanted = SHARE * len(grid.free)
    low, high = lengths
    for _ in range(TRIES):
        if len(space.taken) >= wanted or len(space.free) < low:
            break
        length = low + int(grid.draw() * (high - low + 1))
        cells = grow(space, length)
        if len(cells) == length and holds(cells):  # else short lines, easy to find, crowd it
            space.take(cells)
            found.append(cells)
    return sorted(found)


def beside(cell: int, size: int) -> list[int]:
    """The cells that share a side with a cell."""
    row, column = divmod(cell, size)
    around = ((row - 1, column), (row, column - 1), (row, column + 1), (row + 1, column))
    return [r * size + c for r, c in around if 0 <= r < size and 0 <= c < size]


def connected_cells(grid: Solved, free: Collection[int], start: int, length: int) -> list[int]:
    """Free cells that hang together by their sides and repeat no digit, so many or fewer."""
    size, values = grid.geometry.size, grid.values
    cells = [start]
    while len(cells) < length:
        held = {values[cell] for cell in cells}
        around = sorted(
            {
                other
                for cell in cells
                for other in beside(cell, size)
                if other in free and values[other] not in held
            }
        )
        if not around:
            break
        cells.append(pick(around, grid.draw))
    return sorted(cells)


class LineSpace:
    """Where lines may still be laid: what is free, and which corners are crossed."""

    def __init__(self, grid: Solved) -> None:
        self.grid = grid
        self.size = grid.geometry.size
        self.free = sorted(grid.free)
        self.taken: set[int] = set()
        self._crossed: set[tuple[int, int]] = set()

    def start(self) -> int:
        """A free cell."""
        return pick(self.free, self.grid.draw)

    def steps(self, cells: Sequence[int], end: int) -> list[int]:
        """The free cells to which a line of ``cells`` may go on from one of its ends.

        It never comes back beside itself: a sharp turn is hard to see where two strokes meet.
        """
        crossed = self._crossed | set(_corners(cells, self.size))
        return [
            cell
            for cell in self._around(end)
            if cell not in cells
            and not crossed & set(_corners((end, cell), self.size))
            and not any(touch(cell, other, self.size) for other in cells if other != end)
        ]

    def favoured(self, steps: Sequence[int], end: int) -> list[int]:
        """The steps with those over a side twice: mostly straight lines are easier to read."""
        return [cell for step in steps for cell in [step] * (1 + touch(step, end, self.size))]

    def take(self, cells: Sequence[int]) -> None:
        """Lay a line."""
        self.taken |= set(cells)
        self.free = [cell for cell in self.free if cell not in self.taken]
        self._crossed |= set(_corners(cells, self.size))

    def _around(self, cell: int) -> Iterator[int]:
        return (other for other in self.free if touch(cell, other, self.size, corners=True))


def growing_line(
    space: LineSpace, length: int, may: Callable[[Sequence[int]], bool]
) -> tuple[int, ...]:
    """A line from one end on, as long as its digits so far may begin a line; perhaps shorter."""
    values, draw = space.grid.values, space.grid.draw
    cells = [space.start()]
    while len(cells) < length:
        steps = [
            step
            for step in space.favoured(space.steps(cells, cells[-1]), cells[-1])
            if may([values[cell] for cell in (*cells, step)])
        ]
        if not steps:
            break
        cells.append(pick(steps, draw))
    return tuple(cells)


def mirrored_line(space: LineSpace, length: int) -> tuple[int, ...]:
    """A line from its middle cell, or its middle two, outwards by equal digits."""
    values, draw = space.grid.values, space.grid.draw
    cells = [space.start()]
    if length % 2 == 0:
        twins = [c for c in space.steps(cells, cells[0]) if values[c] == values[cells[0]]]
        if not twins:
            return ()
        cells.append(pick(twins, draw))
    while len(cells) < length:
        pairs = [
            (one, other)
            for one in space.favoured(space.steps(cells, cells[0]), cells[0])
            for other in space.steps([one, *cells], cells[-1])
            if values[one] == values[other]
        ]
        if not pairs:
            break
        one, other = pick(pairs, draw)
        cells = [one, *cells, other]
    return tuple(cells)


def _corners(cells: Sequence[int], size: int) -> Iterator[tuple[int, int]]:
    """The points inside the grid over which a line steps from corner to corner."""
    for a, b in pairwise(cells):
        if a // size != b // size and a % size != b % size:
            yield max(a // size, b // size), max(a % size, b % size)
