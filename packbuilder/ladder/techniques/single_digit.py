"""Strings: two pairs of places for one digit, tied at one end; one of the free ends holds it.

Two lines that run the same way, tied by a line across, make a skyscraper; two that cross, tied by
a block, a two-string kite.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import AREA_KINDS
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits_plural, label, out_of
from packbuilder.ladder.find import Find, keys_of, part_by_part
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import Pair, pairs


def skyscraper(board: Board) -> Iterator[Find]:
    """Two lines of one kind, tied by a line of another."""
    return _two_strings(board, "skyscraper", alike=True)


def two_string_kite(board: Board) -> Iterator[Find]:
    """Two lines of different kinds, tied by a block, a region or a house of a third kind."""
    return _two_strings(board, "kite", alike=False)


def _two_strings(board: Board, asker: str, *, alike: bool) -> Iterator[Find]:
    fields, planes, found = board.fields, board.planes(), pairs(board)
    houses, houses_of, peers = fields.geometry.houses, fields.geometry.houses_of, fields.peer_masks
    areas = AREA_KINDS if alike else ()

    def look(d: int) -> Iterator[Find]:
        strings = [pair for pair in found[d] if pair.house in fields.lines]
        for one, other in combinations(strings, 2):
            kinds = houses[one.house].kind, houses[other.house].kind
            if (kinds[0] == kinds[1]) != alike:
                continue
            if {one.first, one.second} & {other.first, other.second}:
                continue
            for (top, foot), (other_top, other_foot) in product(_both_ways(one), _both_ways(other)):
                seen = peers[top] & peers[other_top] & planes[d]
                if not seen or not peers[foot] >> other_foot & 1:
                    continue
                for tie in houses_of[foot]:
                    kind = houses[tie].kind
                    if tie in houses_of[other_foot] and kind not in kinds and kind not in areas:
                        yield Find(
                            (top, foot, other_foot, other_top),
                            (d,),
                            (one.house, other.house, tie),
                            keys_of(seen, (d,), planes, fields.size),
                        )
                        break

    return part_by_part(board, asker, planes, look)


def _both_ways(pair: Pair) -> tuple[tuple[int, int], tuple[int, int]]:
    return (pair.first, pair.second), (pair.second, pair.first)


def tell(step: Step, geometry: Geometry) -> str:
    """The words of a skyscraper or a two-string kite."""
    size, d = geometry.size, step.digits[0]
    top, foot, other_foot, other_top = step.cells
    one, other, tie = (label(h, geometry) for h in step.houses)
    return (
        f"In {one}, the {digits_plural(d)} are held to {cells((top, foot), size)}; in {other}, to "
        f"{cells((other_foot, other_top), size)}. {cells((foot, other_foot), size)} share {tie} "
        f"and cannot both be {digit(d)}, so one of {cells((top, other_top), size)} is {digit(d)}. "
        f"{out_of(step, size)}"
    )
