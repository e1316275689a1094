"""Wings: cells with two candidates that lean on a pivot, or on a pair of places for a digit."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits, digits_plural, label, out_of
from packbuilder.ladder.find import Find, keys_of
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.strong_links import digits_left, pairs, seen_by_all, twins


def xy_wing(board: Board) -> Iterator[Find]:
    """A pivot xy sees xz and yz: one of them is z, so what sees both is not."""
    return _wings(board, twins(board), 2)


def xyz_wing(board: Board) -> Iterator[Find]:
    """A pivot xyz sees xz and yz: one of the three is z, so what sees all three is not."""
    return _wings(board, digits_left(board, 3), 3)


def _wings(board: Board, pivots: dict[int, int], n: int) -> Iterator[Find]:
    fields, planes = board.fields, board.planes()
    pincers = twins(board)
    for pivot, mask in pivots.items():
        seen = fields.peer_masks[pivot]
        near = [
            (cell, two)
            for cell, two in pincers.items()
            if seen >> cell & 1 and (two & mask).bit_count() == n - 1
        ]
        for (a, two_a), (b, two_b) in combinations(near, 2):
            shared = two_a & two_b
            # z is the pincers' one common digit; an xy pivot does not hold it.
            if shared.bit_count() != 1 or (n == 2 and shared & mask):
                continue
            z = shared.bit_length()
            involved = (a, b) if n == 2 else (pivot, a, b)
            if removes := keys_of(seen_by_all(board, involved), (z,), planes, fields.size):
                (x, a), (y, b) = sorted(
                    ((two & ~shared).bit_length(), cell) for cell, two in ((a, two_a), (b, two_b))
                )
                yield Find((pivot, a, b), (x, y, z), (), removes)


def w_wing(board: Board) -> Iterator[Find]:
    """Two cells xy apart; each sees one of a pair of places for x: one of the two cells is y."""
    fields, planes = board.fields, board.planes()
    peers = fields.peer_masks
    alike: dict[int, list[int]] = {}
    for cell, mask in twins(board).items():
        alike.setdefault(mask, []).append(cell)
    for mask, group in alike.items():
        for a, b in combinations(group, 2):
            if peers[a] >> b & 1:
                continue
            one, other = (d + 1 for d in cells_in(mask))
            for x, y in ((one, other), (other, one)):
                removes = keys_of(peers[a] & peers[b], (y,), planes, fields.size)
                bridge = _bridge(board, a, b, x) if removes else None
                if bridge:
                    house, p, q = bridge
                    yield Find((a, p, q, b), (x, y), (house,), removes)


def _bridge(board: Board, a: int, b: int, x: int) -> tuple[int, int, int] | None:
    """(house, place seen by a, place seen by b) of the first pair for x that joins the two."""
    peers = board.fields.peer_masks
    for house, first, second in pairs(board)[x]:
        for p, q in ((first, second), (second, first)):
            if peers[a] >> p & 1 and peers[b] >> q & 1:
                return house, p, q
    return None


def tell_wing(step: Step, geometry: Geometry) -> str:
    """The words of an XY-wing or an XYZ-wing."""
    size = geometry.size
    pivot, a, b = (cell_name(cell, size) for cell in step.cells)
    x, y, z = map(digit, step.digits)
    if step.technique == "xy-wing":
        return (
            f"{pivot} is {x} or {y}. If it is {x}, {a} is {z}; if it is {y}, {b} is {z}. "
            f"Either way one of {a} and {b} is {z}. {out_of(step, size)}"
        )
    return (
        f"{pivot} is {digits(sorted(step.digits), 'or')}. If it is {x}, {a} is {z}; if it is {y}, "
        f"{b} is {z}. So one of {pivot}, {a} and {b} is {z}. {out_of(step, size)}"
    )


def tell_w_wing(step: Step, geometry: Geometry) -> str:
    """The words of a W-wing."""
    size = geometry.size
    a, p, q, b = (cell_name(cell, size) for cell in step.cells)
    x, y = step.digits
    house = label(step.houses[0], geometry)
    return (
        f"{a} and {b} can each be only {digits(sorted(step.digits), 'or')}. In {house}, the "
        f"{digits_plural(x)} are held to {p}, which {a} sees, and {q}, which {b} sees; so one of "
        f"{cells((step.cells[0], step.cells[3]), size)} is not {digit(x)} but {digit(y)}. "
        f"{out_of(step, size)}"
    )
