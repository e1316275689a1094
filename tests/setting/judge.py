"""A judge from outside: OR-Tools CP-SAT says how many solutions a grid has."""

from __future__ import annotations

from ortools.sat.python import cp_model

from packbuilder.grid import Geometry, Values


def solutions(geometry: Geometry, clues: Values, limit: int = 2) -> list[Values]:
    """Up to ``limit`` different solutions, by a model of all-different houses."""
    model = cp_model.CpModel()
    cells = [
        model.new_int_var(clue or 1, clue or geometry.size, f"cell {i}")
        for i, clue in enumerate(clues)
    ]
    for house in geometry.houses:
        model.add_all_different([cells[i] for i in house.cells])
    found: list[Values] = []

    class Collect(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            found.append(tuple(self.value(cell) for cell in cells))
            if len(found) >= limit:
                self.stop_search()

    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    solver.solve(model, Collect())
    return found
