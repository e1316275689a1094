"""Find: what a technique sees in a position, before anybody takes it as a step."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from packbuilder.ladder.board import Board


class Find(NamedTuple):
    """One deduction that strikes candidates.

    ``cells``, ``digits`` and ``houses`` are what it rests on, in the order in which they are told;
    ``removes`` are keys (``cell * size + digit - 1``), never empty. ``nodes`` and
    ``ties`` are as in `Step`; ``told`` builds the sentence, where only a rule of the puzzle can.
    """

    cells: tuple[int, ...]
    digits: tuple[int, ...]
    houses: tuple[int, ...]
    removes: tuple[int, ...]
    nodes: tuple[tuple[tuple[int, ...], int], ...] = ()
    ties: tuple[int, ...] = ()
    told: Callable[[], str] | None = None


Finder = Callable[[Board], Iterable[Find]]
"""Gives every find of one technique in a position, in a fixed order."""


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
