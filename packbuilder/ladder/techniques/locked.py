"""Locked digits: a digit of one house is held to the meet with another, and leaves its rest.

From a block or a region it is called pointing; from a row, a column or any other line, claiming.
"""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import Reach, Slot, cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import digit, digits_plural, label, out_of
from packbuilder.ladder.find import Find, keys_of
from packbuilder.ladder.step import Step


def pointing(board: Board) -> Iterator[Find]:
    """Every digit of a block or region that is held to another house and clears cells there."""
    return _held(board, board.fields.area_reach, board.fields.area_slots)


def claiming(board: Board) -> Iterator[Find]:
    """Every digit of a line that is held to another house and clears cells there."""
    return _held(board, board.fields.line_reach, board.fields.line_slots)


def _held(board: Board, reach: Reach, slots: tuple[Slot, ...]) -> Iterator[Find]:
    fields, planes = board.fields, board.planes()
    bits = board.bits & reach.bits
    filled = (bits + reach.bits) & reach.guards
    for slot in slots:
        loose = ((bits & slot.apart) + reach.bits) & reach.guards
        # A digit that is held stays held, and what it clears stays clear: look at each only once
        # after it has nothing left to clear.
        spent = board.memo.get(slot, 0)
        held = filled & (reach.guards ^ loose ^ spent)
        while held:
            guard = held & -held
            held ^= guard
            bit = guard.bit_length() - 1 - fields.size
            house, d = fields.house_at(bit), fields.digit_at(bit)
            partner = slot.partner[house]
            here = planes[d] & fields.house_masks[house]
            gone = fields.house_masks[partner] & ~fields.house_masks[house]
            if planes[d] & gone:
                removes = keys_of(gone, (d,), planes, fields.size)
                yield Find(cells_in(here), (d,), (house, partner), removes)
            else:
                spent |= guard
        board.memo[slot] = spent


def tell(step: Step, geometry: Geometry) -> str:
    """The words of a pointing or a claiming."""
    house, partner = (label(h, geometry) for h in step.houses)
    d = step.digits[0]
    return (
        f"In {house}, the {digits_plural(d)} are held to {partner}, so no other cell of {partner} "
        f"can be {digit(d)}. {out_of(step, geometry.size)}"
    )
