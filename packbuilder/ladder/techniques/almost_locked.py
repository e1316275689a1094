"""Two almost locked sets: cells one digit short of being locked, tied by a digit.

A set is *almost locked* where n cells of one house hold n + 1 digits between them: if one of the
digits leaves it, the others fill it. Let two such sets share the digits x and z, and let each place
for x in the one see each in the other. Then x leaves one of the sets, so that one holds z; and what
sees every place for z in both sets is not z.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import cells, digit, digits, digits_plural, takes_out
from packbuilder.ladder.find import Find, keys_of


class _Set(NamedTuple):
    """An almost locked set: its cells, and for each digit its places there and all that see these.

    ``able`` are the digits that a cell could lose which sees all their places.
    """

    cells: int
    able: int
    places: tuple[int, ...]
    seen: tuple[int, ...]


def two_sets(board: Board) -> Iterator[Find]:
    """Every two almost locked sets that are tied by a digit and rule another out."""
    planes = board.planes()
    done = set()
    for x, one, other in _tied(board):
        shared = one.able & other.able & ~(1 << x - 1)
        if not shared or one.cells & other.cells:
            continue
        for z in (d + 1 for d in cells_in(shared)):
            gone = one.seen[z] & other.seen[z] & planes[z]
            if gone and (pair := (x, z, *sorted((one.cells, other.cells)))) not in done:
                done.add(pair)
                yield _find(board, one, other, x, z, gone)


def _tied(board: Board) -> Iterator[tuple[int, _Set, _Set]]:
    """(x, one set, another): every place for x in the one sees each in the other."""
    sets = _sets(board)
    for x, plane in enumerate(board.planes()):
        # By the lowest place for x, then by all of them: few can be seen from elsewhere.
        by_place: dict[int, dict[int, list[_Set]]] = {}
        for one in sets:
            if here := one.places[x]:
                by_place.setdefault(here & -here, {}).setdefault(here, []).append(one)
        for alike in by_place.values():
            for here, ones in alike.items():
                seen = ones[0].seen[x]
                near = seen & plane & -(here & -here)
                while near:
                    low = near & -near
                    near ^= low
                    for there, others in by_place.get(low, {}).items():
                        if not there & ~seen:
                            yield from ((x, one, other) for one in ones for other in others)


def _find(board: Board, one: _Set, other: _Set, x: int, z: int, gone: int) -> Find:
    first, second = sorted((cells_in(one.cells), cells_in(other.cells)))
    size = board.fields.size
    removes = keys_of(gone, (z,), board.planes(), size)
    sets = [(s, _digits(board, s)) for s in (first, second)]
    told = partial(_told, sets, x, z, removes, size)
    return Find(first + second, (x, z), (), removes, told=told)


def _digits(board: Board, group: tuple[int, ...]) -> tuple[int, ...]:
    union = 0
    for cell in group:
        union |= board.digits_of(cell)
    return tuple(d + 1 for d in cells_in(union))


def _sets(board: Board) -> list[_Set]:
    """Every almost locked set, each once."""
    fields, planes = board.fields, board.planes()
    common = fields.common_peers
    digits_of = {cell: board.digits_of(cell) for cell in cells_in(board.open)}
    found: dict[int, int] = {}
    for mask, left in zip(fields.house_masks, board.left, strict=True):
        unions = [(0, -1, 0)]  # cells, their number less one, their digits
        for cell in cells_in(mask & board.open) if left > 1 else ():
            bit, own = 1 << cell, digits_of[cell]
            unions += [(group | bit, n + 1, union | own) for group, n, union in unions]
        for group, n, union in unions:
            if union.bit_count() == n + 2:
                found[group] = union
    sets = []
    for group, union in found.items():
        places, seen, able = [0] * len(planes), [0] * len(planes), 0
        for d in cells_in(union):
            places[d + 1] = here = group & planes[d + 1]
            seen[d + 1] = everyone = common[here]
            if everyone & planes[d + 1]:
                able |= 1 << d
        sets.append(_Set(group, able, tuple(places), tuple(seen)))
    return sets


def _told(
    sets: list[tuple[tuple[int, ...], tuple[int, ...]]],
    x: int,
    z: int,
    removes: tuple[int, ...],
    size: int,
) -> str:
    """The words of two almost locked sets, each with its digits."""
    one, other = (
        f"{cells(group, size)} {'holds' if len(group) == 1 else 'hold'} "
        f"{digits(ds, 'or' if len(group) == 1 else 'and')}"
        for group, ds in sets
    )
    return (
        f"{one}; {other}: one digit more than there are cells, both times. The {digits_plural(x)} "
        f"of the one see those of the other, so one of the two goes without {digit(x)} and has all "
        f"its other digits, {digit(z)} among them. What sees each {digit(z)} of both cannot be "
        f"{digit(z)}. {takes_out(((key // size, key % size + 1) for key in removes), size)}"
    )
