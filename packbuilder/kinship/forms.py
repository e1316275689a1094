"""Forms of puzzles: in plain Python for a few, compiled for many."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from packbuilder.grid import Geometry, Values
from packbuilder.kinship.marks import Marked, laid, marked
from packbuilder.kinship.searching import PLAIN, Means, Search
from packbuilder.rules.contract import Part

MANY = 2_000
"""Grids for which the search is compiled: in plain Python they would take half a second."""


@dataclass(frozen=True)
class Form:
    """The canonical form of a puzzle, and what makes it of the puzzle.

    ``key`` is the whole form. ``order`` gives each line's place in it (rows, then columns, numbered
    on), ``numbers`` that of each digit, -1 for one that is no clue. ``turned`` says whether every
    digit d became size + 1 - d before.
    """

    key: bytes
    order: tuple[int, ...]
    numbers: tuple[int, ...]
    turned: bool = False


def form_of(geometry: Geometry, clues: Values, parts: Sequence[Part] = ()) -> Form:
    """The form of a puzzle. Raises ValueError where the clues do not fit."""
    _check(geometry, clues)
    ways = list(_ways(geometry, clues, parts))
    found = [_searched(puzzle, values) for puzzle, values in ways]
    if None in found:
        found = [_drawn(puzzle, values) for puzzle, values in ways]
    forms = [replace(form, turned=k > 0) for k, form in enumerate(found) if form]
    return min(forms, key=lambda form: form.key)


def keys_of(geometry: Geometry, grids: Sequence[Values]) -> Iterator[bytes]:
    """The key of each of many grids without rules, in order. Raises ValueError as `form_of`."""
    for clues in grids:
        _check(geometry, clues)
    puzzle = marked(geometry)
    search = Search.of(puzzle, _means(len(grids)))
    heads = {row: _head(puzzle, row) for row in range(2 * puzzle.size)}
    for start in range(0, len(grids), MANY):
        batch = grids[start : start + MANY]
        results = search.run(batch)
        for k, clues in enumerate(batch):
            if results.nodes[k] < 0:
                yield form_of(geometry, clues).key
            else:
                yield heads[int(results.orders[k][0])] + search.marks_in(results, k)


def ready() -> None:
    """Compile the search, or load it from the cache: from now on, few grids too are quick."""
    global _compiled
    from packbuilder.kinship.compiled import means

    _compiled = means()


_compiled: Means | None = None


def _means(grids: int) -> Means:
    if grids >= MANY:
        ready()
    return _compiled or PLAIN


def _check(geometry: Geometry, clues: Values) -> None:
    if len(clues) != geometry.cell_count:
        raise ValueError(f"{len(clues)} cells given; the grid has {geometry.cell_count}")


def _ways(
    geometry: Geometry, clues: Values, parts: Sequence[Part]
) -> Iterator[tuple[Marked, Values]]:
    """The puzzle; then the same with every digit turned round, where rules go by their values."""
    puzzle = marked(geometry, parts)
    yield puzzle, clues
    if puzzle.renaming == "reversal":
        values = tuple(geometry.size + 1 - d if d else 0 for d in clues)
        yield marked(geometry, parts, turned=True), values


def _searched(puzzle: Marked, clues: Values) -> Form | None:
    """The least of all ways to write the puzzle down; None where there are too many to look at."""
    search = Search.of(puzzle, _means(1))
    results = search.run([clues])
    if results.nodes[0] < 0 and search.means is PLAIN:
        ready()
        return _searched(puzzle, clues)
    if results.nodes[0] < 0:
        return None
    order, numbers = (tuple(map(int, one[0])) for one in (results.orders, results.numbers))
    key = _head(puzzle, order[0]) + search.marks_in(results, 0)
    return Form(key, order, numbers[: puzzle.size])


def _head(puzzle: Marked, first_row: int) -> bytes:
    shape = puzzle.shape if first_row < puzzle.size else puzzle.shape[::-1]
    return repr((puzzle.size, shape, puzzle.kinds)).encode()


def _drawn(puzzle: Marked, clues: Values) -> Form:
    """The least of the eight ways to lay the page, with digits numbered as they appear."""
    forms = []
    for turn in product((False, True), repeat=3):
        order = laid(puzzle.size, *turn)
        marks, numbers = _written(puzzle, clues, order)
        forms.append(Form(b"drawn " + _head(puzzle, order[0]) + marks, order, numbers))
    return min(forms, key=lambda form: form.key)


def _written(puzzle: Marked, clues: Values, order: Sequence[int]) -> tuple[bytes, tuple[int, ...]]:
    """The marks with their lines in an order, and the numbers of the digits."""
    size = puzzle.size

    def place(cell: int) -> int:
        a, b = sorted((order[cell // size], order[size + cell % size]))
        return a * size + b - size

    numbers = [-1] * size
    given = sorted((place(cell), digit - 1) for cell, digit in enumerate(clues) if digit)
    for _, digit in given:
        if numbers[digit] < 0:
            numbers[digit] = max(numbers) + 1
    lines = [(at, puzzle.labels[digit], numbers[digit]) for at, digit in given]
    relations = sorted(
        (relation.says, sorted(zip(relation.roles, map(place, relation.cells), strict=True)))
        for relation in puzzle.relations
    )
    return repr((lines, relations)).encode(), tuple(numbers)
