"""Links of chains in hint grids: round candidates and digits, or not at all."""

from __future__ import annotations

from itertools import pairwise
from math import dist

from hypothesis import example, given, settings
from hypothesis import strategies as st

from packbuilder.ladder.step import Step
from packbuilder.pages.chain_links import links
from packbuilder.plan.items import Bow, Disc

BOX = (0.0, 0.0, 200.0, 200.0)
ROOM = 3.5


def step(*nodes: tuple[tuple[int, ...], int]) -> Step:
    return Step("chain", 7, (), ((0, 1),), (), (), (), nodes)


def along(bow: Bow, t: float) -> tuple[float, float]:
    """A point of a Bezier curve, by de Casteljau's construction."""
    points = list(bow.curve)
    while len(points) > 1:
        points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in pairwise(points)]
    return points[0]


def test_links_are_drawn_out_and_dashed_in_turn_and_left_out_within_a_cell() -> None:
    spots = {(0, 1): (20.0, 20.0), (0, 2): (27.0, 20.0), (1, 2): (80.0, 30.0), (2, 2): (90.0, 90.0)}
    drawn = links(step(((0,), 1), ((0,), 2), ((1,), 2), ((2,), 2)), spots, ROOM, (), BOX)
    weak, tie = (item for item in drawn if isinstance(item, Bow))
    assert weak.dash
    assert not tie.dash
    assert dist(weak.curve[0], spots[0, 2]) < dist(weak.curve[0], spots[1, 2])
    assert tie.head[1] == tie.curve[3]


@example([(1, 8), (3, 2), (18, 16), (8, 9), (9, 9), (4, 18)])  # a long curve, a candidate between
@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 18), st.integers(1, 18)), min_size=6, max_size=20,
             unique=True),
)  # fmt: skip
def test_links_keep_clear_of_all_that_is_not_theirs(places: list[tuple[int, int]]) -> None:
    spots = {(k, 1): (10.0 * x, 10.0 * y) for k, (x, y) in enumerate(places)}
    digits = [Disc(x, y, 4.0) for x, y in list(spots.values())[4:6]]
    shown = {key: spot for key, spot in spots.items() if key[0] not in (4, 5)}
    drawn = links(step(((0,), 1), ((1,), 1), ((2,), 1)), shown, ROOM, digits, BOX)
    assert len(drawn) in (0, 2)
    for k, bow in enumerate(drawn):
        assert isinstance(bow, Bow)
        for t in range(101):
            x, y = along(bow, t / 100)
            assert 0 < x < 200
            assert 0 < y < 200
            for (cell, _), spot in shown.items():
                if cell not in (k, k + 1):
                    assert dist((x, y), spot) > 0.7 * ROOM
            for digit in digits:
                assert dist((x, y), (digit.x, digit.y)) > 0.8 * digit.radius


def test_a_chain_that_could_only_be_drawn_outside_the_grid_is_not_drawn() -> None:
    spots = {(0, 1): (20.0, 190.0), (1, 1): (180.0, 190.0), (2, 1): (180.0, 100.0)}
    wall = [Disc(100.0, y, 8.0) for y in range(10, 200, 10)]
    chain = step(((0,), 1), ((1,), 1), ((2,), 1))
    assert links(chain, spots, ROOM, (), BOX)
    assert links(chain, spots, ROOM, wall, BOX) == []


def test_a_chain_of_which_a_candidate_is_not_shown_is_not_drawn() -> None:
    """So it is where the chain ends in the cell that it fills."""
    spots = {(0, 1): (20.0, 190.0), (1, 1): (180.0, 190.0)}
    assert links(step(((0,), 1), ((1,), 1), ((2,), 1)), spots, ROOM, (), BOX) == []


def test_a_colouring_has_one_colour_ringed() -> None:
    spots = {(k, 1): (20.0 * k + 10, 30.0) for k in range(4)}
    drawn = links(step(((0, 2), 1), ((1, 3), 1)), spots, ROOM, (), BOX)
    assert [(item.x, item.y) for item in drawn if isinstance(item, Disc)] == [
        spots[0, 1],
        spots[2, 1],
    ]
