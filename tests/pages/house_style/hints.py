"""Hints: their signs keep clear of digits, and their words end on what they come to."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import dist

from packbuilder.plan.items import Disc, Item, Strokes, Text, Trace
from tests.pages.house_style.measuring import Grid, Printed, Told, flat, overlap

STEP = 0.04
"""Cells: how far apart the points of a line are at which it is looked."""


def no_sign_crosses_a_digit(p: Printed) -> Told:
    """Rails, dots, crosses, rings and frames keep off the ink of digits and candidates."""
    for look in p.looks:
        for grid in look.grids if look.section == "Third hints" else ():
            letters = [m for m in grid.inner if m.item.ink == "ink" and m.cell >= 0]
            for x, y in _points(grid):
                for mark in letters:
                    if overlap(mark.box, (x, y, x, y), -0.1):
                        yield f"page {look.folio}: a line at {x:.0f}, {y:.0f} crosses {mark.text}"


def _points(grid: Grid) -> Iterator[tuple[float, float]]:
    """Points of the black lines in a grid that are none of its own."""
    for item in flat(grid.item.items):
        for one, other in _pieces(item, grid) if getattr(item, "ink", "") == "ink" else ():
            count = max(2, int(dist(one, other) / (STEP * grid.pitch)))
            for k in range(count + 1):
                x, y = (a + (b - a) * k / count for a, b in zip(one, other, strict=True))
                if overlap(grid.frame, (x, y, x, y)):
                    yield x, y


def _pieces(item: Item, grid: Grid) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    match item:
        case Trace(fill=None):
            for run in item.runs:
                yield from pairwise((*run, run[0]) if item.closed else run)
        case Strokes() if item not in grid.lines:
            yield from (((a, b), (c, d)) for a, b, c, d in item.segments)
        case Disc(fill=None):
            x, y, r = item.x, item.y, item.radius
            corners = ((x - r, y), (x, y + r), (x + r, y), (x, y - r), (x - r, y))
            yield from ((one, one) for one in corners)


def hints_end_on_what_is_bold(p: Printed) -> Told:
    """The conclusion is the last thing in the words of a hint, and the only bold thing in them."""
    for look in p.looks:
        bold: dict[int, bool] = {}
        for item in look.page.items if look.section == "Third hints" else ():
            if isinstance(item, Text) and item.tag is not None and item.tag.role == "P":
                heavy = item.face.endswith(("-Bold", "-Semibold"))
                if bold.get(id(item.tag)) and not heavy:
                    yield f"page {look.folio}: {item.text!r} follows bold words"
                bold[id(item.tag)] = heavy
