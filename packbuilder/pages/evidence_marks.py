"""Evidence marks: over a hint's grid, which digits do it, how far they reach, what they close.

A ring goes round a digit that closes cells, dots run along its reach, and a cross stands in a cell
that is closed and shows no candidates. No mark of a rule looks like one of them, and none runs
through a digit, a candidate or a cross.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import NamedTuple

from packbuilder.grid import Geometry, House
from packbuilder.ladder.bit_layout import AREA_KINDS
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.links import Links
from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.straight_ways import Way
from packbuilder.plan.items import Disc, Item, Point, Segment, Strokes, Trace

_RING, ARM = 0.385, 0.125  # of a cell: a ring's radius, half a cross
FULL, HALF, _BUSY = 0.385, 0.24, 0.44  # of a cell: what dots leave free round its middle
_STEP = 1 / 7  # of a cell: from dot to dot
_NONE = Links()
Cells = tuple[int, ...]

_RIM = 0.055  # of a cell: the dots of a block run so far inside its border


def closing(hint: Hint) -> list[int]:
    """The cells of the placed digits that are evidence of a hint."""
    known = {cell for one in hint.marked if one.kind in ("digit", "part") for cell in one.cells}
    return sorted(known)


def closed(hint: Hint) -> list[int]:
    """The cells that get a cross."""
    return sorted({cell for one in hint.marked for cell in one.closes} - _busy(hint))


def _busy(hint: Hint) -> set[int]:
    """The cells that have a ring, a tile, or candidates."""
    shown = {cell for cell, _ in (*hint.step.removes, *hint.shown, *hint.written)}
    return {*hint.step.cells, *shown}


def evidence_marks(place: GridPlace, hint: Hint) -> list[Item]:
    """Rings and crosses of a hint's evidence; none where it has none."""
    crosses = [place.middle(cell) for cell in closed(hint)]
    items: list[Item] = [ring(place, cell) for cell in closing(hint)]
    return [*items, cross(place, crosses, ARM)] if crosses else items


def reach(place: GridPlace, geometry: Geometry, hint: Hint, links: Links = _NONE) -> list[Item]:
    """The rows of dots of a hint's evidence, and of its links."""
    return [dots(place, *runs) for runs in _reach(place, geometry, hint, links)]


def dots(place: GridPlace, *runs: tuple[Point, ...]) -> Item:
    """A row of dots, in pieces."""
    step = (0.0, place.cell * _STEP)
    weight = place.scaled(0.07, 1.3, 3.0)
    return Trace(runs, weight, dash=step, round_ends=True, closed=runs[0][0] == runs[0][-1])


def ring(place: GridPlace, cell: int) -> Item:
    """A ring round the digit of a cell."""
    return Disc(*place.middle(cell), _RING * place.cell, _weight(place))


def cross(place: GridPlace, spots: Iterable[Point], arm: float) -> Item:
    """Crosses in some points, their arms so many cells long."""
    strokes = [one for spot in spots for one in crossed(*spot, arm * place.cell)]
    return Strokes(_weight(place), tuple(strokes))


def _weight(place: GridPlace) -> float:
    return place.scaled(0.05, 0.9, 2.4)


def crossed(x: float, y: float, arm: float) -> tuple[Segment, Segment]:
    """A cross: its strokes reach so far from its middle, across and up."""
    return (x - arm, y - arm, x + arm, y + arm), (x - arm, y + arm, x + arm, y - arm)


class _Ways(NamedTuple):
    """Where digits reach: along ``lines`` from place to place, round ``areas``, and straight."""

    lines: dict[int, set[int]]
    areas: dict[int, None]
    straight: dict[tuple[int, int], None]


def _ways(geometry: Geometry, hint: Hint, links: Links) -> _Ways:
    found = _Ways({}, {}, {})
    for starts, ends, houses in reaches(hint):
        for h in houses:
            house = geometry.houses[h]
            if house.kind in ("row", "column"):
                found.lines.setdefault(h, set()).update(_links(starts, ends, house.cells))
            elif _is_area(house):
                found.areas[h] = None
            else:
                found.straight.update({(starts[0], c): None for c in ends if c in house.cells})
    for a, b in (*links.weak, *links.reach):
        line = _line_of(geometry, a, b)
        if line is None:
            found.straight[a, b] = None
        else:
            cells = geometry.houses[line].cells
            found.lines.setdefault(line, set()).update(_links((a,), (b,), cells))
    return found


def reaches(hint: Hint) -> Iterator[tuple[Cells, Cells, Cells]]:
    """From which cells the evidence leads to which ones, along which houses, by dots."""
    for one in hint.marked:
        if one.kind in ("digit", "held") and (one.house >= 0 or hint.step.places):
            yield one.cells, one.closes, one.houses


def _is_area(house: House) -> bool:
    """Whether dots go round a house: a block, a region, or another that is no line."""
    return house.kind in AREA_KINDS or (len(house.cells) > 2 and not _is_straight(house.cells))


def _reach(
    place: GridPlace, geometry: Geometry, hint: Hint, links: Links
) -> Iterator[tuple[tuple[Point, ...], ...]]:
    """The rows of dots, each in its runs."""
    lines, areas, straight = _ways(geometry, hint, links)
    free = _Free(hint, closed(hint), links.places)
    for h, steps in lines.items():
        yield from ((run,) for run in _along(place, geometry.houses[h].cells, steps, free))
    for h in areas:
        rims = outlines(geometry.houses[h].cells, geometry.size, _RIM)  # one for each of its pieces
        yield tuple((*place.run(rim), place.at(*rim[0])) for rim in rims)
    rooms = {cell: room for cell in range(place.size**2) if (room := free.of(cell)) > HALF}
    for start, end in straight:
        way = Way(start, end, place.size)
        pieces = way.clear(free.of(start), free.of(end), rooms)
        if pieces:
            yield tuple(place.run((way.at(low), way.at(high))) for low, high in pieces)


def _line_of(geometry: Geometry, one: int, other: int) -> int | None:
    """The row or column of two cells; None where they have none in common."""
    both = (h for h in geometry.houses_of[one] if h in geometry.houses_of[other])
    return next((h for h in both if geometry.houses[h].kind in ("row", "column")), None)


def _is_straight(cells: Collection[int]) -> bool:
    """Whether cells are a pair, or lie on a diagonal."""
    return len({b - a for a, b in zip(cells, [*cells][1:], strict=False)}) == 1


def _links(starts: Collection[int], ends: Collection[int], cells: tuple[int, ...]) -> set[int]:
    """From which places of a line to the next ones a digit reaches: as far as what it closes."""
    known = [cells.index(cell) for cell in starts]
    found = set[int]()
    for end in (cells.index(cell) for cell in ends if cell in cells):
        start = min(known, key=lambda k: abs(k - end))
        found |= set(range(min(start, end), max(start, end)))
    return found


class _Free:
    """How far dots keep from the middle of each cell, by what stands in it."""

    def __init__(self, hint: Hint, crosses: Collection[int], boxed: Collection[int]) -> None:
        self._hint, self._crosses, self._boxed = hint, crosses, boxed
        self._busy = _busy(hint)

    def of(self, cell: int) -> float:
        """In cells."""
        if cell in self._boxed:
            return FULL
        if cell in self._busy:
            return _BUSY
        if self._hint.pictured[cell]:
            return FULL
        return HALF if cell in self._crosses else 0.0


def _along(
    place: GridPlace, cells: tuple[int, ...], links: set[int], free: _Free
) -> Iterator[tuple[Point, ...]]:
    """The dots of a line, from link to link; free of what stands in the cells."""
    start = None
    for k in range(len(cells)):
        if k in links and start is None:
            start = k
        here = free.of(cells[k])
        if start is not None and k > start and (here or k not in links):
            yield between(place, cells[start], cells[k], here, free.of(cells[start]))
            start = k if k in links else None


def between(
    place: GridPlace, start: int, end: int, at_end: float, at_start: float
) -> tuple[Point, ...]:
    """A run from cell to cell, short of their middles by so many cells."""
    way = Way(start, end, place.size)
    return place.run((way.at(at_start), way.at(way.length - at_end)))
