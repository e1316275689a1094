"""Simple colouring: pairs of places for one digit, joined end to end, in two colours.

Either all cells of one colour hold the digit or all of the other. So a cell that sees both colours
cannot be it; and if two cells of one colour see each other, that colour is out.
"""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.grid import Geometry
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits_plural, out_of
from packbuilder.ladder.fields import cells_in
from packbuilder.ladder.find import Find, keys_of
from packbuilder.ladder.links import pairs
from packbuilder.ladder.step import Step


def simple_colouring(board: Board) -> Iterator[Find]:
    """Every colouring of joined pairs that rules out a colour, or cells that see both."""
    fields, planes = board.fields, board.planes()
    for d, found in enumerate(pairs(board)):
        for first, second in _colourings([(pair.first, pair.second) for pair in found]):
            seen_first, seen_second = _sight(board, first), _sight(board, second)
            out = (first if first & seen_first else 0) | (second if second & seen_second else 0)
            gone = out or seen_first & seen_second
            if removes := keys_of(gone, (d,), planes, fields.size):
                one, two = cells_in(first), cells_in(second)
                yield Find((*one, *two), (d,), (), removes, ((one, d), (two, d)))


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
    size, d = geometry.size, step.digits[0]
    (one, _), (two, _) = step.nodes
    gone = {cell for cell, _ in step.removes}
    head = (
        f"The {digits_plural(d)} are linked in pairs: either {_all(one, size)} {digit(d)}, "
        f"or {_all(two, size)}. "
    )
    for colour in (one, two):
        if set(colour) <= gone:
            clash = _clash(colour, geometry)
            return f"{head}But {cells(clash, size)} see each other. {out_of(step, size)}"
    subject = "A cell that sees" if len(gone) == 1 else "Cells that see"
    return f"{head}{subject} both sides cannot be {digit(d)}. {out_of(step, size)}"


def _all(colour: tuple[int, ...], size: int) -> str:
    count = len(colour)
    return (
        f"{cells(colour, size)} {'is' if count == 1 else 'are both' if count == 2 else 'are all'}"
    )


def _clash(colour: tuple[int, ...], geometry: Geometry) -> tuple[int, int]:
    return next((a, b) for a in colour for b in colour if a < b and b in geometry.peers[a])
