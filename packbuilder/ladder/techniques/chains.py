"""Chains: if this is false, that is true, and so on to an end; the first or the last is true.

The links are *nodes*: a candidate, or a group, some places of one digit in a house that share a
second house and stand for "one of these". Two nodes that are all the places of a digit in a house,
or all the digits of a cell, are tied: if one is false, the other is true. A node that is true rules
out all that it sees. What both ends of a chain rule out is false. The shortest chains are told.

An XY-chain runs through cells of two digits, and the same digit stands at both ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits, label, listed, out_of
from packbuilder.ladder.find import Find
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import seen_by_all, twins


class Node(NamedTuple):
    """One of these cells holds the digit: a candidate if it is one cell, else a group."""

    mask: int
    digit: int


Told = tuple[tuple[int, ...], int]
"""A node as a step keeps it: its cells and its digit."""


@dataclass(frozen=True)
class _Web:
    """Nodes by number and what ties them; a mask of nodes has bit k for node k.

    Candidates are bits of the planes laid end to end: ``own[k]`` are those of node k, ``sees[k]``
    those that it rules out when it is true. ``tied[k]`` are the nodes that are true when k is
    false; ``leads[k]`` those that are true when k is, by way of one node that k rules out.
    """

    nodes: tuple[Node, ...]
    own: list[int]
    sees: list[int]
    tied: list[int]
    leads: list[int]


def chain(board: Board) -> Iterator[Find]:
    """The shortest alternating chains, groups included."""
    return _shortest(board, _whole_web(board))


def xy_chain(board: Board) -> Iterator[Find]:
    """The shortest chains through cells of two digits, with one digit at both ends."""
    return _shortest(board, _cell_web(board))


def _shortest(board: Board, web: _Web) -> Iterator[Find]:
    """The finds of the fewest links, from all nodes outwards at once, a tie at a time.

    A chain can be read from both ends and is told from one. It may end where it began: that node is
    true, for were it false, it would be true. (XY-chains never come to that: leaving out the first
    cell makes a shorter one.)
    """
    reached, fresh = list(web.tied), list(web.tied)
    told: set[int] = set()
    while any(fresh) and not told:
        for start, ends in enumerate(fresh):
            for offset in cells_in(ends >> start):
                gone = web.sees[start] & web.sees[start + offset]
                if gone and gone not in told:
                    told.add(gone)
                    yield _find(board, web, start, start + offset, gone)
        for start, ends in enumerate(fresh):
            further = _led(web, ends)
            fresh[start] = further & ~reached[start]
            reached[start] |= further


def _find(board: Board, web: _Web, start: int, end: int, gone: int) -> Find:
    count, size = board.fields.cell_count, board.fields.size
    route = _route(web, start, end)
    nodes = tuple((cells_in(node.mask), node.digit) for node in route)
    return Find(
        tuple(dict.fromkeys(cell for group, _ in nodes for cell in group)),
        tuple(dict.fromkeys(d for _, d in nodes)),
        (),
        tuple(sorted(bit % count * size + bit // count for bit in cells_in(gone))),
        nodes,
        tuple(
            _tied_in(board, one, other) if k % 2 == 0 else _seen_in(board, one, other)
            for k, (one, other) in enumerate(pairwise(route))
        ),
    )


def _tied_in(board: Board, one: Node, other: Node) -> int:
    """The house in which two nodes are all the places of their digit; -1 in a cell."""
    if one.digit != other.digit:
        return -1
    fields, plane, both = board.fields, board.planes()[one.digit], one.mask | other.mask
    return next(h for h in fields.fielded if plane & fields.house_masks[h] == both)


def _seen_in(board: Board, one: Node, other: Node) -> int:
    """A house of both nodes; -1 in a cell, or where several houses are needed."""
    if one.digit != other.digit:
        return -1
    both = one.mask | other.mask
    return next((h for h, house in enumerate(board.fields.house_masks) if not both & ~house), -1)


def _route(web: _Web, start: int, end: int) -> list[Node]:
    """The nodes of a shortest chain, in turn false and true."""
    levels = [web.tied[start]]
    while not levels[-1] >> end & 1:
        levels.append(_led(web, levels[-1]))
    trues = [end]
    for level in reversed(levels[:-1]):
        trues.append(next(k for k in cells_in(level) if web.leads[k] >> trues[-1] & 1))
    trues.reverse()
    route = [start, trues[0]]
    for here, there in pairwise(trues):
        between = (k for k in cells_in(web.tied[there]) if not web.own[k] & ~web.sees[here])
        route += [next(between), there]
    return [web.nodes[k] for k in route]


def _led(web: _Web, nodes: int) -> int:
    further = 0
    for node in cells_in(nodes):
        further |= web.leads[node]
    return further


def _whole_web(board: Board) -> _Web:
    """Ties in every cell of two digits and in every house that holds every digit."""
    fields = board.fields
    ties = _ties_in_cells(board)
    for d, plane in enumerate(board.planes()):
        for h in fields.fielded:
            places = plane & fields.house_masks[h]
            if places.bit_count() < 2:
                continue
            parts = {1 << cell for cell in cells_in(places)}
            parts.update(places & meet for meet in fields.meets_of[h] if places & meet)
            for part in sorted(parts):
                if part < places ^ part and places ^ part in parts:
                    ties[Node(part, d), Node(places ^ part, d)] = None
    return _web(board, list(ties), within_cells=True)


def _cell_web(board: Board) -> _Web:
    """Ties in cells of two digits alone; a digit rules out only its like."""
    return _web(board, list(_ties_in_cells(board)), within_cells=False)


def _ties_in_cells(board: Board) -> dict[tuple[Node, Node], None]:
    ties: dict[tuple[Node, Node], None] = {}
    for cell, mask in twins(board).items():
        one, other = (d + 1 for d in cells_in(mask))
        ties[Node(1 << cell, one), Node(1 << cell, other)] = None
    return ties


def _web(board: Board, ties: list[tuple[Node, Node]], *, within_cells: bool) -> _Web:
    """``within_cells``: a candidate that is true rules out the others of its cell as well."""
    fields = board.fields
    count, size = fields.cell_count, fields.size
    present = board.bits >> fields.planes_at
    column = sum(1 << d * count for d in range(size))
    nodes = tuple(sorted({node for tie in ties for node in tie}, key=lambda n: (n.digit, n.mask)))
    number = {node: k for k, node in enumerate(nodes)}
    own, sees, tied = [], [], [0] * len(nodes)
    for mask, d in nodes:
        shift = (d - 1) * count
        seen = seen_by_all(board, cells_in(mask)) << shift
        if within_cells and mask.bit_count() == 1:
            seen |= mask * column & ~(mask << shift)
        own.append(mask << shift)
        sees.append(seen & present)
    for a, b in ties:
        tied[number[a]] |= 1 << number[b]
        tied[number[b]] |= 1 << number[a]
    singles = {bits: k for k, bits in enumerate(own) if bits.bit_count() == 1}
    groups = [(bits, k) for k, bits in enumerate(own) if bits.bit_count() > 1]
    at_a_node = sum(singles)
    leads = []
    for seen in sees:
        led = 0
        out = seen & at_a_node
        while out:
            low = out & -out
            led |= tied[singles[low]]
            out ^= low
        for bits, k in groups:
            if not bits & ~seen:
                led |= tied[k]
        leads.append(led)
    return _Web(nodes, own, sees, tied, leads)


def tell(step: Step, geometry: Geometry) -> str:
    """The words of a chain."""
    size, first, last = geometry.size, step.nodes[0], step.nodes[-1]
    head = f"If {_says(first, False, size)}, {'; so '.join(_links(step, geometry))}."
    if first == last:
        return f"{head} So {_says(first, True, size)} after all. {out_of(step, size)}"
    return f"{head} In any case {_ends(first, last, size)}. {out_of(step, size)}"


def tell_xy(step: Step, geometry: Geometry) -> str:
    """The words of an XY-chain: which digit each cell takes."""
    size = geometry.size
    ((start, *_), z), (_, other) = step.nodes[:2]
    takes = []
    for k in range(2, len(step.nodes), 2):
        ((cell, *_), gone), (_, taken) = step.nodes[k : k + 2]
        where = _within(step.ties[k - 1], geometry)
        takes.append(f"{where}{_of_two(cell, gone, taken, size)} is {digit(taken)}")
    return (
        f"If {_of_two(start, z, other, size)} is not {digit(z)}, it is {digit(other)}; then "
        f"{listed(takes)}. In any case {_ends(step.nodes[0], step.nodes[-1], size)}. "
        f"{out_of(step, size)}"
    )


def _of_two(cell: int, one: int, other: int, size: int) -> str:
    """``r1c1 (1 or 2)``: a cell of two digits."""
    return f"{cell_name(cell, size)} ({digits(sorted((one, other)), 'or')})"


def _links(step: Step, geometry: Geometry) -> list[str]:
    """What follows from what, each with its reason: a false node and the true one tied to it."""
    size, told = geometry.size, []
    for k in range(0, len(step.nodes), 2):
        (group, d), (where, e) = step.nodes[k : k + 2]
        start = (
            f"{_within(step.ties[k - 1], geometry)}{_says(step.nodes[k], False, size)}" if k else ""
        )
        if d != e:
            only = f"({cell_name(group[0], size)} has only {digits(sorted((d, e)))})"
            told.append(f"{start} but {digit(e)} {only}" if k else f"it is {digit(e)} {only}")
        else:
            tied = f"{_within(step.ties[k], geometry)}the {digit(d)} is in "
            told.append((f"{start}, and " if k else "then ") + tied + cells(where, size, "or"))
    return told


def _within(house: int, geometry: Geometry) -> str:
    return f"in {label(house, geometry)} " if house >= 0 else ""


def _ends(first: Told, last: Told, size: int) -> str:
    """The first or the last, as short as it can be said."""
    (group, d), (other, e) = first, last
    if d == e:
        return f"{digit(d)} is in {cells((*group, *other), size, 'or')}"
    if group == other and len(group) == 1:
        return f"{cell_name(group[0], size)} is {digits(sorted((d, e)), 'or')}"
    return f"{_says(first, True, size)} or {_says(last, True, size)}"


def _says(node: Told, true: bool, size: int) -> str:
    group, d = node
    if len(group) == 1:
        return f"{cell_name(group[0], size)} is {'' if true else 'not '}{digit(d)}"
    count = "one" if true else "neither" if len(group) == 2 else "none"
    return f"{count} of {cells(group, size)} is {digit(d)}"
