"""Simple colouring: pairs of places for one digit, joined end to end, in two colours.

Either all cells of one colour hold the digit or all of the other. So a cell that sees both colours
cannot be it; and if two cells of one colour see each other, that colour is out.
"""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import (
    by_kind,
    cells,
    digit,
    digits_plural,
    joined,
    label,
    out_of,
)
from packbuilder.ladder.find import Find, keys_of, part_by_part
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import Pair, pairs


def simple_colouring(board: Board) -> Iterator[Find]:
    """Every colouring of joined pairs that rules out a colour, or cells that see both."""
    fields, planes, found = board.fields, board.planes(), pairs(board)

    def look(d: int) -> Iterator[Find]:
        for first, second in _colourings([(pair.first, pair.second) for pair in found[d]]):
            seen_first, seen_second = _sight(board, first), _sight(board, second)
            out = (first if first & seen_first else 0) | (second if second & seen_second else 0)
            gone = out or seen_first & seen_second
            if removes := keys_of(gone, (d,), planes, fields.size):
                one, two = cells_in(first), cells_in(second)
                ties = _ties(found[d], first | second)
                yield Find((*one, *two), (d,), (), removes, ((one, d), (two, d)), ties)

    return part_by_part(board, "colouring", planes, look)


def _ties(found: list[Pair], places: int) -> tuple[int, ...]:
    """The houses whose pairs join these places, no more of them than are needed."""
    houses: list[int] = []
    parts: list[int] = []
    for house, a, b in found:
        pair = 1 << a | 1 << b
        if pair & places and not any(pair & ~part == 0 for part in parts):
            houses.append(house)
            touched = [part for part in parts if part & pair]
            parts = [part for part in parts if not part & pair]
            for part in touched:
                pair |= part
            parts.append(pair)
    return tuple(sorted(houses))


def _colourings(edges: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """The two colours, as cell masks, of each part that the edges join; the lowest cell's first."""
    ties: dict[int, int] = {}
    for a, b in edges:
        ties[a] = ties.get(a, 0) | 1 << b
        ties[b] = ties.get(b, 0) | 1 << a
    done = 0
    for start in sorted(ties):
        if done >> start & 1:
            continue
        colours, fresh, turn = [1 << start, 0], 1 << start, 1
        while fresh:
            reached = 0
            for cell in cells_in(fresh):
                reached |= ties[cell]
            fresh = reached & ~colours[turn]
            colours[turn] |= reached
            turn = 1 - turn
        done |= colours[0] | colours[1]
        yield colours[0], colours[1]


def _sight(board: Board, colour: int) -> int:
    seen = 0
    for cell in cells_in(colour):
        seen |= board.fields.peer_masks[cell]
    return seen


def tell(step: Step, geometry: Geometry) -> str:
    """The words of a simple colouring."""
    size, d = geometry.size, digit(step.digits[0])
    (one, _), (two, _) = step.nodes
    gone = sorted({cell for cell, _ in step.removes})
    head = (
        f"In {by_kind(step.ties, geometry)}, the {digits_plural(step.digits[0])} have only two "
        f"places{' each' * (len(step.ties) > 1)}; so either {_all(one, size, d)}, or "
        f"{_all(two, size, '')}. "
    )
    for colour, other in ((one, two), (two, one)):
        if set(colour) <= set(gone):
            a, b, house = clash(colour, geometry)
            it = f"the {d} is" if len(other) == 1 else f"the {digits_plural(step.digits[0])} are"
            return (
                f"{head}But {cells((a, b), size)} share {label(house, geometry)} and cannot both "
                f"be {d}; so {it} in {cells(other, size)}. {out_of(step, size)}"
            )
    sights = [
        f"{cells([cell], size)} sees {cells(seen_colours(cell, (one, two), geometry), size)}"
        for cell in gone
    ]
    none = {1: "it cannot", 2: "neither can"}.get(len(gone), "none of them can")
    return f"{head}{joined(sights)}, so {none} be {d}. {out_of(step, size)}"


def _all(colour: tuple[int, ...], size: int, d: str) -> str:
    """``r1c1 and r2c3 both are 5``, or without the digit, where it is said already."""
    are = {1: "is", 2: "both are"}.get(len(colour), "all are")
    return f"{cells(colour, size)} {are} {d}".rstrip()


def seen_colours(cell: int, colours: tuple[tuple[int, ...], ...], geometry: Geometry) -> list[int]:
    """A cell of each colour that this cell sees."""
    return [next(c for c in colour if c in geometry.peers[cell]) for colour in colours]


def clash(colour: tuple[int, ...], geometry: Geometry) -> tuple[int, int, int]:
    """Two cells of one colour that see each other, and a house of both."""
    return next(
        (a, b, h)
        for a in colour
        for b in colour
        if a < b
        for h in geometry.houses_of[a]
        if h in geometry.houses_of[b]
    )
