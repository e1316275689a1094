"""Find: what a technique sees in a position, before anybody takes it as a step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from packbuilder.ladder.bit_layout import BitLayout, cells_in
from packbuilder.ladder.board import Board
from packbuilder.rules.contract import Part


class Find(NamedTuple):
    """One deduction that strikes candidates.

    ``cells``, ``digits`` and ``houses`` are what it rests on, in the order in which they are told;
    ``removes`` are keys (``cell * size + digit - 1``), never empty. ``nodes`` and
    ``ties`` are as in `Step`; ``told`` builds the sentence, where only the find itself can.
    ``part`` is as in `Step`. ``length`` counts the links of an argument, for techniques that are
    told shortest first.
    """

    cells: tuple[int, ...]
    digits: tuple[int, ...]
    houses: tuple[int, ...]
    removes: tuple[int, ...]
    nodes: tuple[tuple[tuple[int, ...], int], ...] = ()
    ties: tuple[int, ...] = ()
    told: Callable[[], str] | None = None
    length: int = 0
    part: Part | None = None


Finder = Callable[[Board], Iterable[Find]]
"""Gives every find of one technique in a position, in a fixed order."""

Sweep = Callable[[Board], int]
"""Gives all that a technique strikes in a position, as bits of the planes laid end to end."""


def part_by_part(
    board: Board, asker: object, parts: Sequence[int], look: Callable[[int], Iterable[Find]]
) -> Iterator[Find]:
    """What ``look(k)`` finds in each part k of a position (a digit's plane, a house's candidates).

    A part in which the ``asker`` found nothing is passed over until it changes: candidates only
    ever go, so there will be nothing until then. A part without candidates is passed over too.
    """
    memo = board.memo
    for k, part in enumerate(parts):
        if not part or memo.get((asker, k)) == part:
            continue
        barren = True
        for find in look(k):
            barren = False
            yield find
        if barren:
            memo[asker, k] = part


def keys_in(bits: int, fields: BitLayout) -> tuple[int, ...]:
    """The keys of candidates given as bits of the planes laid end to end, in order."""
    count, size = fields.cell_count, fields.size
    return tuple(sorted(bit % count * size + bit // count for bit in cells_in(bits)))


def keys_of(mask: int, digits: Iterable[int], planes: list[int], size: int) -> tuple[int, ...]:
    """The keys of these digits' candidates in the cells of a mask, by digit, then by cell."""
    keys = []
    for d in digits:
        gone = planes[d] & mask
        while gone:
            low = gone & -gone
            keys.append((low.bit_length() - 1) * size + d - 1)
            gone ^= low
    return tuple(keys)
