"""Stripes: slanted bands under the cells in which a step acts, so that grey is not all that tells.

They fall from left to right, against the strokes through struck candidates, which rise.
"""

from __future__ import annotations

from collections.abc import Iterable

from packbuilder.pages.items import Item, Point, Trace
from packbuilder.pages.place import Place

STRIPE = 0.85
"""Grey of the bands, on white: half of each cell stays white."""

_PITCH = 5.6  # points, about: thinner bands run together in a printer's dots


def stripes(place: Place, cells: Iterable[int]) -> list[Item]:
    """The bands of some cells, each cell's a path of its own, clipped to the cell.

    Every cell has a whole number of them, so that they run on from cell to cell.
    """
    count = max(3, round(place.cell / _PITCH))
    return [
        Trace(
            tuple(place.run((column + x, row + y) for x, y in band) for band in _bands(count)),
            fill=STRIPE,
            closed=True,
        )
        for row, column in (divmod(cell, place.size) for cell in cells)
    ]


def _bands(count: int) -> list[tuple[Point, ...]]:
    """The bands in a square of side 1, y down: where x - y lies in every other half pitch."""
    bands: list[tuple[Point, ...]] = []
    for k in range(-count, count):
        near, far = k / count, (k + 0.5) / count
        if k >= 0:
            bands.append(((near, 0), (far, 0), (1, 1 - far), (1, 1 - near)))
        elif k == -count:  # a corner: its band is a triangle
            bands.append(((0, 1), (0, -far), (1 + far, 1)))
        else:
            bands.append(((0, -near), (0, -far), (1 + far, 1), (1 + near, 1)))
    return bands
