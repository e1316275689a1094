"""Strings: two pairs of places for one digit, tied at one end; one of the free ends holds it.

Two lines that run the same way, tied by a line across, make a skyscraper; two that cross, tied by
a block, a two-string kite.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

from packbuilder.grid import Geometry
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits_plural, label, out_of
from packbuilder.ladder.find import Find, keys_of
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import Pair, pairs


def skyscraper(board: Board) -> Iterator[Find]:
    """Two lines of one kind, tied by a line of another."""

    def tied(first: str, second: str, tie: str) -> bool:
        return first == second != tie and tie not in ("block", "region")

    return _two_strings(board, tied)


def two_string_kite(board: Board) -> Iterator[Find]:
    """Two lines of different kinds, tied by a block, a region or a house of a third kind."""

    def tied(first: str, second: str, tie: str) -> bool:
        return first != second and tie not in (first, second)

    return _two_strings(board, tied)


def _two_strings(board: Board, tied: Callable[[str, str, str], bool]) -> Iterator[Find]:
    """``tied`` says of the kinds of two lines and of a house whether the house may tie them."""
    fields, planes = board.fields, board.planes()
    houses, houses_of = fields.geometry.houses, fields.geometry.houses_of
    for d, found in enumerate(pairs(board)):
        strings = [pair for pair in found if pair.house in fields.lines]
        for one, other in combinations(strings, 2):
            if {one.first, one.second} & {other.first, other.second}:
                continue
            kinds = houses[one.house].kind, houses[other.house].kind
            for top, foot in _both_ways(one):
                for other_top, other_foot in _both_ways(other):
                    seen = fields.peer_masks[top] & fields.peer_masks[other_top] & planes[d]
                    if not seen:
                        continue
                    tie = next(
                        (
                            h
                            for h in houses_of[foot]
                            if h in houses_of[other_foot] and tied(*kinds, houses[h].kind)
                        ),
                        -1,
                    )
                    if tie >= 0:
                        yield Find(
                            (top, foot, other_foot, other_top),
                            (d,),
                            (one.house, other.house, tie),
                            keys_of(seen, (d,), planes, fields.size),
                        )


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
        f"and cannot both be {digit(d)}, so {cells((top, other_top), size, 'or')} is. "
        f"{out_of(step, size)}"
    )
