"""Forcing: one of several candidates is true, and each of them leads to the same.

The candidates are the digits of a cell, or the places of a digit in a house, three or more. From
each a chain runs along a `web`: what is true rules out a node, and the node tied to that is true.
What is false at the end of every chain is false. Told are the finds whose longest chain has the
fewest links, and of them those with the fewest in all.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import count
from typing import NamedTuple

from packbuilder.grid import cell_name
from packbuilder.ladder.bit_layout import BitLayout, cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits, label, takes_out
from packbuilder.ladder.find import Find, keys_in
from packbuilder.ladder.techniques.chains import link_told
from packbuilder.ladder.techniques.web import Node, node_of, seen_in, tied_in, whole_web


class _Choice(NamedTuple):
    """Candidates (bit numbers in the planes laid end to end) of which one is true.

    They are those of a cell, or of the house; the other is -1.
    """

    candidates: tuple[int, ...]
    cell: int
    house: int


def forcing_cell(board: Board) -> Iterator[Find]:
    """Every cell of three digits or more that forces something, by the shortest chains."""
    return _finds(board, _cells(board))


def forcing_house(board: Board) -> Iterator[Find]:
    """Every house with three places or more for a digit that forces something, likewise."""
    return _finds(board, _houses(board))


def strikes_of_cells(board: Board) -> int:
    """All that the shortest chains from cells strike: bits of the planes laid end to end."""
    return _strikes(board, _cells(board))


def strikes_of_houses(board: Board) -> int:
    """All that the shortest chains from houses strike."""
    return _strikes(board, _houses(board))


class _Flood:
    """How far the chains from every candidate reach.

    ``starts[bit]`` are what a candidate rules out, and the nodes of the web that it leads to.
    """

    def __init__(self, board: Board) -> None:
        web = self.web = board.once(whole_web)
        fields = self.fields = board.fields
        self.planes = board.planes()
        present = board.bits >> fields.planes_at
        self.starts: dict[int, tuple[int, tuple[int, ...]]] = {}
        known = {bits: k for k, bits in enumerate(web.own)}
        for bit in cells_in(present):
            k = known.get(1 << bit)
            if k is not None:
                self.starts[bit] = web.sees[k], web.leads[k]
            else:
                sees = fields.sight[1 << bit] & present
                self.starts[bit] = sees, web.led_to(sees)

    def false(self, bit: int, n: int) -> int:
        """What at most n links from a candidate rule out."""
        gone, nodes = self.starts[bit]
        for node in nodes if n else ():
            gone |= self.web.reach[n - 1][node]
        return gone

    def forced(self, choices: list[_Choice]) -> list[tuple[_Choice, int]]:
        """The choices that rule something out by the shortest chains, and what: bits of planes."""
        n = 0
        while True:
            false = {bit: self.false(bit, n) for bit in self.starts}
            found = []
            for choice in choices:
                gone = -1
                for bit in choice.candidates:
                    gone &= false[bit]
                if gone:
                    found.append((choice, gone))
            if found or (n == len(self.web.reach) and not self.web.spread()):
                return found
            n += 1

    def links(self, start: int, end: int) -> int:
        """How many links it takes from one candidate to rule out another."""
        return next(n for n in count() if self.false(start, n) >> end & 1)

    def route(self, start: int, end: int) -> list[Node]:
        """The nodes between one candidate and another that it rules out, in turn false and true."""
        web, route = self.web, list[int]()
        sees, nodes = self.starts[start]
        for n in range(self.links(start, end) - 1, -1, -1):
            true = next(k for k in nodes if web.reach[n][k] >> end & 1)
            false = next(k for k in web.tied[true] if not web.own[k] & ~sees)
            route += [false, true]
            sees, nodes = web.sees[true], web.leads[true]
        return [node_of(web.own[k], self.fields) for k in route]


def _cells(board: Board) -> list[_Choice]:
    count = board.fields.cell_count
    found = ((cell, cells_in(board.digits_of(cell))) for cell in cells_in(board.open))
    return [
        _Choice(tuple(d * count + cell for d in ds), cell, -1) for cell, ds in found if len(ds) > 2
    ]


def _houses(board: Board) -> list[_Choice]:
    fields, count = board.fields, board.fields.cell_count
    choices = []
    for h in fields.fielded:
        for d, plane in enumerate(board.planes()):
            places = plane & fields.house_masks[h]
            if places.bit_count() > 2:
                bits = tuple((d - 1) * count + cell for cell in cells_in(places))
                choices.append(_Choice(bits, -1, h))
    return choices


def _strikes(board: Board, choices: list[_Choice]) -> int:
    gone = 0
    for _, out in board.once(_Flood).forced(choices):
        gone |= out
    return gone


def _finds(board: Board, choices: list[_Choice]) -> Iterator[Find]:
    flood = board.once(_Flood)
    found = [
        (sum(flood.links(bit, end) for bit in choice.candidates), choice, end)
        for choice, gone in flood.forced(choices)
        for end in cells_in(gone)
    ]
    least = min((length for length, _, _ in found), default=0)
    for length, choice, end in found:
        if length == least:
            routes = [(bit, flood.route(bit, end)) for bit in choice.candidates]
            yield _find(board, choice, end, routes, length)


def _find(
    board: Board, choice: _Choice, end: int, routes: list[tuple[int, list[Node]]], length: int
) -> Find:
    count = board.fields.cell_count
    starts = [bit % count for bit, _ in routes]
    along = [cell for _, route in routes for node in route for cell in cells_in(node.mask)]
    ds = [bit // count + 1 for bit, _ in routes]
    ds += [node.digit for _, route in routes for node in route]
    return Find(
        tuple(dict.fromkeys((*starts, *along))),
        tuple(dict.fromkeys(ds)),
        (choice.house,) if choice.house >= 0 else (),
        keys_in(1 << end, board.fields),
        told=partial(_told, board.fields, board.planes(), choice, end, routes),
        length=length,
    )


def _told(
    fields: BitLayout,
    planes: list[int],
    choice: _Choice,
    end: int,
    routes: list[tuple[int, list[Node]]],
) -> str:
    """The words of a forcing: the choice, and for each candidate what follows from it."""
    geometry, count, size = fields.geometry, fields.cell_count, fields.size
    d, cell = end // count + 1, end % count
    gone = f"{cell_name(cell, size)} is not {digit(d)}"
    ways = []
    for bit, route in routes:
        here = Node(1 << bit % count, bit // count + 1)
        links = []
        for false, true in zip(route[::2], route[1::2], strict=True):
            seen, tied = seen_in(here, false, fields), tied_in(false, true, fields, planes)
            links.append(link_told(_said(false), _said(true), seen, tied, geometry))
            here = true
        it = digit(bit // count + 1) if choice.house < 0 else f"in {cell_name(bit % count, size)}"
        ways.append(f"If it is {it}, {'; so '.join([*links, gone])}.")
    if choice.house < 0:
        which = digits((bit // count + 1 for bit in choice.candidates), "or")
        head = f"{cell_name(choice.cell, size)} is {which}."
    else:
        where = cells((bit % count for bit in choice.candidates), size, "or")
        one = digit(choice.candidates[0] // count + 1)
        head = f"In {label(choice.house, geometry)}, the {one} is in {where}."
    return f"{head} {' '.join(ways)} {takes_out([(cell, d)], size)}"


def _said(node: Node) -> tuple[tuple[int, ...], int]:
    return cells_in(node.mask), node.digit
