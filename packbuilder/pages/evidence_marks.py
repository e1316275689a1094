"""Evidence marks: over a hint's grid, which digits do it, how far they reach, what they close.

A ring goes round a digit that closes cells, dots run along its reach, and a cross stands in a cell
that is closed and shows no candidates. No mark of a rule looks like one of them, and none runs
through a digit, a candidate or a cross.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from packbuilder.grid import Geometry
from packbuilder.ladder.bit_layout import AREA_KINDS
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hints import Hint
from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.items import Disc, Item, Point, Segment, Strokes, Trace

_RING, _ARM = 0.385, 0.125  # of a cell: a ring's radius, half a cross
FULL, HALF, _BUSY = 0.385, 0.24, 0.44  # of a cell: what dots leave free round its middle
_STEP = 1 / 7  # of a cell: from dot to dot
_RIM = 0.055  # of a cell: the dots of a block run so far inside its border


def closing(hint: Hint) -> list[int]:
    """The cells of the placed digits that are evidence of a hint, those of its step left out."""
    known = {cell for one in hint.because if one.kind in ("digit", "part") for cell in one.cells}
    return sorted(known - set(hint.step.cells))


def closed(hint: Hint) -> list[int]:
    """The cells that get a cross."""
    return sorted({cell for one in hint.because for cell in one.closes} - _busy(hint))


def _busy(hint: Hint) -> set[int]:
    """The cells that have a ring, or candidates."""
    return {*hint.step.cells, *(cell for cell, _ in (*hint.step.removes, *hint.shown))}


def evidence_marks(place: GridPlace, geometry: Geometry, hint: Hint) -> list[Item]:
    """The marks of a hint's evidence; none where it has none."""
    shut = closed(hint)
    dots = [_dots(place, run) for run in _reach(place, geometry, hint, shut)]
    return [*dots, *circled(place, closing(hint)), *crosses(place, shut)]


def circled(place: GridPlace, cells: Collection[int]) -> list[Item]:
    """A ring round the digit of each cell."""
    weight = place.scaled(0.05, 0.9, 2.4)
    return [Disc(*place.middle(cell), _RING * place.cell, weight) for cell in cells]


def crosses(place: GridPlace, cells: Collection[int]) -> list[Item]:
    """A cross in each cell."""
    strokes = [one for cell in cells for one in crossed(*place.middle(cell), _ARM * place.cell)]
    return [Strokes(place.scaled(0.05, 0.9, 2.4), tuple(strokes))] if strokes else []


def dotted(place: GridPlace, start: int, end: int, at_end: float, at_start: float) -> Item:
    """A row of dots from cell to cell, short of their middles by so many cells."""
    run = _between(place, start, end, at_end, at_start)
    return _dots(place, run)


def _dots(place: GridPlace, run: tuple[Point, ...]) -> Item:
    step = (0.0, place.cell * _STEP)
    closed = run[0] == run[-1]
    return Trace((run,), place.scaled(0.07, 1.3, 3.0), dash=step, round_ends=True, closed=closed)


def crossed(x: float, y: float, arm: float) -> tuple[Segment, Segment]:
    """A cross: its strokes reach so far from its middle, across and up."""
    return (x - arm, y - arm, x + arm, y + arm), (x - arm, y + arm, x + arm, y - arm)


def _reach(
    place: GridPlace, geometry: Geometry, hint: Hint, crosses: Collection[int]
) -> Iterator[tuple[Point, ...]]:
    """The runs of dots: along lines, round blocks and regions, straight to what else is seen."""
    lines: dict[int, set[int]] = {}
    areas: dict[int, None] = {}
    straight: dict[tuple[int, int], None] = {}
    for one in hint.because:
        for h in one.houses if one.kind == "digit" else ():
            house = geometry.houses[h]
            if house.kind in ("row", "column"):
                lines.setdefault(h, set()).update(_links(one, house.cells))
            elif house.kind in AREA_KINDS or (
                len(house.cells) > 2 and not _is_straight(house.cells)
            ):
                areas[h] = None
            else:
                straight |= {(one.cells[0], c): None for c in one.closes if c in house.cells}
    for h, links in lines.items():
        yield from _along(place, geometry.houses[h].cells, links, hint, crosses)
    for h in areas:
        for rim in outlines(geometry.houses[h].cells, geometry.size, _RIM):
            yield (*place.run(rim), place.at(*rim[0]))
    for start, end in straight:
        yield _between(place, start, end, _free(end, hint, crosses))


def _is_straight(cells: Collection[int]) -> bool:
    """Whether cells are a pair, or lie on a diagonal."""
    return len({b - a for a, b in zip(cells, [*cells][1:], strict=False)}) == 1


def _links(one: Because, cells: tuple[int, ...]) -> set[int]:
    """From which places of a line to the next ones the digit reaches: as far as what it closes."""
    start = cells.index(one.cells[0])
    ends = [cells.index(cell) for cell in one.closes if cell in cells]
    return {k for end in ends for k in range(min(start, end), max(start, end))}


def _along(
    place: GridPlace, cells: tuple[int, ...], links: set[int], hint: Hint, crosses: Collection[int]
) -> Iterator[tuple[Point, ...]]:
    """The dots of a line, from link to link; free of what stands in the cells."""
    start = None
    for k in range(len(cells)):
        if k in links and start is None:
            start = k
        free = _free(cells[k], hint, crosses)
        if start is not None and k > start and (free or k not in links):
            yield _between(place, cells[start], cells[k], free, _free(cells[start], hint, crosses))
            start = k if k in links else None


def _free(cell: int, hint: Hint, crosses: Collection[int]) -> float:
    if hint.position[cell]:
        return FULL
    if cell in crosses:
        return HALF
    return _BUSY if cell in _busy(hint) else 0.0


def _between(
    place: GridPlace, start: int, end: int, at_end: float, at_start: float = FULL
) -> tuple[Point, Point]:
    """A run from cell to cell, short of their middles by so many cells."""
    (ax, ay), (bx, by) = place.middle(start), place.middle(end)
    far = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 / place.cell
    low, high = at_start / far, 1 - at_end / far
    return (
        (ax + (bx - ax) * low, ay + (by - ay) * low),
        (ax + (bx - ax) * high, ay + (by - ay) * high),
    )
