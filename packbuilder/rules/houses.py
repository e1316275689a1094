"""The houses that rules bring: joined to those of a grid, and told apart from them again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from packbuilder.grid import Geometry
from packbuilder.rules.contract import Part


def with_houses(geometry: Geometry, parts: Iterable[Part]) -> Geometry:
    """The geometry with the houses of the parts behind its own; no set of cells is there twice."""
    known = {frozenset(house.cells) for house in geometry.houses}
    houses = list(geometry.houses)
    for part in parts:
        for house in part.houses(geometry):
            if frozenset(house.cells) not in known:
                known.add(frozenset(house.cells))
                houses.append(house)
    return (
        replace(geometry, houses=tuple(houses)) if len(houses) > len(geometry.houses) else geometry
    )


def without_houses(geometry: Geometry, parts: Iterable[Part]) -> Geometry:
    """The geometry without the houses that parts brought."""
    brought = {house for part in parts for house in part.houses(geometry)}
    return replace(geometry, houses=tuple(h for h in geometry.houses if h not in brought))


def only_houses(part: Part, size: int) -> bool:
    """Whether the houses of a part are all that there is to it: it has no clause of its own."""
    try:
        part.encode(_Watch(size))
    except _ClauseMet:
        return False
    return True


class _ClauseMet(Exception):
    """A part has a clause."""


class _Watch:
    """A `Clauses` that stops at the first clause."""

    def __init__(self, size: int) -> None:
        self.size = size

    def digit(self, cell: int, digit: int) -> int:
        return cell * self.size + digit

    def at_least(self, cell: int, digit: int) -> int:
        return cell * self.size + digit

    def new(self) -> int:
        return 1

    def _met(self, *_: Any) -> None:
        raise _ClauseMet

    add = allow = pairs = one_set = automaton = _met
