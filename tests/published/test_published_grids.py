"""Published grids with published solutions: both engines and a third judge must find them."""

from __future__ import annotations

import pytest
from ortools.sat.python import cp_model

from packbuilder.grid import blocks, format_grid, parse_grid
from packbuilder.proof import kernel, sat
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

PUBLISHED = [
    pytest.param(
        # The example grid of a free encyclopaedia's article "Sudoku" (from memory).
        EXAMPLE,
        EXAMPLE_SOLVED,
        id="encyclopaedia",
    ),
    pytest.param(
        # Project Euler, problem 96, "Grid 01", printed there with its solution (from memory).
        "003020600900305001001806400008102900700000008006708200002609500800203009005010300",
        "483921657967345821251876493548132976729564138136798245372689514814253769695417382",
        id="euler-96",
    ),
    pytest.param(
        # Newspapers of June 2012, printed as "the hardest", with its solution (from memory).
        "8..........36......7..9.2...5...7.......457.....1...3...1....68..85...1..9....4..",
        "812753649943682175675491283154237896369845721287169534521974368438526917796318452",
        id="newspapers-2012",
    ),
]


@pytest.mark.parametrize(("grid", "solution"), PUBLISHED)
def test_both_engines_find_the_published_solution(grid: str, solution: str) -> None:
    clues = parse_grid(grid, 9)
    for engine in (kernel, sat):
        verdict = engine.prove(blocks(3, 3), clues)
        assert verdict.solutions == 1
        assert verdict.first is not None
        assert format_grid(verdict.first) == solution


@pytest.mark.parametrize(("grid", "solution"), PUBLISHED)
def test_cp_sat_agrees(grid: str, solution: str) -> None:
    """A model written here, from the rules of the game alone, has that solution and no other."""
    model = cp_model.CpModel()
    cell = [[model.new_int_var(1, 9, f"r{r}c{c}") for c in range(9)] for r in range(9)]
    for k in range(9):
        model.add_all_different(cell[k])
        model.add_all_different([cell[r][k] for r in range(9)])
        top, left = 3 * (k // 3), 3 * (k % 3)
        model.add_all_different([cell[top + i][left + j] for i in range(3) for j in range(3)])
    other = []
    for r in range(9):
        for c in range(9):
            if grid[9 * r + c] in "123456789":
                model.add(cell[r][c] == int(grid[9 * r + c]))
            differs = model.new_bool_var("")
            model.add(cell[r][c] != int(solution[9 * r + c])).only_enforce_if(differs)
            other.append(differs)
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    assert "".join(str(solver.value(v)) for row in cell for v in row) == solution
    model.add_bool_or(other)
    assert solver.solve(model) == cp_model.INFEASIBLE
