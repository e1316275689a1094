"""Random positions with a known solution, and positions set up by hand.

Nothing here comes from the engine's own masks: a solution is found by plain search over
`Geometry.peers`, and candidates are sets.
"""

from __future__ import annotations

import random
from dataclasses import replace
from functools import lru_cache

from packbuilder.grid import Geometry, House, Values, blocks, irregular, latin, parse_cell
from packbuilder.ladder.board import Board
from tests.ladder.grids import REGIONS


def with_houses(geometry: Geometry, *houses: House) -> Geometry:
    """The geometry with more houses."""
    return replace(geometry, houses=(*geometry.houses, *houses))


def diagonals(size: int) -> tuple[House, House]:
    """Both long diagonals."""
    return (
        House("diagonal", "the falling diagonal", tuple(k * size + k for k in range(size))),
        House("diagonal", "the rising diagonal", tuple((k + 1) * (size - 1) for k in range(size))),
    )


GEOMETRIES: dict[str, Geometry] = {
    "9x9": blocks(3, 3),
    "6x6": blocks(2, 3),
    "8x8": blocks(2, 4),
    "latin 6": latin(6),
    "irregular 6": irregular(REGIONS),
    "diagonals 6": with_houses(blocks(2, 3), *diagonals(6)),
    "cage 6": with_houses(blocks(2, 3), House("cage", "cage a", (1, 2, 8, 9))),
    "window 9": with_houses(
        blocks(3, 3),
        House("extra", "window a", tuple(r * 9 + c for r in (1, 2, 3) for c in (1, 2, 3))),
    ),
}


@lru_cache(maxsize=512)
def solution(name: str, seed: int) -> Values:
    """A random full grid of a geometry, by plain search on the cell with the fewest digits."""
    geometry, rng = GEOMETRIES[name], random.Random(seed)
    values = [0] * geometry.cell_count
    budget = 0

    def fill() -> bool:
        nonlocal budget
        budget -= 1
        if budget < 0:
            return False
        best: list[int] | None = None
        where = -1
        for cell in range(geometry.cell_count):
            if not values[cell]:
                used = {values[peer] for peer in geometry.peers[cell]}
                fit = [d for d in range(1, geometry.size + 1) if d not in used]
                if best is None or len(fit) < len(best):
                    best, where = fit, cell
        if best is None:
            return True
        rng.shuffle(best)
        for d in best:
            values[where] = d
            if fill():
                return True
            values[where] = 0
        return False

    while True:
        budget, values[:] = 500, [0] * geometry.cell_count
        if fill():
            return tuple(values)


def random_board(name: str, rng: random.Random) -> tuple[Board, Values]:
    """A position in which the solution is still possible: some digits placed, some struck."""
    geometry, full = GEOMETRIES[name], solution(name, rng.randrange(40))
    share, struck = rng.uniform(0.05, 0.6), rng.uniform(0.0, 0.85)
    board = Board(geometry, tuple(v if rng.random() < share else 0 for v in full))
    board.strike(
        cell * geometry.size + d - 1
        for cell, ds in enumerate(board.candidates())
        for d in ds
        if d != full[cell] and rng.random() < struck
    )
    return board, full


def strike_out(board: Board, *written: str) -> None:
    """Strike candidates written ``r1c1 123``: cell, then the digits to take out."""
    size = board.fields.size
    for text in written:
        cell, digits = text.split()
        board.strike(parse_cell(cell, size) * size + int(d) - 1 for d in digits)


def leave_only(board: Board, *written: str) -> None:
    """Leave a cell no other candidates than these: ``r1c1 123``."""
    size = board.fields.size
    for text in written:
        cell, digits = text.split()
        at = parse_cell(cell, size)
        board.strike(at * size + d - 1 for d in range(1, size + 1) if str(d) not in digits)


def only_in(board: Board, house: str, digit: int, *cells: str) -> None:
    """Strike a digit from a house's cells, these excepted."""
    size = board.fields.size
    keep = {parse_cell(cell, size) for cell in cells}
    found = next(h for h in board.fields.geometry.houses if h.label == house)
    board.strike(cell * size + digit - 1 for cell in found.cells if cell not in keep)
