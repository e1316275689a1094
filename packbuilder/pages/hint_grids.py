"""Hint grids: the position of a step and all the signs that show it.

Solid black belongs to the hint, grey to the rules. A full tile is a digit that comes, an empty
frame a cell from which some go, a round outline what is held; and nothing is drawn across a digit.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from packbuilder.book.candidate_room import USUAL, candidate_size, has_corners
from packbuilder.grid import Geometry, Values
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.links import Links, links_of
from packbuilder.pages.candidates import candidates
from packbuilder.pages.evidence_marks import closing, evidence_marks, reach
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import digit_size, grid
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.rails import BOX, LETTER_SIZE, lettered, rails, tiles
from packbuilder.plan.items import Box, Disc, Fills, Item, Rings, Trace
from packbuilder.rules.shapes import Fence, Path, Shape

_TILE, _HELD, _FRAME, _FENCED = 0.045, 0.085, 0.075, 0.05  # of a cell: insets; more inside a fence
_WRITTEN = 0.74  # of a cell: the type size of a digit to write
_RADIUS = 0.26  # of a cell: round corners of what is held
_RING_ROOM = 0.385  # of a cell: what is white under a ringed digit on a line


@dataclass(frozen=True)
class Signs:
    """What the picture of a hint has, by cells: ``tiles`` to write in, ``frames`` that lose
    candidates, ``held`` cells on which the step rests, ``boxes`` that ``links`` join."""

    tiles: tuple[tuple[int, int], ...]
    frames: tuple[int, ...]
    held: tuple[int, ...]
    boxes: tuple[int, ...]
    links: Links


def signs_of(hint: Hint, geometry: Geometry) -> Signs:
    """The signs of a hint's cells, each cell with one at most."""
    links = links_of(hint.step, geometry) if hint.linked else Links()
    taken = {*hint.loses, *(cell for cell, _ in hint.written)}
    boxes = links.places - taken
    rests = {*hint.step.cells, *hint.held}
    held = {cell for cell in rests - taken - boxes if not hint.position[cell]}
    return Signs(hint.written, hint.loses, tuple(sorted(held)), tuple(sorted(boxes)), links)


def hint_grid(
    sheet: PageDesign,
    geometry: Geometry,
    place: GridPlace,
    clues: Values,
    hint: Hint,
    shapes: Sequence[Shape] = (),
) -> list[Item]:
    """The position of a hint with its signs, its evidence and the candidates that it needs.

    Cells on which the step rests are outlined, those that lose candidates are framed, and the digit
    to write stands white on a black tile. What the evidence is, `evidence_marks` says; links are
    `rails` and dots.
    """
    place, signs = replace(place, small=sheet.least.small), signs_of(hint, geometry)
    shown = {cell for cell, _ in hint.shown}
    size = place.cell * candidate_size(hint, shapes, max(USUAL, sheet.least.small / place.cell))
    rings = closing(hint)
    lines = {cell for shape in shapes if isinstance(shape, Path) for cell in shape.cells}
    white = [Disc(*place.middle(cell), _RING_ROOM * place.cell, fill="paper")
             for cell in rings if cell in lines]  # fmt: skip
    filled = {cell for cell, digit in enumerate(hint.pictured) if digit}
    large = digit_size(sheet, place, shapes)
    # discs that are large for their cell stand higher: candidates reach as far up as ever
    high = 0.01 if place.type_size(*LETTER_SIZE) > LETTER_SIZE[0] * place.cell else 0.05
    below = [  # so that marks of rules on the edges of cells lie over them
        *outlines(place, signs, fenced=any(isinstance(s, Fence) for s in shapes)),
        *rails(place, signs.links.strong, {*shown, *rings, *dict(signs.tiles)}, filled),
        *reach(place, geometry, hint, signs.links),
    ]
    return [
        *grid(
            sheet,
            geometry,
            place,
            clues,
            tuple(0 if c in dict(signs.tiles) else v for c, v in enumerate(hint.position)),
            shapes,
            rings=below,
            bare=shown,
            ground=white,
        ),
        *tiles(
            place, signs.tiles, large if has_corners(shapes) else max(large, _WRITTEN * place.cell)
        ),
        *evidence_marks(place, hint),
        *candidates(place, hint, shapes, size),
        *lettered(place, hint.letters, (0.95 if has_corners(shapes) else 0.05, high)),
    ]


def outlines(place: GridPlace, signs: Signs, *, fenced: bool = False) -> list[Item]:
    """Tiles, frames, boxes, and round outlines: one round neighbours."""
    more = _FENCED * fenced
    thick, thin = place.scaled(0.063, 1.3, 3.0), place.scaled(0.047, 1.0, 2.2)
    items: list[Item] = []
    if signs.held:
        boxes = tuple(_inset(place, group, _HELD + more) for group in _grouped(signs, place.size))
        items.append(Rings(thin, _RADIUS * place.cell, boxes))
    if signs.boxes:
        boxes = tuple(_inset(place, (c, c), (1 - BOX) / 2) for c in signs.boxes)
        items.append(Rings(thin, 0.08 * place.cell, boxes))
    for cell in signs.frames:
        left, bottom, right, top = _inset(place, (cell, cell), _FRAME + more)
        corners = ((left, bottom), (right, bottom), (right, top), (left, top))
        items.append(Trace((corners,), thick, closed=True))
    if signs.tiles:
        boxes = tuple(_inset(place, (cell, cell), _TILE) for cell, _ in signs.tiles)
        items.append(Fills(boxes, "ink"))
    return items


def _grouped(signs: Signs, size: int) -> Iterator[tuple[int, int]]:
    """Held cells in straight runs of neighbours, the longest first: each as its first and last."""
    left = set(signs.held)
    while left:
        runs = [_run(cell, step, left, size) for cell in sorted(left) for step in (1, size)]
        best = max(runs, key=len)
        left -= {*best}
        yield best[0], best[-1]


def _run(cell: int, step: int, among: Collection[int], size: int) -> list[int]:
    run = [cell]
    while (after := run[-1] + step) in among and (step > 1 or after % size):
        run.append(after)
    return run


def _inset(place: GridPlace, cells: tuple[int, int], by: float) -> Box:
    """The box from one cell to another, so much of a cell inside it."""
    left, _, _, top = place.box(cells[0])
    _, bottom, right, _ = place.box(cells[1])
    by *= place.cell
    return (left + by, bottom + by, right - by, top - by)
