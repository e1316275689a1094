"""Empty rectangle: the places of a digit in a block make a bent line, and a pair turns the corner.

In a block a digit is held to two lines that cross it. Of a pair of places elsewhere, one end lies
on the first line: either that end holds the digit, and the block's is on the second line; or the
other end does. So a cell of the second line that sees the other end cannot hold it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.bit_layout import BitLayout, cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cannot, digit, digits_plural, label, out_of
from packbuilder.ladder.find import Find, keys_of, part_by_part
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import pairs


def empty_rectangle(board: Board) -> Iterator[Find]:
    """Every digit of a block or region on two lines, with a pair in a line that meets one."""
    fields, planes, found = board.fields, board.planes(), pairs(board)
    masks, peers = fields.house_masks, fields.peer_masks

    def look(d: int) -> Iterator[Find]:
        plane = planes[d]
        for house, first, second in found[d]:
            if house not in fields.lines:
                continue
            for here, there in ((first, second), (second, first)):
                seen = plane & peers[there]
                ends = 1 << here | 1 << there
                for near, area, far in _bends(fields)[here]:
                    gone = seen & masks[far] & ~masks[area]
                    places = plane & masks[area]
                    if not gone or not places or ends & masks[area] or near == house:
                        continue
                    beside, beyond = places & ~masks[near], places & ~masks[far]
                    if beside and beyond and not beside & beyond:
                        removes = keys_of(gone, (d,), planes, fields.size)
                        cells = (*cells_in(places), here, there)
                        yield Find(cells, (d,), (area, house, near, far), removes)

    return part_by_part(board, "empty rectangle", planes, look)


@lru_cache(maxsize=64)
def _bends(fields: BitLayout) -> tuple[tuple[tuple[int, int, int], ...], ...]:
    """For each cell (near, area, far): a line of the cell, and a block or region that this line and
    another cross."""
    masks, lines = fields.house_masks, fields.lines
    return tuple(
        tuple(
            (near, area, far)
            for near in lines
            if masks[near] >> cell & 1
            for area in fields.areas
            if masks[near] & masks[area] and not masks[area] >> cell & 1
            for far in lines
            if far != near and masks[far] & masks[area]
        )
        for cell in range(fields.cell_count)
    )


def tell(step: Step, geometry: Geometry) -> str:
    """The words of an empty rectangle."""
    size, d = geometry.size, digit(step.digits[0])
    area, house, near, far = (label(h, geometry) for h in step.houses)
    here, there = (cell_name(cell, size) for cell in step.cells[-2:])
    gone = sorted({cell for cell, _ in step.removes})
    return (
        f"In {area}, the {digits_plural(step.digits[0])} are held to {near} and {far}; in {house}, "
        f"to {here} and {there}. If {here} is {d}, the {d} of {area} is in {far}; if not, {there} "
        f"is {d}. Either way {cannot(gone, f' {d}', size)}. {out_of(step, size)}"
    )
