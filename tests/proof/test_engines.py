"""Both engines against brute force, against judges from outside, and against one another."""

from __future__ import annotations

from functools import cache
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from packbuilder.grid import Geometry, Values, blocks, latin, parse_grid
from packbuilder.proof import kernel, sat
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED
from tests.proof.geometries import MANY, SIZE_4, random_clues, with_houses


@cache
def full_grids() -> list[Values]:
    """All Latin squares of size 4, out of the 24 ** 4 grids whose rows hold each digit once."""
    rows = list(permutations((1, 2, 3, 4)))
    grids = (tuple(v for row in grid for v in row) for grid in product(rows, repeat=4))
    return [grid for grid in grids if latin(4).holds(grid)]


@cache
def brute_force(name: str) -> set[Values]:
    """Every solution of one of SIZE_4, by the plain rule alone. All of them have rows, columns."""
    return {grid for grid in full_grids() if SIZE_4[name].holds(grid)}


@pytest.mark.parametrize("name", SIZE_4)
def test_each_engine_finds_exactly_the_solutions_of_the_plain_rule(name: str) -> None:
    geometry, empty = SIZE_4[name], (0,) * 16
    expected = brute_force(name)
    listed = [tuple(row) for row in kernel.explore(geometry, empty, limit=1000)[0].tolist()]
    assert len(listed) == len(expected)
    assert set(listed) == expected
    assert kernel.count(geometry, empty, limit=1000) == len(expected)
    with sat.Prover(geometry) as prover:
        found, complete = prover.explore(empty, limit=1000)
    assert complete
    assert len(found) == len(expected)
    assert set(found) == expected


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(sorted(SIZE_4)), st.lists(st.integers(0, 4), min_size=16, max_size=16))
def test_any_clues_at_size_4_against_the_plain_rule(name: str, clues: list[int]) -> None:
    geometry = SIZE_4[name]
    fits = [
        grid
        for grid in brute_force(name)
        if all(c in (0, v) for c, v in zip(clues, grid, strict=True))
    ]
    for engine in (kernel, sat):
        assert engine.prove(geometry, clues).solutions == min(2, len(fits))
    assert kernel.count(geometry, clues, limit=1000) == len(fits)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([name for name in MANY if name != "16x16"]),
    st.integers(0, 10**6),
    st.sampled_from([0.3, 0.4, 0.5, 0.7]),
    st.sampled_from([0, 0, 1, 2]),
)
def test_the_engines_agree_on_random_grids(name: str, seed: int, share: float, wrong: int) -> None:
    geometry = MANY[name]
    clues = random_clues(geometry, seed, share, wrong)
    ours, theirs = kernel.prove(geometry, clues), sat.prove(geometry, clues)
    assert ours.solutions == theirs.solutions
    assert ours.solutions != 1 or ours.first == theirs.first
    for verdict in (ours, theirs):
        shown = [verdict.first, verdict.second][: verdict.solutions]
        assert len(set(shown)) == verdict.solutions
        for solution in shown:
            assert solution is not None
            assert geometry.holds(solution)
            assert all(c in (0, v) for c, v in zip(clues, solution, strict=True))


def judged(geometry: Geometry, clues: Values) -> int:
    """The number of solutions up to 2, by OR-Tools CP-SAT: a third judge, made for this test."""
    model = cp_model.CpModel()
    cells = [model.new_int_var(c or 1, c or geometry.size, "") for c in clues]
    for house in geometry.houses:
        model.add_all_different([cells[i] for i in house.cells])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    if solver.solve(model) == cp_model.INFEASIBLE:
        return 0
    first = [solver.value(cell) for cell in cells]
    differs = []
    for cell, value in zip(cells, first, strict=True):
        flag = model.new_bool_var("")
        model.add(cell != value).only_enforce_if(flag)
        differs.append(flag)
    model.add_bool_or(differs)
    return 1 if solver.solve(model) == cp_model.INFEASIBLE else 2


def test_the_grid_that_other_tests_borrow() -> None:
    clues, solved = parse_grid(EXAMPLE, 9), parse_grid(EXAMPLE_SOLVED, 9)
    assert blocks(3, 3).holds(solved)
    assert all(clue in (0, digit) for clue, digit in zip(clues, solved, strict=True))
    assert judged(blocks(3, 3), clues) == 1


@pytest.mark.parametrize("name", MANY)
def test_a_third_judge_agrees(name: str) -> None:
    # A share of clues for each size at which 0, 1 and 2 solutions all come up.
    geometry = MANY[name]
    share = 0.5 if geometry.size > 7 else 0.4
    for seed in range(2 if geometry.size > 9 else 6):
        clues = random_clues(geometry, seed, share, wrong=seed % 3 // 2)
        assert kernel.prove(geometry, clues).solutions == judged(geometry, clues), seed
        if geometry.size <= 9:  # and once more with two clues too few, often not unique
            given = [cell for cell, digit in enumerate(clues) if digit][::4]
            fewer = tuple(0 if cell in given else digit for cell, digit in enumerate(clues))
            assert kernel.prove(geometry, fewer).solutions == judged(geometry, fewer), seed


def test_a_house_with_more_cells_than_digits_fits_no_grid() -> None:
    # Known at once: to search for it is a pigeonhole problem, which no such engine ever ends.
    too_large = with_houses(latin(16), (*range(0, 256, 17), 1))
    assert kernel.prove(too_large, (0,) * 256, node_limit=1000).solutions == 0
    assert sat.prove(too_large, (0,) * 256, time_limit=5).solutions == 0


def test_the_random_grids_reach_every_answer() -> None:
    """The tests above would say little if their grids all had the same number of solutions."""
    answers = [
        kernel.prove(MANY["9x9"], random_clues(MANY["9x9"], seed, share, wrong)).solutions
        for seed in range(10)
        for share, wrong in ((0.3, 0), (0.6, 0), (0.5, 1))
    ]
    assert np.bincount([a for a in answers if a is not None], minlength=3).min() >= 5
