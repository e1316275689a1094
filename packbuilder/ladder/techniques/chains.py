"""Chains: if this is false, that is true, and so on to an end; the first or the last is true.

A chain runs along a `web`, in turn over nodes that are false and nodes that are true. What both its
ends rule out is false. The shortest chains are told.

An XY-chain runs through cells of two digits, and the same digit stands at both ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits, label, listed, out_of
from packbuilder.ladder.find import Find, keys_in
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.web import (
    Web,
    cell_web,
    node_of,
    seen_in,
    tied_in,
    whole_web,
)

Told = tuple[tuple[int, ...], int]
"""A node as a step keeps it: its cells and its digit."""


def chain(board: Board) -> Iterator[Find]:
    """The shortest alternating chains, groups included."""
    return _finds(board, board.once(whole_web))


def xy_chain(board: Board) -> Iterator[Find]:
    """The shortest chains through cells of two digits, with one digit at both ends."""
    return _finds(board, board.once(cell_web))


def strikes(board: Board) -> int:
    """All that the shortest chains strike: bits of the planes laid end to end."""
    return _shortest(board.once(whole_web))[1]


def strikes_of_xy(board: Board) -> int:
    """All that the shortest XY-chains strike."""
    return _shortest(board.once(cell_web))[1]


def _shortest(web: Web) -> tuple[int, int]:
    """How many nodes lie between the first true node and the last in the shortest chains, and what
    these chains strike."""
    n = 0
    while True:
        reach, gone = web.reach[n], 0
        for seen, nodes in zip(web.sees, web.tied, strict=True):
            for node in nodes:
                gone |= seen & reach[node]
        n += 1
        if gone or (n == len(web.reach) and not web.spread()):
            return n - 1, gone


def _finds(board: Board, web: Web) -> Iterator[Find]:
    """The finds of the fewest links, one for all that strike the same.

    A chain can be read from both ends and is told from one. It may end where it began: that node is
    true, for were it false, it would be true. (XY-chains never come to that: leaving out the first
    cell makes a shorter one.)
    """
    n, any_gone = _shortest(web)
    told: set[int] = set()
    for start in range(len(web.own)) if any_gone else ():
        ends = set(web.tied[start])
        for _ in range(n):
            ends |= {further for node in ends for further in web.leads[node]}
        for end in sorted(end for end in ends if end >= start):
            gone = web.sees[start] & web.sees[end]
            if gone and gone not in told:
                told.add(gone)
                yield _find(board, web, start, end, gone)


def _find(board: Board, web: Web, start: int, end: int, gone: int) -> Find:
    fields, planes = board.fields, board.planes()
    route = [node_of(web.own[k], fields) for k in _route(web, start, end)]
    nodes = tuple((cells_in(node.mask), node.digit) for node in route)
    return Find(
        tuple(dict.fromkeys(cell for group, _ in nodes for cell in group)),
        tuple(dict.fromkeys(d for _, d in nodes)),
        (),
        keys_in(gone, board.fields),
        nodes,
        tuple(
            tied_in(one, other, fields, planes) if k % 2 == 0 else seen_in(one, other, fields)
            for k, (one, other) in enumerate(pairwise(route))
        ),
    )


def _route(web: Web, start: int, end: int) -> list[int]:
    """The nodes of a shortest chain, in turn false and true."""
    levels = [set(web.tied[start])]
    while end not in levels[-1]:
        levels.append({further for node in levels[-1] for further in web.leads[node]})
    trues = [end]
    for level in reversed(levels[:-1]):
        trues.append(min(k for k in level if trues[-1] in web.leads[k]))
    trues.reverse()
    route = [start, trues[0]]
    for here, there in pairwise(trues):
        route += [web.between(here, there), there]
    return route


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
    (_, d), (where, e) = step.nodes[:2]
    if d == e:
        within = _within(step.ties[0], geometry)
        told = [f"then {within}the {digit(d)} is in {cells(where, geometry.size, 'or')}"]
    else:
        told = [f"it is {digit(e)} {_has_only(step.nodes[0], e, geometry.size)}"]
    for k in range(2, len(step.nodes), 2):
        false, true = step.nodes[k : k + 2]
        told.append(link_told(false, true, step.ties[k - 1], step.ties[k], geometry))
    return told


def link_told(false: Told, true: Told, seen: int, tied: int, geometry: Geometry) -> str:
    """What is ruled out, within the house ``seen``, and what follows, within the house ``tied``.

    Either house is -1 where none is to be told.
    """
    (_, d), (where, e), size = false, true, geometry.size
    start = f"{_within(seen, geometry)}{_says(false, False, size)}"
    if d != e:
        return f"{start} but {digit(e)} {_has_only(false, e, size)}"
    within = _within(tied, geometry)
    return f"{start}, and {within}the {digit(d)} is in {cells(where, size, 'or')}"


def _has_only(node: Told, other: int, size: int) -> str:
    (cell, *_), d = node
    return f"({cell_name(cell, size)} has only {digits(sorted((d, other)))})"


def _within(house: int, geometry: Geometry) -> str:
    return f"in {label(house, geometry)} " if house >= 0 else ""


def _ends(first: Told, last: Told, size: int) -> str:
    """The first or the last, as short as it can be said."""
    (group, d), (other, e) = first, last
    if d == e:
        return f"{digit(d)} is in {cells(dict.fromkeys((*group, *other)), size, 'or')}"
    if group == other and len(group) == 1:
        return f"{cell_name(group[0], size)} is {digits(sorted((d, e)), 'or')}"
    return f"{_says(first, True, size)} or {_says(last, True, size)}"


def _says(node: Told, true: bool, size: int) -> str:
    group, d = node
    if len(group) == 1:
        return f"{cell_name(group[0], size)} is {'' if true else 'not '}{digit(d)}"
    count = "one" if true else "neither" if len(group) == 2 else "none"
    return f"{count} of {cells(group, size)} is {digit(d)}"
