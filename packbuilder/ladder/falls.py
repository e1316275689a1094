"""Falls: how early each cell can fall, for someone who sees everything at once.

In a round, all that the ladder shows in a position is written and struck together. A digit that
falls in round k rests on a chain of k conclusions, so no solve, in whatever order, comes to it with
fewer of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.board import Board
from packbuilder.ladder.rounds import strikes
from packbuilder.ladder.rungs import Ladder


def falls(geometry: Geometry, clues: Values, ladder: Ladder) -> tuple[int, ...]:
    """For each cell the round in which its digit falls: 0 for a clue.

    Cells that the ladder does not come to fall in a round after all others.
    """
    board, found, now = Board(geometry, clues), [0] * len(clues), 0
    while board.open:
        now += 1
        before = board.bits
        keys = set(_singles(board, geometry))
        gone = [key for technique in ladder.techniques for key in strikes(board, technique)]
        for key in keys:
            board.place(key)
            found[key // geometry.size] = now
        board.strike(gone)
        if board.bits == before:
            break
    return tuple(0 if clue else at or now + 1 for clue, at in zip(clues, found, strict=True))


def _singles(board: Board, geometry: Geometry) -> Iterator[int]:
    """The key of each candidate that is the last of its cell, or of its digit in a house."""
    size, candidates = geometry.size, board.candidates()
    for cell, digits in enumerate(candidates):
        if len(digits) == 1:
            yield cell * size + digits[0] - 1
    for house in geometry.houses:
        if len(house.cells) == size:
            for digit in range(1, size + 1):
                places = [cell for cell in house.cells if digit in candidates[cell]]
                if len(places) == 1:
                    yield places[0] * size + digit - 1
