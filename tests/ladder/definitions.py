"""Each technique straight from its definition, on sets, slowly: what the engine is held against.

A position is a geometry and a list of candidate sets, empty for a filled cell. Each function gives
the set of what single applications remove, as frozensets of (cell, digit).
"""

from __future__ import annotations

from itertools import combinations

from packbuilder.grid import Geometry, House

Candidates = list[set[int]]
Removal = frozenset[tuple[int, int]]


def is_area(house: House) -> bool:
    return house.kind in ("block", "region")


def full_houses(geometry: Geometry) -> list[House]:
    return [house for house in geometry.houses if len(house.cells) == geometry.size]


def places(house: House, digit: int, candidates: Candidates) -> set[int]:
    return {cell for cell in house.cells if digit in candidates[cell]}


def strikes(cells: set[int], digits: set[int], candidates: Candidates) -> Removal:
    return frozenset((c, d) for c in cells for d in digits if d in candidates[c])


def held(geometry: Geometry, candidates: Candidates, *, areas: bool) -> set[Removal]:
    """A digit of one house whose places all lie in a second one leaves the rest of the second."""
    found = set()
    for house in full_houses(geometry):
        if is_area(house) != areas:
            continue
        for other in geometry.houses:
            meet = set(house.cells) & set(other.cells)
            if other is house or len(meet) < 2:
                continue
            for digit in range(1, geometry.size + 1):
                here = places(house, digit, candidates)
                if here and here <= meet:
                    found.add(strikes(set(other.cells) - meet, {digit}, candidates))
    return found - {frozenset()}


def naked(geometry: Geometry, candidates: Candidates, n: int, *, locked: bool) -> set[Removal]:
    """n cells of a house with n digits between them: every house that has them all is cleared.

    Locked: the cells lie in two houses, neither within the other.
    """
    found = set()
    for house in geometry.houses:
        unfilled = [cell for cell in house.cells if candidates[cell]]
        for group in combinations(unfilled, n):
            digits = set().union(*(candidates[cell] for cell in group))
            if len(digits) != n:
                continue
            around = [set(h.cells) for h in geometry.houses if set(group) <= set(h.cells)]
            two = any(not a <= b and not b <= a for a, b in combinations(around, 2))
            if locked and not two:
                continue
            found.add(strikes(set().union(*around) - set(group), digits, candidates))
    return found - {frozenset()}


def hidden(geometry: Geometry, candidates: Candidates, n: int) -> set[Removal]:
    """n digits with n places between them in a house: those cells lose all other digits."""
    found = set()
    everything = set(range(1, geometry.size + 1))
    for house in full_houses(geometry):
        open_digits = [d for d in everything if places(house, d, candidates)]
        for group in combinations(open_digits, n):
            cells = set().union(*(places(house, d, candidates) for d in group))
            if len(cells) == n:
                found.add(strikes(cells, everything - set(group), candidates))
    return found - {frozenset()}


def singles(geometry: Geometry, candidates: Candidates) -> set[tuple[str, int, int]]:
    """(slug and rung, cell, digit) of every single, under each name that fits."""
    found = set()
    for house in full_houses(geometry):
        unfilled = [cell for cell in house.cells if candidates[cell]]
        for digit in range(1, geometry.size + 1):
            here = places(house, digit, candidates)
            if len(here) == 1:
                cell = next(iter(here))
                found.add(("area" if is_area(house) else "line", cell, digit))
                if len(unfilled) == 1:
                    found.add(("last cell", cell, digit))
    for cell, left in enumerate(candidates):
        if len(left) == 1:
            found.add(("cell", cell, next(iter(left))))
    return found
