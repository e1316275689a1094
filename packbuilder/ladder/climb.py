"""Climb: play a board easiest idea first, and note every move. The one engine behind all answers.

The lowest rung that offers anything is taken, always. Within the rung the order follows the eye:
stay in the block, or with the digit, that the last move touched; else look nearby, in the same
band or stack; else start again from the top left.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from packbuilder.ladder.bit_layout import BitLayout, Reach
from packbuilder.ladder.board import Board, alone
from packbuilder.ladder.find import Find
from packbuilder.ladder.rungs import Ladder, Sight, Technique


class Move(NamedTuple):
    """A placement (``key``, seen in ``house`` or -1) or, with ``find`` set, a strike."""

    technique: Technique
    key: int
    house: int
    find: Find | None


@dataclass(frozen=True)
class _Rung:
    """One rung made ready for one geometry: which fields show its singles, and its finders."""

    reach: Reach
    last_cell: Technique | None
    area: Technique | None
    line: Technique | None
    cell: Technique | None
    strikes: tuple[Technique, ...]


def climb(board: Board, ladder: Ladder) -> list[Move]:
    """Play the board as far as the ladder goes, and give the moves. The board is changed."""
    fields = board.fields
    rungs = _made_ready(ladder, fields)
    stay_of, near_of = fields.stay, fields.near
    stay = near = 0
    moves: list[Move] = []
    while board.open:
        for rung in rungs:
            if pool := _singles(board, rung):
                pool = pool & stay or pool & near or pool
                move = _placement(board, rung, (pool & -pool).bit_length() - 1)
                board.place(move.key)
                stay, near = stay_of[move.key], near_of[move.key]
                break
            if rung.strikes and (found := _strike(board, rung, stay, near)):
                move = found
                removes = found.find.removes if found.find else ()
                board.strike(removes)
                stay, near = _union_of(stay_of, removes), _union_of(near_of, removes)
                break
        else:
            break
        moves.append(move)
    return moves


def openings(board: Board, ladder: Ladder) -> Iterator[Move]:
    """Every move open on the lowest rung that offers any; once where several do the same."""
    for rung in _made_ready(ladder, board.fields):
        seen: set[object] = set()
        pool = _singles(board, rung)
        while pool:
            low = pool & -pool
            pool ^= low
            move = _placement(board, rung, low.bit_length() - 1)
            if move.key not in seen:
                seen.add(move.key)
                yield move
        for technique in rung.strikes:
            for find in technique.find(board) if technique.find else ():
                if (gone := frozenset(find.removes)) not in seen:
                    seen.add(gone)
                    yield Move(technique, -1, -1, find)
        if seen:
            return


def _singles(board: Board, rung: _Rung) -> int:
    """The field bits of every single that this rung shows."""
    pool = alone(board.bits, rung.reach, board.fields.size) if rung.reach.bits else 0
    if rung.last_cell and board.last_cells:
        pool |= board.bits & board.last_cells
    return pool


def _placement(board: Board, rung: _Rung, bit: int) -> Move:
    """The move behind a field bit, under the easiest name that this rung has for it."""
    fields = board.fields
    key, house = fields.key_at[bit], fields.house_at(bit)
    if rung.last_cell and board.bits & board.last_cells & fields.spots[key]:
        if house < 0 or board.left[house] != 1:
            houses = fields.geometry.houses_of[key // fields.size]
            house = next(h for h in houses if board.left[h] == 1 and h in fields.house_bits)
        return Move(rung.last_cell, key, house, None)
    technique = rung.cell if house < 0 else rung.area if bit < fields.lines_at else rung.line
    assert technique is not None
    return Move(technique, key, house, None)


def _strike(board: Board, rung: _Rung, stay: int, near: int) -> Move | None:
    """The strike that the eye falls on first: by nearness, then the lighter, then as found."""
    best: Move | None = None
    best_rank: tuple[int, float] = (3, 0.0)
    spots, size = board.fields.spots, board.fields.size
    for technique in rung.strikes:
        for find in technique.find(board) if technique.find else ():
            rests_on = 0
            for cell in find.cells:
                for d in find.digits:
                    rests_on |= spots[cell * size + d - 1]
            distance = 0 if rests_on & stay else 1 if rests_on & near else 2
            if (rank := (distance, technique.weight)) < best_rank:
                best, best_rank = Move(technique, -1, -1, find), rank
    return best


def _union_of(masks: dict[int, int], keys: Iterable[int]) -> int:
    whole = 0
    for key in keys:
        whole |= masks[key]
    return whole


@lru_cache(maxsize=256)
def _made_ready(ladder: Ladder, fields: BitLayout) -> tuple[_Rung, ...]:
    return tuple(_rung(techniques, fields) for _, techniques in ladder.rungs)


def _rung(techniques: tuple[Technique, ...], fields: BitLayout) -> _Rung:
    by_sight = {t.sight: t for t in techniques if t.sight}
    reaches = {
        Sight.AREA: fields.area_reach,
        Sight.LINE: fields.line_reach,
        Sight.CELL: fields.cell_reach,
    }
    seen = [reach for sight, reach in reaches.items() if sight in by_sight]
    return _Rung(
        Reach(
            sum(reach.bits for reach in seen),
            sum(reach.guards for reach in seen),
            sum(reach.lows for reach in seen),
        ),
        last_cell=by_sight.get(Sight.LAST_CELL),
        area=by_sight.get(Sight.AREA),
        line=by_sight.get(Sight.LINE),
        cell=by_sight.get(Sight.CELL),
        strikes=tuple(t for t in techniques if t.find),
    )
