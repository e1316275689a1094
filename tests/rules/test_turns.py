"""Turning and mirroring the page: what it does to shapes, by hand and as a group."""

from __future__ import annotations

import pytest

from packbuilder.rules.shapes import Box, Corner, Diagonal, Edge, Fence, Outside, Path, Ring, Shape
from packbuilder.rules.tools.turns import Turn, turns

SIZE = 4
CLOCKWISE = list(turns(SIZE))[1]
MIRROR = list(turns(SIZE))[4]  # left becomes right

# r1c1 is 0, r1c4 is 3, r4c1 is 12; a quarter turn clockwise takes r1c1 to r1c4 and r1c2 to r2c4.
BY_HAND: list[tuple[Turn, Shape, Shape]] = [
    (CLOCKWISE, Ring(0), Ring(3)),
    (CLOCKWISE, Box(12), Box(0)),
    (CLOCKWISE, Path((0, 1, 6), "broad"), Path((3, 7, 10), "broad")),
    (CLOCKWISE, Fence((0, 4)), Fence((3, 2))),
    (CLOCKWISE, Corner(1, "10"), Corner(7, "10")),
    (CLOCKWISE, Edge((0, 1), "<"), Edge((3, 7), "<")),
    (CLOCKWISE, Edge((0, 4), "<"), Edge((2, 3), ">")),
    (CLOCKWISE, Edge((0, 4), "X"), Edge((2, 3), "X")),
    (CLOCKWISE, Diagonal("down"), Diagonal("up")),
    (CLOCKWISE, Outside("top", 1, "3"), Outside("right", 1, "3")),
    (CLOCKWISE, Outside("left", 0, "3"), Outside("top", 3, "3")),
    (CLOCKWISE, Outside("left", 0, "9", "down-right"), Outside("top", 3, "9", "down-left")),
    (CLOCKWISE, Outside("top", -1, "9", "down-right"), Outside("top", 4, "9", "down-left")),
    (CLOCKWISE, Outside("top", 4, "9", "down-left"), Outside("bottom", 4, "9", "up-left")),
    (MIRROR, Ring(0), Ring(3)),
    (MIRROR, Edge((0, 1), "<"), Edge((2, 3), ">")),
    (MIRROR, Edge((0, 4), "<"), Edge((3, 7), "<")),
    (MIRROR, Diagonal("down"), Diagonal("up")),
    (MIRROR, Outside("top", 0, "3"), Outside("top", 3, "3")),
    (MIRROR, Outside("left", 2, "3"), Outside("right", 2, "3")),
    (MIRROR, Outside("top", 1, "9", "down-right"), Outside("top", 2, "9", "down-left")),
]


@pytest.mark.parametrize(("turn", "shape", "turned"), BY_HAND)
def test_by_hand(turn: Turn, shape: Shape, turned: Shape) -> None:
    assert turn.shape(shape) == turned


SHAPES = list(dict.fromkeys(before for _, before, _ in BY_HAND))


def test_there_are_eight_ways_and_any_two_make_a_third() -> None:
    ways = {turn.cells(tuple(range(16))) for turn in turns(SIZE)}
    assert len(ways) == 8
    assert {tuple(a[k] for k in b) for a in ways for b in ways} == ways


@pytest.mark.parametrize("shape", SHAPES, ids=repr)
def test_shapes_turn_as_the_page_does(shape: Shape) -> None:
    def way(turn: Turn) -> tuple[int, ...]:
        return turn.cells(tuple(range(16)))

    by_way = {way(turn): turn for turn in turns(SIZE)}
    for first in turns(SIZE):
        for second in turns(SIZE):
            both = by_way[tuple(second.cell(first.cell(c)) for c in range(16))]
            assert second.shape(first.shape(shape)) == both.shape(shape)
