"""Cover: the least that closes some cells, chosen among all things that close any of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Generic, NamedTuple, TypeVar

T = TypeVar("T")


class Closer(NamedTuple, Generic[T]):
    """A thing that closes some of the cells. ``rank`` is 0 for a placed digit, 1 for a part of the
    rules, 2 for an earlier step; ``far`` how far away it is, in cells.
    """

    what: T
    closes: frozenset[int]
    rank: int = 0
    far: int = 0


def least_cover(cells: frozenset[int], closers: Sequence[Closer[T]]) -> tuple[Closer[T], ...]:
    """The closers of the best cover, in their order. Raises ValueError where there is none.

    The best has the fewest steps, and with so few the fewest closers in all. Among those that are
    left, it has the fewest parts of rules, then the fewest closers of a single cell, then it is the
    nearest; and of equals the first.
    """
    plain = [one for one in closers if one.rank < 2]
    steps = [one for one in closers if one.rank == 2]
    for count in range(len(steps) + 1):
        found = [
            (*few, *some)
            for some in combinations(steps, count)
            for few in _fewest(cells.difference(*(one.closes for one in some)), plain)
        ]
        if found:
            least = min(map(len, found))
            best = min((few for few in found if len(few) == least), key=_unease)
            return tuple(sorted(best, key=closers.index))
    raise ValueError("some cell is closed by nothing")


def _fewest(cells: frozenset[int], closers: Sequence[Closer[T]]) -> Iterator[tuple[Closer[T], ...]]:
    """Every cover of as few closers as can be; none where all together do not cover the cells."""
    able = [one for one in closers if one.closes & cells]
    if not cells <= frozenset[int]().union(*(one.closes for one in able)):
        return
    for count in range(len(able) + 1):
        found = [
            few
            for few in combinations(able, count)
            if cells <= frozenset[int]().union(*(one.closes for one in few))
        ]
        if found:
            yield from found
            return


def _unease(few: Sequence[Closer[T]]) -> tuple[int, int, int]:
    """How hard a cover is to point at, apart from how many closers it has."""
    parts = sum(one.rank > 0 for one in few)
    return parts, sum(len(one.closes) == 1 for one in few), sum(one.far for one in few)
