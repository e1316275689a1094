"""What held marks rule out, worked out mark by mark for those who tell a solve.

The compiled search does the same for thousands of marks; here it is done once a step, in ints
whose bits are candidates (``cell * size + digit - 1``), and with the reasons at hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import alone
from packbuilder.ladder.head.position import Mark, Play


def lines_of(play: Play, mark: Mark) -> list[list[int]]:
    """What must hold where a mark is held: lists of candidates, one of each list is true."""
    size, bits, spots = play.scene.fields.size, play.bits, play.scene.fields.spots
    if len(mark.cells) == 1 or len(mark.digits) == 1:
        return [[cell * size + d - 1 for cell in mark.cells for d in mark.digits]]
    ways = [
        (cell, d) for cell in mark.cells for d in mark.digits if bits & spots[cell * size + d - 1]
    ]
    lines = [[way for way in ways if way[0] == cell] for cell in mark.cells]
    lines += [[way for way in ways if way[1] == d] for d in mark.digits]
    return [[cell * size + d - 1 for cell, d in line] for line in lines]


def open_keys(play: Play) -> list[int]:
    """The candidates that placed digits leave."""
    spots = play.scene.fields.spots
    return [key for key, mask in enumerate(spots) if play.bits & mask]


def ruled_out(play: Play, marks: Sequence[Mark]) -> list[int]:
    """The candidates that these marks, held together, rule out."""
    if not marks:
        return []
    lines = [line for mark in marks for line in lines_of(play, mark)]
    ways = sorted({key for line in lines for key in line})
    every = open_keys(play)
    base, reach = _mask(every), play.scene.reach
    closed = {key: reach[key] & base for key in ways}
    written = dict.fromkeys(ways, 0)
    moved = True
    while moved:
        moved = False
        for line in lines:
            for key in line:
                now = base
                for other in line:
                    if other != key:
                        now &= closed[other]
                if now & ~written[key]:
                    written[key] |= now
                    for other in ways:
                        if reach[key] >> other & 1 and written[key] & ~closed[other]:
                            closed[other] |= written[key]
                            moved = True
    out = 0
    for line in lines:
        gone = base
        for key in line:
            gone &= closed[key]
        out |= gone
    return list(cells_in(out))


def _mask(keys: Sequence[int]) -> int:
    mask = 0
    for key in keys:
        mask |= 1 << key
    return mask


def seen_with(play: Play, marks: Sequence[Mark]) -> int:
    """What is seen with marks held, as bits of the layout."""
    bits, spots = play.bits, play.scene.fields.spots
    for key in ruled_out(play, marks):
        bits &= ~spots[key]
    return bits


def shows(play: Play, key: int, marks: Sequence[Mark]) -> bool:
    """Is this placement seen with these marks held?"""
    fields = play.scene.fields
    pool = alone(seen_with(play, marks), fields.whole_reach, fields.size)
    return bool(pool & fields.spots[key])


def fewest(play: Play, key: int, marks: Sequence[Mark]) -> tuple[Mark, ...]:
    """As few of the marks as show the placement."""
    for count in range(len(marks) + 1):
        for some in combinations(marks, count):
            if shows(play, key, some):
                return some
    return tuple(marks)


def is_found(play: Play, mark: Mark, held: Sequence[Mark]) -> bool:
    """Can a mark be found with others in mind?"""
    fields = play.scene.fields
    bits = seen_with(play, held)
    cells = _mask(mark.cells)
    here = {cell: _digits(play, bits, cell) for cell in range(fields.cell_count)}
    wanted = _mask([d - 1 for d in mark.digits])
    if len(mark.cells) == 1:
        return here[mark.cells[0]] == wanted
    houses = [h for h, mask in enumerate(fields.house_masks) if not cells & ~mask]
    full = [h for h in houses if h in fields.house_bits]
    union = 0
    for cell in mark.cells:
        union |= here[cell]
    if len(mark.digits) > 1 and union == wanted and houses:
        return all(here[cell] for cell in mark.cells)
    for h in full:
        places = 0
        for cell in fields.geometry.houses[h].cells:
            if here[cell] & wanted:
                places |= 1 << cell
        if places == cells and all(
            any(here[cell] >> d - 1 & 1 for cell in mark.cells) for d in mark.digits
        ):
            return True
    return False


def _digits(play: Play, bits: int, cell: int) -> int:
    fields = play.scene.fields
    return bits >> fields.cells_at + cell * fields.width & (1 << fields.size) - 1
