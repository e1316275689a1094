"""Shapes of rules under the lines and digits of a grid, in the order in which they are painted."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.rule_lines import (
    CLEAR,
    Marks,
    contour,
    crossed,
    diagonal,
    heads,
    lines,
    ring,
)
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Disc, Item, Trace
from packbuilder.rules.shapes import Box, Diagonal, Patch, Path, Ring, Shape

DISC, SQUARE = 0.36, 0.74
"""Radius of a disc, side of a square, in cells."""


def under(place: GridPlace, shapes: Sequence[Shape], digits: Collection[int] = ()) -> list[Item]:
    """What lies under the lines and digits of a grid, the lowest first.

    ``digits`` are the cells in which one is printed: no contour runs under it.
    """
    paths = [s for s in shapes if isinstance(s, Path)]
    solid = {s.cell for s in shapes if isinstance(s, Ring) and s.solid}
    circled = {s.cell for s in shapes if isinstance(s, Ring) and not s.solid}
    bulbs = {path.cells[0] for path in paths if path.style == "broad"} & solid
    discs = solid - bulbs
    patches = [s for s in shapes if isinstance(s, Patch)]
    boxes = [s.cell for s in shapes if isinstance(s, Box)]
    items: Marks = [_patch(place, s) for s in patches]
    items += [_box(place, cell) for cell in boxes]
    items += [_disc(place, cell) for cell in sorted(discs)]
    items += [diagonal(place, s) for s in shapes if isinstance(s, Diagonal)]
    items += lines(place, paths, bulbs)
    items += [ring(place, cell) for cell in sorted(circled)]
    grey = {*discs, *boxes, *(cell for s in patches for cell in s.cells)}
    clear = (crossed(paths) & {*digits}) - bulbs - circled
    items += [_clear(place, cell, "fill" if cell in grey else "paper") for cell in sorted(clear)]
    return [*items, *heads(place, paths)]


def rim(place: GridPlace) -> float:
    """The weight of the line round a grey cell."""
    return place.scaled(0.025, 0.5, 1.2)


def _patch(place: GridPlace, shape: Patch) -> Trace:
    runs = tuple(place.run(points) for points in outlines(shape.cells, place.size, 0.06))
    return Trace(runs, rim(place), "contour", "fill", closed=True)


def _box(place: GridPlace, cell: int) -> Trace:
    x, y = place.middle(cell)
    half = SQUARE / 2 * place.cell
    left, bottom, right, top = x - half, y - half, x + half, y + half
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Trace((corners,), contour(place), "contour", "fill", closed=True)


def _disc(place: GridPlace, cell: int) -> Disc:
    return Disc(*place.middle(cell), DISC * place.cell, contour(place), "contour", "fill")


def _clear(place: GridPlace, cell: int, ink: Ink) -> Disc:
    return Disc(*place.middle(cell), CLEAR * place.cell, fill=ink)
