"""A third judge of puzzles with rules: constraint models for OR-Tools, written from the manifest's
own text and sharing nothing with the rules' files.

Each rule is one function (model, grid, value): ``grid[r][c]`` are the variables, ``value`` is what
stands under the rule's name. Source of each model: the rule as the trade states it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

Model = cp_model.CpModel
Grid = list[list[Any]]
Rule = tuple[str, Any]


def solutions(
    size: int,
    shape: tuple[int, int] | None,
    clues: Sequence[int],
    rules: Sequence[Rule],
    limit: int = 2,
) -> set[tuple[int, ...]]:
    """Up to ``limit`` solutions. ``shape``: rows and columns of a block; None: a Latin square."""
    model = Model()
    span = range(size)
    grid = [[model.NewIntVar(1, size, f"r{r + 1}c{c + 1}") for c in span] for r in span]
    for k in span:
        model.AddAllDifferent(grid[k])
        model.AddAllDifferent([row[k] for row in grid])
    if shape:
        down, across = shape
        for r in range(0, size, down):
            for c in range(0, size, across):
                model.AddAllDifferent(
                    [grid[r + i][c + j] for i in range(down) for j in range(across)]
                )
    for k, digit in enumerate(clues):
        if digit:
            model.Add(grid[k // size][k % size] == digit)
    for slug, value in rules:
        RULES[slug](model, grid, value)
    return _explore(model, [x for row in grid for x in row], limit)


class _Collector(cp_model.CpSolverSolutionCallback):
    def __init__(self, cells: list[Any], limit: int) -> None:
        super().__init__()
        self.cells, self.limit = cells, limit
        self.found: set[tuple[int, ...]] = set()

    def on_solution_callback(self) -> None:
        self.found.add(tuple(self.Value(x) for x in self.cells))
        if len(self.found) >= self.limit:
            self.StopSearch()


def _explore(model: Model, cells: list[Any], limit: int) -> set[tuple[int, ...]]:
    solver, collector = cp_model.CpSolver(), _Collector(cells, limit)
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    status = solver.Solve(model, collector)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return collector.found


def named(grid: Grid, text: str) -> list[Any]:
    """The variables of cells written as ``r1c1 r1c2``."""
    return [grid[int(r) - 1][int(c) - 1] for r, c in re.findall(r"r(\d+)c(\d+)", text)]


def pictured(grid: Grid, picture: str) -> dict[str, list[Any]]:
    """The variables of each letter of a picture."""
    found: dict[str, list[Any]] = {}
    for r, row in enumerate(picture.split()):
        for c, letter in enumerate(row):
            if letter != ".":
                found.setdefault(letter, []).append(grid[r][c])
    return found


def at_distance(grid: Grid, down: int, right: int) -> list[tuple[Any, Any]]:
    """All pairs of cells, the second so many rows below and columns right of the first."""
    span = range(len(grid))
    return [
        (grid[r][c], grid[r + down][c + right])
        for r in span
        for c in span
        if r + down in span and c + right in span
    ]


def side_by_side(grid: Grid) -> list[tuple[Any, Any]]:
    """All pairs of cells that share a side."""
    return at_distance(grid, 0, 1) + at_distance(grid, 1, 0)


def allowed(model: Model, size: int, a: Any, b: Any, fits: Callable[[int, int], bool]) -> None:
    """Only pairs of digits that ``fits`` accepts stand in two cells."""
    span = range(1, size + 1)
    model.AddAllowedAssignments([a, b], [(d, e) for d in span for e in span if fits(d, e)])


# Rules of houses and edges.


def diagonals(model: Model, grid: Grid, value: None) -> None:
    """Both long diagonals hold every digit."""
    size = len(grid)
    model.AddAllDifferent([grid[k][k] for k in range(size)])
    model.AddAllDifferent([grid[k][size - 1 - k] for k in range(size)])


def extra_regions(model: Model, grid: Grid, value: str) -> None:
    """No letter of the picture has a digit twice."""
    for cells in pictured(grid, value).values():
        model.AddAllDifferent(cells)


def anti_knight(model: Model, grid: Grid, value: None) -> None:
    """Cells a knight's move apart differ."""
    for down, right in ((1, 2), (1, -2), (2, 1), (2, -1)):
        for a, b in at_distance(grid, down, right):
            model.Add(a != b)


def anti_king(model: Model, grid: Grid, value: None) -> None:
    """Cells that touch at a corner differ."""
    for a, b in at_distance(grid, 1, 1) + at_distance(grid, 1, -1):
        model.Add(a != b)


def non_consecutive(model: Model, grid: Grid, value: None) -> None:
    """Neighbours differ by more than 1."""
    for a, b in side_by_side(grid):
        model.Add(a - b != 1)
        model.Add(b - a != 1)


def dots(model: Model, grid: Grid, value: dict[str, Any]) -> None:
    """White: difference 1. Black: ratio 2. All shown: neither, where there is no dot."""
    size, marked = len(grid), []
    for text in value.get("white", []):
        a, b = named(grid, text)
        allowed(model, size, a, b, lambda d, e: abs(d - e) == 1)
        marked.append({a.Name(), b.Name()})
    for text in value.get("black", []):
        a, b = named(grid, text)
        allowed(model, size, a, b, lambda d, e: d == 2 * e or e == 2 * d)
        marked.append({a.Name(), b.Name()})
    if value.get("all-shown") == "true":
        for a, b in side_by_side(grid):
            if {a.Name(), b.Name()} not in marked:
                allowed(
                    model, size, a, b, lambda d, e: abs(d - e) != 1 and d != 2 * e and e != 2 * d
                )


def xv(model: Model, grid: Grid, value: dict[str, Any]) -> None:
    """X: sum 10. V: sum 5. All shown: neither, where there is no letter."""
    marked = []
    for key, total in (("x", 10), ("v", 5)):
        for text in value.get(key, []):
            a, b = named(grid, text)
            model.Add(a + b == total)
            marked.append({a.Name(), b.Name()})
    if value.get("all-shown") == "true":
        for a, b in side_by_side(grid):
            if {a.Name(), b.Name()} not in marked:
                model.Add(a + b != 5)
                model.Add(a + b != 10)


def inequalities(model: Model, grid: Grid, value: list[str]) -> None:
    """One of two cells is smaller."""
    for text in value:
        a, b = named(grid, text)
        if "<" in text:
            model.Add(a < b)
        else:
            model.Add(a > b)


def parity(model: Model, grid: Grid, value: dict[str, str]) -> None:
    """Marked cells are even, or odd."""
    for key, rest in (("even", 0), ("odd", 1)):
        for cell in named(grid, value.get(key, "")):
            model.AddModuloEquality(rest, cell, 2)


# Rules of lines.


def thermometers(model: Model, grid: Grid, value: list[str]) -> None:
    """Each cell is more than the one before."""
    for text in value:
        for a, b in pairwise(named(grid, text)):
            model.Add(a < b)


def arrows(model: Model, grid: Grid, value: list[dict[str, str]]) -> None:
    """The shaft adds up to the circle."""
    for arrow in value:
        model.Add(sum(named(grid, arrow["shaft"])) == named(grid, arrow["circle"])[0])


def palindromes(model: Model, grid: Grid, value: list[str]) -> None:
    """The same from either end."""
    for text in value:
        cells = named(grid, text)
        for a, b in zip(cells, reversed(cells), strict=True):
            model.Add(a == b)


def renban(model: Model, grid: Grid, value: list[str]) -> None:
    """All different, and the greatest is as far from the least as their number allows."""
    size = len(grid)
    for text in value:
        cells = named(grid, " ".join(dict.fromkeys(text.split())))  # a loop names its first again
        least, most = (model.NewIntVar(1, size, f"{end} of {text}") for end in ("least", "most"))
        model.AddAllDifferent(cells)
        model.AddMinEquality(least, cells)
        model.AddMaxEquality(most, cells)
        model.Add(most - least == len(cells) - 1)


def whispers(model: Model, grid: Grid, value: list[str]) -> None:
    """Neighbours are far apart: by half the size, rounded up; the figures are written out."""
    size = len(grid)
    gap = {4: 2, 5: 3, 6: 3, 7: 4, 8: 4, 9: 5, 10: 5, 12: 6, 15: 8, 16: 8}[size]
    for text in value:
        for a, b in pairwise(named(grid, text)):
            allowed(model, size, a, b, lambda d, e: d - e >= gap or e - d >= gap)


def between_lines(model: Model, grid: Grid, value: list[str]) -> None:
    """More than the lesser end, less than the greater."""
    size = len(grid)
    for text in value:
        first, *inside, last = named(grid, text)
        least, most = (model.NewIntVar(1, size, f"{end} of {text}") for end in ("least", "most"))
        model.AddMinEquality(least, [first, last])
        model.AddMaxEquality(most, [first, last])
        for cell in inside:
            model.Add(least < cell)
            model.Add(cell < most)


# Rules of sums and of clues outside the grid.


def cages(model: Model, grid: Grid, value: Any) -> None:
    """All different, and the sum where there is one."""
    if isinstance(value, dict):
        drawn = pictured(grid, value["picture"])
        summed = [(cells, value.get("sums", {}).get(letter)) for letter, cells in drawn.items()]
    else:
        summed = [(named(grid, cage["cells"]), cage.get("sum")) for cage in value]
    for cells, total in summed:
        model.AddAllDifferent(cells)
        if total is not None:
            model.Add(sum(cells) == int(total))


def lines_of_sight(grid: Grid, side: str) -> list[list[Any]]:
    """Rows or columns as they are seen from a side."""
    lines = grid if side in ("left", "right") else [list(line) for line in zip(*grid, strict=True)]
    return [line if side in ("left", "top") else line[::-1] for line in lines]


def sightlines(model: Model, grid: Grid, value: dict[str, str]) -> None:
    """A digit is seen where it is the maximum of all up to it; seen digits are counted."""
    size = len(grid)
    for side, text in value.items():
        for line, clue in zip(lines_of_sight(grid, side), text.split(), strict=True):
            if clue == ".":
                continue
            seen = []
            for k in range(size):
                highest, is_seen = model.NewIntVar(1, size, ""), model.NewBoolVar("")
                model.AddMaxEquality(highest, line[: k + 1])
                model.Add(line[k] == highest).OnlyEnforceIf(is_seen)
                model.Add(line[k] < highest).OnlyEnforceIf(is_seen.Not())
                seen.append(is_seen)
            model.Add(sum(seen) == int(clue))


def sandwich(model: Model, grid: Grid, value: dict[str, str]) -> None:
    """Two cells hold 1 and the highest digit: what is between them makes the sum."""
    size = len(grid)
    for side, text in value.items():
        for line, clue in zip(lines_of_sight(grid, side), text.split(), strict=True):
            if clue == ".":
                continue
            cases = []
            for i in range(size):
                for j in range(i + 1, size):
                    for first, last in ((1, size), (size, 1)):
                        case = model.NewBoolVar("")
                        model.Add(line[i] == first).OnlyEnforceIf(case)
                        model.Add(line[j] == last).OnlyEnforceIf(case)
                        model.Add(sum(line[i + 1 : j]) == int(clue)).OnlyEnforceIf(case)
                        cases.append(case)
            model.AddExactlyOne(cases)


def little_sums(model: Model, grid: Grid, value: list[dict[str, str]]) -> None:
    """The cells along the diagonal, step by step, add up to the sum."""
    size = len(grid)
    for clue in value:
        r, c = (int(k) - 1 for k in clue["from"].removeprefix("r").split("c"))
        down, across = clue["towards"].split("-")
        cells = []
        while r in range(size) and c in range(size):
            cells.append(grid[r][c])
            r += 1 if down == "down" else -1
            c += 1 if across == "right" else -1
        model.Add(sum(cells) == int(clue["sum"]))


RULES: dict[str, Callable[[Model, Grid, Any], None]] = {
    "thermometers": thermometers,
    "arrows": arrows,
    "palindromes": palindromes,
    "renban": renban,
    "whispers": whispers,
    "between-lines": between_lines,
    "diagonals": diagonals,
    "extra-regions": extra_regions,
    "anti-knight": anti_knight,
    "anti-king": anti_king,
    "non-consecutive": non_consecutive,
    "dots": dots,
    "xv": xv,
    "inequalities": inequalities,
    "parity": parity,
    "cages": cages,
    "sightlines": sightlines,
    "sandwich": sandwich,
    "little-sums": little_sums,
}
