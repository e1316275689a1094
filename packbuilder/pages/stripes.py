"""Stripes: slanted bands under the cells in which a step acts, so that grey is not all that tells.

They leave out the places of candidates: so small a digit cannot be read on stripes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

from packbuilder.pages.grid_place import GridPlace
from packbuilder.plan.items import Box, Item, Point, Trace

_PITCH = 5.6  # points, about: thinner bands run together in a printer's dots
_RIM = 0.13  # of a cell: stripes stand there whatever it holds, outside the outermost figures
_SPECK = 0.0005  # of a cell's area: a smaller piece of a band is dirt


def stripes(
    place: GridPlace, cells: Iterable[int], taken: Mapping[int, Sequence[Box]] | None = None
) -> list[Item]:
    """The bands of some cells, each cell's a path of its own, clipped to the cell.

    Every cell has a whole number of them, so that they run on from cell to cell. ``taken`` has the
    boxes of a cell that they leave out, in cells from its upper left corner, y down: left, top,
    right, bottom.
    """
    count = max(3, round(place.cell / _PITCH))
    return [
        Trace(
            tuple(
                place.run((column + x, row + y) for x, y in piece)
                for piece in _free(count, tuple((taken or {}).get(cell, ())))
            ),
            fill="stripe",
            closed=True,
        )
        for cell, (row, column) in ((cell, divmod(cell, place.size)) for cell in cells)
    ]


@lru_cache(maxsize=2_000)  # few sets of candidates, again and again
def _free(count: int, taken: tuple[Box, ...]) -> Sequence[tuple[Point, ...]]:
    """What is left of so many bands outside the boxes and in the rim."""
    bands = _bands(count)
    if not taken:
        return bands
    low, high = _RIM, 1 - _RIM
    inner = [(max(a, low), max(b, low), min(c, high), min(d, high)) for a, b, c, d in taken]
    pieces = [_clipped(band, box) for box in _around(inner) for band in bands]
    return [piece for piece in pieces if _area(piece) > _SPECK]


def _around(taken: Sequence[Box]) -> Iterator[Box]:
    """The square of side 1 without some boxes, as boxes: as wide as may be, row by row."""
    downs = sorted({0.0, 1.0, *(y for _, top, _, bottom in taken for y in (top, bottom))})
    for top, bottom in pairwise(downs):
        middle, start = (top + bottom) / 2, 0.0
        for left, _, right, _ in sorted(box for box in taken if box[1] < middle < box[3]):
            if left > start:
                yield (start, top, left, bottom)
            start = max(start, right)
        if start < 1:
            yield (start, top, 1.0, bottom)


def _clipped(shape: Sequence[Point], box: Box) -> tuple[Point, ...]:
    """The part of a convex shape that lies in a box (Sutherland and Hodgman, 1974)."""
    ring = list(shape)
    for axis, bound, sign in ((0, box[0], 1), (1, box[1], 1), (0, box[2], -1), (1, box[3], -1)):
        kept: list[Point] = []
        for a, b in pairwise([*ring[-1:], *ring]):
            out_a, out_b = sign * (bound - a[axis]), sign * (bound - b[axis])
            if (out_a > 0) != (out_b > 0):
                t = out_a / (out_a - out_b)
                kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
            if out_b <= 0:
                kept.append(b)
        ring = kept
    return tuple(ring)


def _area(ring: Sequence[Point]) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*ring[-1:], *ring]))) / 2


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
