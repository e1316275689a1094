"""Links: what joins the places of a step in its picture, and how the step's ends reach on.

Of some techniques the argument runs from place to place: of two places one holds the digit, or two
see each other and not both do. Others rest on cells side by side and have no links.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from packbuilder.grid import Geometry
from packbuilder.ladder.basis import basis_of
from packbuilder.ladder.step import Step

Pair = tuple[int, int]

_FISH = ("x-wing", "swordfish", "jellyfish", "finned-")
_HELD = (*_FISH, "skyscraper", "two-string", "w-wing",
         "simple-colouring")  # fmt: skip
"""How the slugs of techniques begin that rest on lines with few places for a digit."""


class Links(NamedTuple):
    """The links of a step, as pairs of cells; none for a step that has none.

    ``strong``: one of a line's places holds the digit, and each is joined to the next. ``weak``:
    the two see each other, so not both. ``reach``: from an end to a cell in its row or column that
    loses the digit.
    """

    strong: tuple[Pair, ...] = ()
    weak: tuple[Pair, ...] = ()
    reach: tuple[Pair, ...] = ()

    @property
    def places(self) -> frozenset[int]:
        """The cells that links join."""
        return frozenset(cell for pair in (*self.strong, *self.weak) for cell in pair)


def links_of(step: Step, geometry: Geometry) -> Links:
    """What joins the places of a step; of a rule's step nothing does."""
    if step.part or step.places:
        return Links()
    gone, cells, slug = sorted({cell for cell, _ in step.removes}), step.cells, step.technique
    if slug in ("pointing", "claiming"):
        return Links(reach=tuple(_reach(cells, gone, geometry, step.houses[1:])))
    if slug in ("xy-wing", "xyz-wing"):
        pivot, a, b = cells
        return _between((), ((pivot, a), (pivot, b)), (a, b), gone, geometry)
    if slug == "empty-rectangle":
        return _rectangle(step, gone, geometry)
    if slug in ("chain", "xy-chain"):
        return _chain(step, gone, geometry)
    if not slug.startswith(_HELD):
        return Links()
    basis = basis_of(step, geometry)
    strong = tuple(
        pair
        for h, _ in (basis.held if basis else ())
        for pair in pairwise(c for c in geometry.houses[h].cells if c in cells)
    )
    strong = tuple(dict.fromkeys(strong))
    if slug == "simple-colouring":
        return Links(strong)
    if slug.startswith(_FISH):
        return Links(strong, reach=tuple(_reach(cells, gone, geometry, step.houses)))
    top, foot, other_foot, other_top = cells
    weak = ((top, foot), (other_foot, other_top)) if slug == "w-wing" else ((foot, other_foot),)
    return _between(strong, weak, (top, other_top), gone, geometry)


def _between(
    strong: Sequence[Pair],
    weak: Sequence[Pair],
    ends: Pair,
    gone: Sequence[int],
    geometry: Geometry,
) -> Links:
    """Links with two ends, of which one holds what the cells that see both lose."""
    reach = _reach(ends, gone, geometry, range(len(geometry.houses)))
    return Links(tuple(strong), tuple(weak), tuple(reach))


def _rectangle(step: Step, gone: Sequence[int], geometry: Geometry) -> Links:
    """A pair of places; from its near end along a line to the block, from the far end on."""
    *places, here, there = step.cells
    _, _, near, far = step.houses
    met = [c for c in places if c in geometry.houses[near].cells]
    weak = (here, min(met, key=lambda c: _far(here, c, geometry.size)))
    beyond = [c for c in places if c in geometry.houses[far].cells]
    reach = [*_reach((there,), gone, geometry, range(len(geometry.houses))),
             *_reach(beyond, gone, geometry, (far,))]  # fmt: skip
    return Links(((here, there),), (weak,), tuple(reach))


def _chain(step: Step, gone: Sequence[int], geometry: Geometry) -> Links:
    """From node to node: of two the one or the other (strong), then not both (weak), in turn."""
    if not step.nodes:
        return Links()
    kinds: tuple[list[Pair], list[Pair]] = ([], [])
    for k, ((one, _), (other, _)) in enumerate(pairwise(step.nodes)):
        if one != other and not {*one} & {*other}:
            pair = min(
                ((a, b) for a in one for b in other), key=lambda p: _far(p[0], p[1], geometry.size)
            )
            kinds[k % 2].append(pair)
    (first, _), (last, _) = step.nodes[0], step.nodes[-1]
    reach = _reach((*first, *last), gone, geometry, range(len(geometry.houses)))
    strong, weak = (tuple(dict.fromkeys(some)) for some in kinds)
    return Links(strong, weak, tuple(reach))


def _reach(
    starts: Iterable[int], ends: Collection[int], geometry: Geometry, houses: Iterable[int]
) -> Iterator[Pair]:
    """From cells along some of the rows and columns to others on them; to each from the nearest."""
    starts = tuple(dict.fromkeys(starts))
    for h in houses:
        house = geometry.houses[h]
        here = [c for c in starts if c in house.cells and house.kind in ("row", "column")]
        for end in (c for c in ends if here and c in house.cells and c not in here):
            yield min(here, key=lambda c: _far(c, end, geometry.size)), end


def _far(one: int, other: int, size: int) -> float:
    (r, c), (q, k) = divmod(one, size), divmod(other, size)
    return hypot(r - q, c - k)
