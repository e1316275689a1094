"""Techniques that take a puzzle to have one solution, where rules say more than houses."""

from __future__ import annotations

from packbuilder.grid import blocks
from packbuilder.ladder.path import walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.table import ASSUMING_UNIQUE, UNIQUENESS
from packbuilder.rules import kinds

NINE = blocks(3, 3)


def test_they_go_where_a_rule_may_tell_two_digits_apart() -> None:
    rising = kinds()["thermometers"].read(["r1c1 r1c2"], NINE)
    slugs = with_rules(ASSUMING_UNIQUE, rising).slugs
    assert not {one.slug for one in UNIQUENESS} & set(slugs)
    assert {"x-wing", "thermometer-rise"} <= set(slugs)
    houses = kinds()["diagonals"].read(None, NINE)
    assert with_rules(ASSUMING_UNIQUE, houses) is ASSUMING_UNIQUE


def test_a_grid_that_they_would_solve_wrongly() -> None:
    # A 4x4 grid of which r1c1, r1c2, r3c1 and r3c2 are left open, with 1 and 2 exchangeable but
    # for the arrow in r1c1 < r1c2: the ladder must end in 1 2 / 2 1 (by hand).
    base = blocks(2, 2)
    rising = kinds()["thermometers"].read(["r1c1 r1c2"], base)
    clues = (0, 0, 3, 4, 3, 4, 1, 2, 0, 0, 4, 3, 4, 3, 2, 1)
    path = walk(base, clues, ladder=with_rules(ASSUMING_UNIQUE, rising))
    assert path.solved
    assert path.position_before(len(path.steps)).values[:2] == (1, 2)
