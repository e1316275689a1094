"""Stripes: half of a cell, all of it within the cell, running on from cell to cell."""

from __future__ import annotations

from itertools import pairwise

import pytest

from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.stripes import stripes
from packbuilder.plan.items import Point, Trace

CELLS = [12.0, 16.0, 22.1, 30.0, 56.7]
"""Points: from a 16x16 on small paper to large print."""


def bands(place: GridPlace, cell: int) -> tuple[tuple[Point, ...], ...]:
    (item,) = stripes(place, [cell])
    assert isinstance(item, Trace)
    assert item.closed and item.width is None and item.fill == "stripe"
    return item.runs


def area(run: tuple[Point, ...]) -> float:
    """By the shoelace formula (common knowledge)."""
    closed = (*run, run[0])
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairwise(closed))) / 2


@pytest.mark.parametrize("size", CELLS)
def test_they_cover_half_of_the_cell_and_nothing_else(size: float) -> None:
    place = GridPlace(100, 700, size, 9)
    left, bottom, right, top = place.box(40)
    found = bands(place, 40)
    for x, y in (point for run in found for point in run):
        assert left - 1e-6 <= x <= right + 1e-6
        assert bottom - 1e-6 <= y <= top + 1e-6
    assert sum(map(area, found)) == pytest.approx(size * size / 2)


@pytest.mark.parametrize("size", CELLS)
def test_they_fall_to_the_right_in_bands_that_print_can_part(size: float) -> None:
    for run in bands(GridPlace(0, 300, size, 9), 0):
        slants = [
            (c - a, d - b) for (a, b), (c, d) in pairwise((*run, run[0])) if a != c and b != d
        ]
        assert slants and all(dx * dy < 0 for dx, dy in slants)
        assert all(abs(dx + dy) < 1e-6 for dx, dy in slants)
    # a band is as wide as the white beside it: over 1.2 pt, four dots of a printer of 300 dpi
    assert (
        min(x for run in bands(GridPlace(0, 300, size, 9), 0) for x, y in run if y == 300 and x)
        > 1.2
    )


def test_they_run_on_from_cell_to_cell() -> None:
    place = GridPlace(0, 270, 30, 9)
    edge = 30.0

    def meeting(cell: int) -> set[float]:
        return {round(y, 6) for run in bands(place, cell) for x, y in run if abs(x - edge) < 1e-6}

    assert meeting(0) - {240, 270} == meeting(1) - {240, 270} != set()
