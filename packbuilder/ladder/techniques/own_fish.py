"""Fish in which a house of the grid's own takes part: a diagonal, an extra region, a cage.

As in `fish`, n houses (*bases*) hold a digit in places that n others (*covers*) hold between them.
The bases are rows and the covers columns, or the other way; houses of the grid's own may stand
among either, and in an X-wing all may mix. A house of two cells covers nothing beside a base, so it
is passed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from packbuilder.ladder.bit_layout import BitLayout, cells_in
from packbuilder.ladder.board import Board


class OwnFish(NamedTuple):
    """Houses of a fish, its digit, and the cells that lose it, as a mask."""

    bases: tuple[int, ...]
    covers: tuple[int, ...]
    digit: int
    gone: int


class _Reading(NamedTuple):
    """Houses to choose from, and which of them are the grid's own."""

    bases: tuple[int, ...]
    covers: tuple[int, ...]
    own: frozenset[int]


def basic(board: Board, n: int) -> Iterator[OwnFish]:
    """Every fish of n bases."""
    masks, planes = board.fields.house_masks, board.planes()
    seen = set()
    for reading, d, held in _held(board, n):
        for bases, places in _bases(held, held, n, n, reading, masks):
            across = [h for h in reading.covers if h not in bases]
            for covers in _covers(places, n, across, masks):
                gone = planes[d] & _union(masks, covers) & ~_union(masks, bases)
                fish = OwnFish(bases, covers, d, gone)
                if gone and not reading.own.isdisjoint(bases + covers) and fish not in seen:
                    seen.add(fish)
                    yield fish


def finned(board: Board, n: int) -> Iterator[OwnFish]:
    """Every fish of n bases but for some places more, all of them seen by the cells that lose.

    Read from the cell that loses the digit: were it there, its cover would be spent, and the others
    would have to do for what is left of the bases.
    """
    masks, peers = board.fields.house_masks, board.fields.peer_masks
    found: dict[tuple[tuple[int, ...], tuple[int, ...], int], int] = {}
    for reading, d, held in _held(board, n):
        for cell in cells_in(board.planes()[d]):
            spent = [h for h in reading.covers if masks[h] >> cell & 1]
            rest = {
                h: places & ~peers[cell] for h, places in held.items() if not masks[h] >> cell & 1
            }
            for bases, places in _bases(held, rest, n, n - 1, reading, masks):
                across = [h for h in reading.covers if h not in bases and h not in spent]
                for most in _fillings(places & ~peers[cell], n - 1, across, masks):
                    for cover in spent:
                        covers = tuple(sorted((*most, cover)))
                        fins = places & ~_union(masks, covers)
                        if fins and not reading.own.isdisjoint(bases + covers):
                            key = bases, covers, d
                            found[key] = found.get(key, 0) | 1 << cell
    return (OwnFish(*key, gone) for key, gone in found.items())


def _bases(
    held: dict[int, int], rest: dict[int, int], n: int, k: int, reading: _Reading,
    masks: Sequence[int],
) -> Iterator[tuple[tuple[int, ...], int]]:  # fmt: skip
    """Every n bases that share no place and whose ``rest`` k covers can hold; with all places."""
    fit = [h for h, some in rest.items() if _coverable(some, k, reading.covers, masks, h)]

    def grow(
        start: int, chosen: tuple[int, ...], places: int, left: int
    ) -> Iterator[tuple[tuple[int, ...], int]]:
        if len(chosen) == n:
            yield chosen, places
            return
        for at in range(start, len(fit) - n + len(chosen) + 1):
            h = fit[at]
            if not places & held[h]:
                more = left | rest[h]
                if not chosen or _coverable(more, k, reading.covers, masks, h):
                    yield from grow(at + 1, (*chosen, h), places | held[h], more)

    return grow(0, (), 0, 0)


def _held(board: Board, n: int) -> Iterator[tuple[_Reading, int, dict[int, int]]]:
    """For each reading and each digit, its places in every base that has some."""
    fields, planes = board.fields, board.planes()
    for reading in _readings(fields, n):
        for d in range(1, fields.size + 1):
            held = {h: planes[d] & fields.house_masks[h] for h in reading.bases}
            yield reading, d, {h: places for h, places in held.items() if places}


@lru_cache(maxsize=64)
def _readings(fields: BitLayout, n: int) -> tuple[_Reading, ...]:
    """The ways to read a grid; none where it has no houses of its own."""
    plain = {*fields.rows, *fields.columns, *fields.areas}
    sizes = [mask.bit_count() for mask in fields.house_masks]
    own = tuple(h for h, size in enumerate(sizes) if h not in plain and size > 2)
    whole = tuple(h for h in own if h in fields.house_bits)
    rows, columns = fields.rows, fields.columns
    ways = [(rows, columns), (columns, rows)]
    if n == 2:
        ways = [(rows + columns, rows + columns)]
    return tuple(_Reading(a + whole, b + own, frozenset(own)) for a, b in ways if own)


def _covers(
    places: int, n: int, houses: Sequence[int], masks: Sequence[int]
) -> list[tuple[int, ...]]:
    """Every n houses that hold all the places, none of which could be spared."""
    most = max((mask.bit_count() for h in houses if (mask := places & masks[h])), default=0)
    found = set()

    def grow(left: int, chosen: tuple[int, ...]) -> None:
        room = n - len(chosen)
        if not left and not room:
            found.add(tuple(sorted(chosen)))
        if left and left.bit_count() <= room * most:
            first = left & -left
            for h in houses:
                if masks[h] & first:
                    grow(left & ~masks[h], (*chosen, h))

    grow(places, ())
    return sorted(found)


def _coverable(
    places: int, n: int, houses: Sequence[int], masks: Sequence[int], beside: int
) -> bool:
    """Whether n of the houses, ``beside`` not among them, can hold all the places."""
    if not places or not n:
        return not places
    first = places & -places
    return any(
        _coverable(places & ~masks[h], n - 1, houses, masks, beside)
        for h in houses
        if masks[h] & first and h != beside
    )


def _fillings(
    places: int, n: int, houses: Sequence[int], masks: Sequence[int]
) -> Iterator[tuple[int, ...]]:
    """Every n houses that hold all the places: those that must be, and any others beside them."""
    for k in range(n + 1):
        for covers in _covers(places, k, houses, masks):
            for more in combinations([h for h in houses if h not in covers], n - k):
                yield covers + more


def _union(masks: Sequence[int], houses: Iterable[int]) -> int:
    whole = 0
    for h in houses:
        whole |= masks[h]
    return whole
