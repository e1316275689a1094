"""The houses that rules bring: joined to those of a grid, and told apart from them again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

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
