"""Shapes of rules under the lines and digits of a grid, in the order in which they are painted."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from packbuilder.pages.cell_outlines import outlines
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.rule_lines import (
    Marks,
    contour,
    crossed,
    diagonal,
    disc,
    heads,
    lines,
    ring,
)
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Disc, Item, Trace
from packbuilder.rules.shapes import Box, Diagonal, Patch, Path, Ring, Shape

_SQUARE, _BARE = 0.74, 0.86  # sides, in cells


def under(
    place: GridPlace,
    shapes: Sequence[Shape],
    digits: Collection[int] = (),
    bare: Collection[int] = (),
    light: Collection[int] = (),
) -> list[Item]:
    """What lies under the lines and digits of a grid, the lowest first.

    ``digits`` are the cells in which one is printed, ``bare`` those that are full of candidates: no
    line of a rule runs under either, and circles go round all candidates. The disc
    that clears a ``light`` digit is as grey as its band: a solved grid would cut bands to pieces.
    """
    paths = [s for s in shapes if isinstance(s, Path)]
    solid = {s.cell for s in shapes if isinstance(s, Ring) and s.solid}
    circled = {s.cell for s in shapes if isinstance(s, Ring) and not s.solid}
    bulbs = {path.cells[0] for path in paths if path.style == "broad"} & solid
    patches = [s for s in shapes if isinstance(s, Patch)]
    patched = {cell for s in patches for cell in s.cells}
    boxes = [s.cell for s in shapes if isinstance(s, Box)]
    items: Marks = [_patch(place, s) for s in patches]
    items += [_square(place, cell, _SQUARE, contour(place), "fill") for cell in boxes]
    items += [disc(place, cell, wide=cell in bare) for cell in sorted(solid - bulbs)]
    items += [diagonal(place, s) for s in shapes if isinstance(s, Diagonal)]
    items += lines(place, paths, bulbs, bare)
    items += [ring(place, cell, wide=cell in bare) for cell in sorted(circled)]
    banded = {c for path in paths if path.style in ("broad", "thin") for c in path.cells}
    grey = {*patched, *solid, *boxes, *(banded & {*light})}
    for cell, radius in sorted(crossed(paths).items()):
        if cell in digits and cell not in circled:
            ground: Ink = "fill" if cell in grey else "paper"
            items.append(Disc(*place.middle(cell), radius * place.cell, fill=ground))
    items += heads(place, paths)
    for cell in sorted({*bare} & lined(shapes, place.size) - solid - circled):
        items.append(_square(place, cell, _BARE, None, "fill" if cell in patched else "paper"))
    return [*items]


def lined(shapes: Iterable[Shape], size: int) -> set[int]:
    """The cells that lines of rules come into."""
    found: set[int] = set()
    for shape in shapes:
        if isinstance(shape, Path):
            found |= {*shape.cells}
        elif isinstance(shape, Diagonal):
            found |= {
                k * size + (k if shape.slope == "down" else size - 1 - k) for k in range(size)
            }
    return found


def rim(place: GridPlace) -> float:
    """The weight of the line round a grey cell."""
    return place.scaled(0.025, 0.5, 1.2)


def _patch(place: GridPlace, shape: Patch) -> Trace:
    runs = tuple(place.run(points) for points in outlines(shape.cells, place.size, 0.06))
    return Trace(runs, rim(place), "contour", "fill", closed=True)


def _square(place: GridPlace, cell: int, side: float, weight: float | None, ground: Ink) -> Trace:
    x, y = place.middle(cell)
    half = side / 2 * place.cell
    left, bottom, right, top = x - half, y - half, x + half, y + half
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Trace((corners,), weight, "contour", ground, closed=True)
