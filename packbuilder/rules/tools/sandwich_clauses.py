"""A sandwich as clauses: where its two ends are, which cells and which digits lie between them.

A *place* is a pair of cells for the ends, a *filling* a set of digits that makes the sum. One place
and one filling of the same length are chosen; a digit lies between the ends exactly where its cell
does. Beside an automaton that counts the sum off along the row, this is a fifth of the clauses and
a tenth of the conflicts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

from packbuilder.rules.contract import Clauses

Place = tuple[int, int]


def encode(clauses: Clauses, cells: Sequence[int], total: int) -> None:
    """The digits between the 1 and the highest digit of the cells add up to the total."""
    size = clauses.size
    fillings = {
        filling: clauses.new()
        for length in range(size - 1)
        for filling in combinations(range(2, size), length)
        if sum(filling) == total
    }
    places = {
        (i, i + length + 1): clauses.new()
        for length in sorted({len(filling) for filling in fillings})
        for i in range(size - 1 - length)
    }
    clauses.add(*fillings.values())
    clauses.add(*places.values())
    _lengths(clauses, fillings, places)
    _ends(clauses, cells, places)
    used = {
        d: _either(
            clauses,
            [literal for filling, literal in fillings.items() if d in filling],
            [literal for filling, literal in fillings.items() if d not in filling],
        )
        for d in range(2, size)
    }
    for k, cell in enumerate(cells):
        inside = _either(
            clauses,
            [literal for (i, j), literal in places.items() if i < k < j],
            [literal for (i, j), literal in places.items() if not i < k < j],
        )
        for d, literal in used.items():
            clauses.add(-clauses.digit(cell, d), -inside, literal)
            clauses.add(-clauses.digit(cell, d), inside, -literal)


def _lengths(
    clauses: Clauses, fillings: dict[tuple[int, ...], int], places: dict[Place, int]
) -> None:
    """The place has room for just the digits of the filling."""
    for length in {len(filling) for filling in fillings}:
        fits = [literal for (i, j), literal in places.items() if j - i - 1 == length]
        fillers = [literal for filling, literal in fillings.items() if len(filling) == length]
        for literal in fillers:
            clauses.add(-literal, *fits)
        for literal in fits:
            clauses.add(-literal, *fillers)


def _ends(clauses: Clauses, cells: Sequence[int], places: dict[Place, int]) -> None:
    """1 and the highest digit stand at the two ends of the place."""
    for (i, j), literal in places.items():
        for k in (i, j):
            ends = (clauses.digit(cells[k], 1), clauses.digit(cells[k], clauses.size))
            clauses.add(-literal, *ends)
    for k, cell in enumerate(cells):
        here = [literal for place, literal in places.items() if k in place]
        clauses.add(-clauses.digit(cell, 1), *here)
        clauses.add(-clauses.digit(cell, clauses.size), *here)


def _either(clauses: Clauses, these: Iterable[int], those: Iterable[int]) -> int:
    """A literal that is true where one of these is chosen, false where one of those is."""
    these, those, chosen = list(these), list(those), clauses.new()
    clauses.add(-chosen, *these)
    clauses.add(chosen, *those)
    for literal in these:
        clauses.add(-literal, chosen)
    for literal in those:
        clauses.add(-literal, -chosen)
    return chosen
