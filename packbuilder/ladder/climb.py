"""Climb: play a board easiest idea first, and note every move: the engine of the path.

The lowest rung that offers anything is taken, always; on it the techniques come in the ladder's
order, promised ones first, then the lightest. Which of a technique's finds is taken follows the
eye: stay in the block, or with the digit, that the last move touched; else look nearby, in the same
band or stack; else start again from the top left. Long arguments are taken shortest first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

from packbuilder.ladder.board import Board, alone
from packbuilder.ladder.find import Find
from packbuilder.ladder.rungs import Ladder, Sight, Technique


class Move(NamedTuple):
    """A placement (``key``, seen in ``house`` or -1) or, with ``find`` set, a strike."""

    technique: Technique
    key: int
    house: int
    find: Find | None


def climb(board: Board, ladder: Ladder) -> list[Move]:
    """Play the board as far as the ladder goes, and give the moves. The board is changed."""
    stay_of, near_of = board.fields.stay, board.fields.near
    stay = near = 0
    moves: list[Move] = []
    taken: set[Technique] = set()
    order = ladder.order
    while board.open:
        move = next(filter(None, (_move(board, t, stay, near) for t in order)), None)
        if move is None:
            break
        if move.technique.slug in ladder.first:
            taken.add(move.technique)
            order = ladder.order_after(taken)
        if move.find:
            board.strike(move.find.removes)
            touched: Iterable[int] = move.find.removes
        else:
            board.place(move.key)
            touched = (move.key,)
        stay, near = _union_of(stay_of, touched), _union_of(near_of, touched)
        moves.append(move)
    return moves


def openings(board: Board, ladder: Ladder) -> Iterator[Move]:
    """Every move open on the lowest rung that offers any; once where several do the same."""
    for _, techniques in groupby(ladder.order, key=lambda t: t.rung):
        seen: set[object] = set()
        for technique in techniques:
            for move in _moves(board, technique):
                does = frozenset(move.find.removes) if move.find else move.key
                if does not in seen:
                    seen.add(does)
                    yield move
        if seen:
            return


def singles(board: Board, sight: Sight) -> int:
    """The field bits of every single that is seen so."""
    fields = board.fields
    if sight is Sight.LAST_CELL:
        return board.bits & board.last_cells
    reach = fields.cell_reach
    if sight is not Sight.CELL:
        reach = fields.area_reach if sight is Sight.AREA else fields.line_reach
    return alone(board.bits, reach, fields.size)


def _moves(board: Board, technique: Technique) -> Iterator[Move]:
    """Every move of a technique."""
    pool = singles(board, technique.sight) if technique.sight else 0
    while pool:
        low = pool & -pool
        pool ^= low
        yield _placement(board, technique, low)
    for find in technique.find(board) if technique.find else ():
        yield Move(technique, -1, -1, find)


def _move(board: Board, technique: Technique, stay: int, near: int) -> Move | None:
    """The move of a technique that the eye falls on first."""
    if technique.sight:
        pool = singles(board, technique.sight)
        pool = pool & stay or pool & near or pool
        return _placement(board, technique, pool & -pool) if pool else None
    best, least = None, (0, 3)
    spots, size = board.fields.spots, board.fields.size
    for find in technique.find(board) if technique.find else ():
        rests_on = 0
        for cell in find.cells:
            for d in find.digits:
                rests_on |= spots[cell * size + d - 1]
        rank = find.length, 0 if rests_on & stay else 1 if rests_on & near else 2
        if best is None or rank < least:
            best, least = Move(technique, -1, -1, find), rank
    return best


def _placement(board: Board, technique: Technique, spot: int) -> Move:
    """The move behind a field bit."""
    bit = spot.bit_length() - 1
    return Move(technique, board.fields.key_at[bit], board.fields.house_at(bit), None)


def _union_of(masks: dict[int, int], keys: Iterable[int]) -> int:
    whole = 0
    for key in keys:
        whole |= masks[key]
    return whole
