"""Links: a digit with two places in a house, a cell with two digits. Wings and chains use them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.techniques.subsets import at_most


class Pair(NamedTuple):
    """A house in which a digit has exactly two places: one of them holds it."""

    house: int
    first: int
    second: int


def pairs(board: Board) -> list[list[Pair]]:
    """For each digit (entry 0 is empty), its pairs, house by house. Shared: read only."""
    return board.once(_pairs)


def digits_left(board: Board, n: int) -> dict[int, int]:
    """The cells with exactly n candidates, each with their mask (bit d-1 for digit d)."""
    planes = board.planes()
    exactly = at_most(planes, n) & ~at_most(planes, n - 1) if n > 1 else at_most(planes, 1)
    return {cell: board.digits_of(cell) for cell in cells_in(exactly)}


def twins(board: Board) -> dict[int, int]:
    """The cells with two candidates, each with their mask. Shared: read only."""
    return board.once(_twins)


def seen_by_all(board: Board, cells: Iterable[int]) -> int:
    """The mask of the cells that see every one of these."""
    seen = board.fields.all_cells
    for cell in cells:
        seen &= board.fields.peer_masks[cell]
    return seen


def _twins(board: Board) -> dict[int, int]:
    return digits_left(board, 2)


def _pairs(board: Board) -> list[list[Pair]]:
    fields = board.fields
    found: list[list[Pair]] = [[] for _ in range(fields.size + 1)]
    for d, plane in enumerate(board.planes()):
        for h in fields.fielded:
            here = plane & fields.house_masks[h]
            if here.bit_count() == 2:
                first = (here & -here).bit_length() - 1
                found[d].append(Pair(h, first, here.bit_length() - 1))
    return found
