"""The signs over a hint's grid, against the step that it tells.

What can be written stands on a tile, cells that lose candidates are framed, and what the step rests
on is outlined; places that links join are boxed. Of its evidence the digits that close cells are in
rings, dots run along their reach, and the cells that are closed have a cross.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.links import Links, links_of
from packbuilder.readback.hint_signs import Reach, Told, borders
from packbuilder.readback.report import Fault, gather
from packbuilder.reader.digits import Filled


def check_marks(told: Told, filled: Filled, hint: Hint, geometry: Geometry) -> Iterator[Fault]:
    """What is drawn over the grid is the hint's step, part by part."""
    size = geometry.size
    links = links_of(hint.step, geometry) if hint.linked else Links()
    yield from gather("struck", _amiss_strikes(told, filled, hint, size))
    yield from gather("outline", _amiss_outlines(told, filled, hint, links, size))
    yield from gather("link-drawn", _amiss_links(told, filled, hint, links, size))
    yield from gather("evidence", _amiss_evidence(told, hint, links, geometry))


def _amiss_strikes(told: Told, filled: Filled, hint: Hint, size: int) -> Iterator[tuple[int, str]]:
    """What goes has a cross, and stands below a line if something stays in its cell."""
    due, small = set(hint.struck), filled.candidates
    found = told.struck(small)
    for cell, value in sorted(due ^ found):
        what = "not struck out" if (cell, value) in due else "struck out, and the step keeps it"
        yield cell, f"the candidate {SYMBOLS[value]} in {cell_name(cell, size)} is {what}"
    parted = {c for c, some in hint.shown if any((c, d) not in due for d in some)}
    parted &= {cell for cell, _ in due}
    yield from _differing(set(told.floors), parted, "line between its candidates", size)
    for d in small:
        floor = told.floors.get(d.cell)
        if floor is not None and (d.glyph.y < floor) != ((d.cell, d.value) in due):
            yield d.cell, f"{SYMBOLS[d.value]} is on the wrong side of {cell_name(d.cell, size)}"
    for cell in sorted({cell for cell, _ in told.crossed}):
        if sum(at == cell for (at, _), _ in told.strokes) > 2:
            yield cell, f"{cell_name(cell, size)} has more than one cross"


def _amiss_outlines(
    told: Told, filled: Filled, hint: Hint, links: Links, size: int
) -> Iterator[tuple[int, str]]:
    """Tiles, frames, boxes and round outlines."""
    tiles, frames = {cell for cell, _ in hint.written}, set(hint.loses)
    boxes = links.places - tiles - frames
    rests = {*hint.step.cells, *hint.held}
    held = {cell for cell in rests - tiles - frames - boxes if not hint.position[cell]}
    for found, due, what in (
        (told.tiles, tiles, "black tile"),
        (told.frames, frames, "frame"),
        (told.boxes, boxes, "box"),
        (told.held, held, "round outline"),
    ):
        yield from _differing(found, due, what, size)
    for d in filled.digits:
        white = d.glyph.colour is not None and min(d.glyph.colour) > 0.9
        if white != (d.cell in told.tiles):
            how = "is white beside a tile" if white else "is not white on its tile"
            yield d.cell, f"the {SYMBOLS[d.value]} in {cell_name(d.cell, size)} {how}"


def _amiss_links(
    told: Told, filled: Filled, hint: Hint, links: Links, size: int
) -> Iterator[tuple[int, str]]:
    """Both rails of each strong link, and the letters of cells."""
    due = {(way, side) for a, b in links.strong for way in borders(a, b, size) for side in (1, -1)}
    for way, _ in sorted(due ^ told.rails):
        none = "not both rails run from" if (way, 1) in due else "no rails may run from"
        yield way[0], f"{none} {_from_to(way, size)}"
    letters = {*hint.letters}
    for cell, letter in sorted(letters ^ set(filled.letters)):
        what = "lacks" if (cell, letter) in letters else "must not have"
        yield cell, f"{cell_name(cell, size)} {what} the letter {letter}"
    yield from _differing(told.discs, {cell for cell, _ in letters}, "disc of a letter", size)


def _amiss_evidence(
    told: Told, hint: Hint, links: Links, geometry: Geometry
) -> Iterator[tuple[int, str]]:
    """Rings round the digits that close cells, crosses in those cells, and dots between them."""
    size = geometry.size
    rings = {c for one in hint.marked if one.kind in ("digit", "part") for c in one.cells}
    shown = {cell for cell, _ in (*hint.step.removes, *hint.shown, *hint.written)}
    crosses = {cell for one in hint.marked for cell in one.closes} - {*hint.step.cells, *shown}
    both = {cell for cell, up in told.slants if (cell, not up) in told.slants}
    lame = {cell for cell, _ in told.slants} - both
    yield from _differing(told.circled, rings, "ring", size)
    yield from _differing(both | lame, crosses, "cross", size)
    for cell in sorted(told.cleared - told.circled):
        yield cell, f"{cell_name(cell, size)} is cleared, and has no ring"
    for cell in sorted(lame):
        yield cell, f"the cross in {cell_name(cell, size)} is half of one"
    due = {*_due_reach(hint, geometry)}
    due |= {way for a, b in (*links.weak, *links.reach) for way in borders(a, b, size)}
    for cells in sorted(told.reach ^ due):
        none = "no dots run from" if cells in due else "dots must not run from"
        yield cells[0], f"{none} {_from_to(cells, size)}"


def _due_reach(hint: Hint, geometry: Geometry) -> Iterator[Reach]:
    """Where the dots of the evidence must run, by what it closes along each of its houses."""
    for one in hint.marked:
        counted = one.kind in ("digit", "held") and (one.house >= 0 or hint.step.places)
        for h in one.houses if counted else ():
            house = geometry.houses[h]
            for end in (cell for cell in one.closes if cell in house.cells):
                start = min(one.cells, key=lambda cell: abs(cell - end))
                if house.kind not in ("row", "column") and _is_area(
                    house.kind, house.cells, geometry.size
                ):
                    yield tuple(sorted(house.cells))
                else:
                    yield from borders(start, end, geometry.size)


def _is_area(kind: str, cells: Sequence[int], size: int) -> bool:
    """Whether a house is told by its outline: no pair of cells and no diagonal."""
    spots = [divmod(cell, size) for cell in cells]
    slanted = len({r - c for r, c in spots}) == 1 or len({r + c for r, c in spots}) == 1
    return kind in ("block", "region") or (len(cells) > 2 and not slanted)


def _differing(
    found: Collection[int], due: Collection[int], what: str, size: int
) -> Iterator[tuple[int, str]]:
    for cell in sorted(set(found) ^ set(due)):
        without = "has no" if cell in due else "must have no"
        yield cell, f"{cell_name(cell, size)} {without} {what}"


def _from_to(cells: Reach, size: int) -> str:
    return f"{cell_name(cells[0], size)} to {cell_name(cells[-1], size)}"
