"""The web that chains run along: what follows from what, a link at a time.

The knots are *nodes*: a candidate, or a group, some places of one digit in a house that share a
second house and stand for "one of these". Two nodes that are all the places of a digit in a house,
or all the digits of a cell, are tied: if one is false, the other is true. A node that is true rules
out all that it sees; so it *leads* to the nodes that are tied to what it rules out.

A node is an int: its candidates are bits of the planes laid end to end (see `bit_layout`).
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property, lru_cache
from typing import NamedTuple

from packbuilder.ladder.bit_layout import BitLayout, cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.techniques.strong_links import twins


class Node(NamedTuple):
    """One of these cells holds the digit: a candidate if it is one cell, else a group."""

    mask: int
    digit: int


class Web:
    """Nodes, numbered from 0, and what joins them.

    ``sees[k]`` are the candidates that node k rules out when it is true, ``tied[k]`` the nodes
    (their numbers) that are true when k is false, ``leads[k]`` those that are true when k is, by
    way of one node that k rules out. ``reach[n][k]`` are the candidates that are false when k is
    true, by way of at most n nodes more that are true; `spread` makes one more n.
    """

    def __init__(self, own: list[int], sees: list[int], tied: list[set[int]]) -> None:
        self.own, self.sees = own, sees
        self.tied = [tuple(sorted(nodes)) for nodes in tied]
        self._tied_to: dict[int, tuple[int, ...]] = {}
        self._groups: dict[int, list[tuple[int, tuple[int, ...]]]] = {}
        for bits, nodes in zip(own, self.tied, strict=True):
            if bits & (bits - 1):
                low = bits & -bits
                self._groups.setdefault(low, []).append((bits, nodes))
            else:
                self._tied_to[bits] = nodes
        self._at_nodes = sum(self._tied_to)
        self._at_groups = sum(self._groups)
        self.reach = [sees]

    def led_to(self, false: int) -> tuple[int, ...]:
        """The nodes that are true where these candidates are false, each once."""
        nodes: set[int] = set()
        out = false & self._at_nodes
        while out:
            low = out & -out
            out ^= low
            nodes.update(self._tied_to[low])
        out = false & self._at_groups
        while out:
            low = out & -out
            out ^= low
            for bits, tied in self._groups[low]:
                if not bits & ~false:
                    nodes.update(tied)
        return tuple(nodes)

    def between(self, true: int, then: int) -> int:
        """A node that the one rules out and that the other is tied to."""
        return next(k for k in self.tied[then] if not self.own[k] & ~self.sees[true])

    @cached_property
    def leads(self) -> list[tuple[int, ...]]:
        """For each node those that are true when it is: see the class."""
        return [self.led_to(seen) for seen in self.sees]

    def spread(self) -> bool:
        """Make ``reach`` one longer; False where nothing more is reached."""
        last, further = self.reach[-1], []
        for seen, nodes in zip(self.sees, self.leads, strict=True):
            for node in nodes:
                seen |= last[node]
            further.append(seen)
        if further == last:
            return False
        self.reach.append(further)
        return True


def whole_web(board: Board) -> Web:
    """Ties in every cell of two digits and in every house that holds every digit."""
    fields, ties = board.fields, _ties_in_cells(board)
    for d, plane in enumerate(board.planes()):
        if plane:
            shift = (d - 1) * fields.cell_count
            ties += [(a << shift, b << shift) for a, b in _ties_of_plane(fields, plane)]
    present = board.bits >> fields.planes_at
    return _web(ties, {a: fields.sight[a] & present for tie in ties for a in tie})


def cell_web(board: Board) -> Web:
    """Ties in cells of two digits alone; a digit rules out only its like."""
    fields, ties, sees = board.fields, _ties_in_cells(board), {}
    count = fields.cell_count
    present = board.bits >> fields.planes_at
    for node in (node for tie in ties for node in tie):
        plane = fields.all_cells << (node.bit_length() - 1) // count * count
        sees[node] = fields.sight[node] & present & plane
    return _web(ties, sees)


def _ties_in_cells(board: Board) -> list[tuple[int, int]]:
    count, ties = board.fields.cell_count, []
    for cell, mask in twins(board).items():
        one, other = cells_in(mask)
        ties.append((1 << one * count + cell, 1 << other * count + cell))
    return ties


@lru_cache(maxsize=1024)
def _ties_of_plane(fields: BitLayout, plane: int) -> tuple[tuple[int, int], ...]:
    """The two cell masks of each tie in a house."""
    ties: dict[tuple[int, int], None] = {}
    for h in fields.fielded:
        places = plane & fields.house_masks[h]
        count = places.bit_count()
        if count == 2:
            low = places & -places
            ties[low, places ^ low] = None
        elif count > 2:
            parts = {part for meet in fields.meets_of[h] if (part := places & meet)}
            for part in sorted(parts):
                rest = places ^ part
                if (rest in parts and part < rest) or (rest and not rest & (rest - 1)):
                    ties[min(part, rest), max(part, rest)] = None
    return tuple(ties)


def _web(ties: Iterable[tuple[int, int]], sees: dict[int, int]) -> Web:
    own = sorted(sees)
    number = {node: k for k, node in enumerate(own)}
    tied: list[set[int]] = [set() for _ in own]
    for a, b in ties:
        tied[number[a]].add(number[b])
        tied[number[b]].add(number[a])
    return Web(own, [sees[node] for node in own], tied)


def node_of(bits: int, fields: BitLayout) -> Node:
    """A node as its cells and its digit."""
    d = (bits.bit_length() - 1) // fields.cell_count
    return Node(bits >> d * fields.cell_count, d + 1)


def tied_in(one: Node, other: Node, fields: BitLayout, planes: list[int]) -> int:
    """The house in which two nodes are all the places of their digit; -1 in a cell."""
    if one.digit != other.digit:
        return -1
    plane, both = planes[one.digit], one.mask | other.mask
    return next(h for h in fields.fielded if plane & fields.house_masks[h] == both)


def seen_in(one: Node, other: Node, fields: BitLayout) -> int:
    """A house of both nodes; -1 in a cell, or where several houses are needed."""
    if one.digit != other.digit:
        return -1
    both = one.mask | other.mask
    return next((h for h, house in enumerate(fields.house_masks) if not both & ~house), -1)
