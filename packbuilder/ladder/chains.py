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
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, listed, out_of
from packbuilder.ladder.fields import cells_in
from packbuilder.ladder.find import Find
from packbuilder.ladder.links import seen_by_all, twins
from packbuilder.ladder.step import Step


class Node(NamedTuple):
    """One of these cells holds the digit: a candidate if it is one cell, else a group."""

    mask: int
    digit: int


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
    nodes = tuple((cells_in(node.mask), node.digit) for node in _route(web, start, end))
    return Find(
        tuple(dict.fromkeys(cell for group, _ in nodes for cell in group)),
        tuple(dict.fromkeys(d for _, d in nodes)),
        (),
        tuple(sorted(bit % count * size + bit // count for bit in cells_in(gone))),
        nodes,
    )


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
    condition, *links = _told(step.nodes, size)
    head = f"If {condition}, then {', so '.join(links)}"
    if first == last:
        return f"{head}: so it is {digit(first[1])} after all. {out_of(step, size)}"
    ends = f"{_says(first, True, size)} or {_says(last, True, size)}"
    return f"{head}. In any case {ends}. {out_of(step, size)}"


def tell_xy(step: Step, geometry: Geometry) -> str:
    """The words of an XY-chain: which digit each cell takes."""
    size = geometry.size
    ((first, *_), z), ((_, *_), other), *rest = step.nodes
    takes = [f"{cell_name(group[0], size)} is {digit(d)}" for group, d in rest[1::2]]
    start, end = cell_name(first, size), cell_name(step.nodes[-1][0][0], size)
    return (
        f"If {start} is not {digit(z)}, it is {digit(other)}; then {listed(takes)}. "
        f"In any case {start} or {end} is {digit(z)}. {out_of(step, size)}"
    )


def _told(nodes: tuple[tuple[tuple[int, ...], int], ...], size: int) -> list[str]:
    """The links in words, false and true in turn; two in one cell are told together."""
    told, k = [], 0
    while k < len(nodes):
        (group, d), true = nodes[k], k % 2 == 1
        after = nodes[k + 1] if k + 1 < len(nodes) else None
        if after and len(group) == 1 and after[0] == group:
            cell, e = cell_name(group[0], size), digit(after[1])
            told.append(
                f"{cell} is {digit(d)}, not {e}" if true else f"{cell} is {e}, not {digit(d)}"
            )
            k += 2
        else:
            told.append(_says(nodes[k], true, size))
            k += 1
    return told


def _says(node: tuple[tuple[int, ...], int], true: bool, size: int) -> str:
    group, d = node
    if len(group) == 1:
        return f"{cell_name(group[0], size)} is {'' if true else 'not '}{digit(d)}"
    count = "one" if true else "neither" if len(group) == 2 else "none"
    return f"{count} of {cells(group, size)} is {digit(d)}"
