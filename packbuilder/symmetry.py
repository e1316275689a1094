"""Symmetry: the pictures that the clues of a grid may make.

Only the places of the clues count, never their digits. A symmetry is a group of turns and mirrors
of the square; an *orbit* is a set of cells that the group carries into one another, so in a
symmetrical picture an orbit is all clues or all empty. The names of the mirrors say where the
axis lies: ``horizontal`` has a horizontal axis, so the top half mirrors the bottom half.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

Move = Callable[[int, int, int], tuple[int, int]]
"""Where (row, column) of a grid of a size lands; all count from 0."""


def _half_turn(row: int, column: int, size: int) -> tuple[int, int]:
    return size - 1 - row, size - 1 - column


def _quarter_turn(row: int, column: int, size: int) -> tuple[int, int]:
    return column, size - 1 - row


def _over_horizontal(row: int, column: int, size: int) -> tuple[int, int]:
    return size - 1 - row, column


def _over_vertical(row: int, column: int, size: int) -> tuple[int, int]:
    return row, size - 1 - column


def _over_diagonal(row: int, column: int, size: int) -> tuple[int, int]:
    return column, row


def _over_anti_diagonal(row: int, column: int, size: int) -> tuple[int, int]:
    return size - 1 - column, size - 1 - row


# Each name with the moves that make its group, and what it says of the picture.
_TABLE: dict[str, tuple[tuple[Move, ...], str]] = {
    "none": ((), "nothing is claimed of the picture"),
    "rotational": ((_half_turn,), "the picture is the same after a half turn"),
    "quarter-turn": ((_quarter_turn,), "the picture is the same after a quarter turn"),
    "horizontal": ((_over_horizontal,), "the top half mirrors the bottom half"),
    "vertical": ((_over_vertical,), "the left half mirrors the right half"),
    "diagonal": (
        (_over_diagonal,),
        "the picture mirrors over the diagonal from top left to bottom right",
    ),
    "anti-diagonal": (
        (_over_anti_diagonal,),
        "the picture mirrors over the diagonal from top right to bottom left",
    ),
    "both-axes": (
        (_over_horizontal, _over_vertical),
        "top mirrors bottom, and left mirrors right",
    ),
    "both-diagonals": (
        (_over_diagonal, _over_anti_diagonal),
        "the picture mirrors over both long diagonals",
    ),
    "full": (
        (_quarter_turn, _over_vertical),
        "every quarter turn and every mirror leaves the picture the same",
    ),
}

NAMES: tuple[str, ...] = tuple(_TABLE)
"""Every symmetry that can be promised; ``none`` claims nothing."""


def words(name: str) -> str:
    """A clause that says what the symmetry means. Raises ValueError for an unknown name."""
    return _entry(name)[1]


@cache
def orbits(name: str, size: int) -> tuple[tuple[int, ...], ...]:
    """The sets of cells that go together, each sorted, ordered by their first cell.

    Together they hold every cell of the grid once. Raises ValueError for an unknown name.
    """
    moves = _entry(name)[0]
    found: list[tuple[int, ...]] = []
    seen: set[int] = set()
    for start in range(size * size):
        if start in seen:
            continue
        orbit, waiting = {start}, [start]
        while waiting:
            row, column = divmod(waiting.pop(), size)
            for move in moves:
                r, c = move(row, column, size)
                if (cell := r * size + c) not in orbit:
                    orbit.add(cell)
                    waiting.append(cell)
        seen |= orbit
        found.append(tuple(sorted(orbit)))
    return tuple(found)


def holds(name: str, clues: Sequence[int], size: int) -> bool:
    """True if the clues (0 for an empty cell) make a picture with this symmetry."""
    return not broken_cells(name, clues, size)


def completions(name: str, clues: Sequence[int], size: int) -> tuple[tuple[int, ...], ...]:
    """The empty cells that clues must be added to, all together, for the symmetry to hold.

    The least first: those that orbits with a clue lack, alone, and then with one more orbit.
    """
    lacking = tuple(cell for cell in broken_cells(name, clues, size) if not clues[cell])
    empty = (orbit for orbit in orbits(name, size) if not any(clues[cell] for cell in orbit))
    more = (tuple(sorted((*lacking, *orbit))) for orbit in empty)
    return (lacking, *more) if lacking else tuple(more)


def fullest(clues: Sequence[int], size: int) -> str:
    """The symmetry of a picture that has the most moves; ``none`` where it has no symmetry."""
    held = [name for name in NAMES if holds(name, clues, size)]
    return min(held, key=lambda name: len(orbits(name, size)))


def broken_cells(name: str, clues: Sequence[int], size: int) -> tuple[int, ...]:
    """The cells of every orbit that is neither all clues nor all empty, sorted.

    Raises ValueError for an unknown name, or where ``clues`` has not size x size entries.
    """
    if len(clues) != size * size:
        raise ValueError(f"{len(clues)} cells given; a {size}x{size} grid has {size * size}")
    mixed = (o for o in orbits(name, size) if len({clues[cell] != 0 for cell in o}) > 1)
    return tuple(sorted(cell for orbit in mixed for cell in orbit))


def _entry(name: str) -> tuple[tuple[Move, ...], str]:
    if name not in _TABLE:
        raise ValueError(f"no symmetry {name!r}; the symmetries are: {', '.join(NAMES)}")
    return _TABLE[name]
