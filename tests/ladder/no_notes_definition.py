"""The no-notes solve straight from its definition, on sets, slowly: what the solver is judged by.

A mark is (cells, digits), two frozensets: these digits are in these cells. Held sets are searched
one by one: every mark that can be found may be added, useful or not, and every one forgotten.
"""

from __future__ import annotations

from itertools import combinations

from packbuilder.grid import Geometry, Values

Fact = tuple[frozenset[int], frozenset[int]]
Held = frozenset[Fact]
Seen = list[set[int]]
Placement = tuple[int, int]


def seen(geometry: Geometry, values: Values, held: Held) -> Seen:
    """Of each empty cell: what no placed digit in its houses rules out, less what marks rule out.

    A filled cell has the empty set.
    """
    found: Seen = []
    for cell, digit in enumerate(values):
        placed = {values[peer] for peer in geometry.peers[cell]}
        found.append(set() if digit else set(range(1, geometry.size + 1)) - placed)
    for cells, digits in held:
        for house in geometry.houses:
            if cells <= set(house.cells):
                for cell in set(house.cells) - cells:
                    found[cell] -= digits
        if len(digits) > 1:
            for cell in cells:
                found[cell] &= digits
    return found


def placements(geometry: Geometry, what: Seen) -> set[Placement]:
    """A cell with one digit left, or a digit with one cell left in a house that must hold it."""
    found = {(cell, min(digits)) for cell, digits in enumerate(what) if len(digits) == 1}
    for house in geometry.houses:
        if len(house.cells) == geometry.size:
            for digit in range(1, geometry.size + 1):
                cells = [cell for cell in house.cells if digit in what[cell]]
                if len(cells) == 1:
                    found.add((cells[0], digit))
    return found


def facts(geometry: Geometry, what: Seen) -> set[Fact]:
    """Every mark that can be found from what is seen."""
    found: set[Fact] = set()
    for house in geometry.houses:
        must_hold_all = len(house.cells) == geometry.size
        if must_hold_all:
            for digit in range(1, geometry.size + 1):
                cells = frozenset(cell for cell in house.cells if digit in what[cell])
                second = any(h is not house and cells <= set(h.cells) for h in geometry.houses)
                if len(cells) in (2, 3) and second:
                    found.add((cells, frozenset({digit})))
        unfilled = [cell for cell in house.cells if what[cell]]
        for n in (2, 3):
            for group in combinations(unfilled, n):
                digits = set().union(*(what[cell] for cell in group))
                if len(digits) == n:
                    found.add((frozenset(group), frozenset(digits)))
                elsewhere = set().union(*(what[c] for c in unfilled if c not in group))
                if must_hold_all and len(digits - elsewhere) == n:
                    found.add((frozenset(group), frozenset(digits - elsewhere)))
    return found


def in_sight(geometry: Geometry, values: Values, k: int) -> set[Placement]:
    """Every placement that can be seen with at most k marks held at a time."""
    start: Held = frozenset()
    reached, todo, found = {start}, [start], set()
    while todo:
        held = todo.pop()
        what = seen(geometry, values, held)
        found |= placements(geometry, what)
        more = {held | {fact} for fact in facts(geometry, what)} if len(held) < k else set()
        for other in more | {held - {fact} for fact in held}:
            if other not in reached:
                reached.add(other)
                todo.append(other)
    return found


def at_all(geometry: Geometry, values: Values) -> set[Placement]:
    """Every placement that can be seen with all marks held that there are."""
    held: Held = frozenset()
    while True:
        what = seen(geometry, values, held)
        more = held | facts(geometry, what)
        if more == held:
            return placements(geometry, what)
        held = more


def load(geometry: Geometry, values: Values, pick: int = 0) -> tuple[int | None, Values]:
    """The mark load, or None where no marks will do, and the digits as far as it goes.

    ``pick`` says which of several placements is taken.
    """
    most, now = 0, list(values)
    while 0 in now:
        k = 0
        if not at_all(geometry, tuple(now)):
            return None, tuple(now)
        while not (found := in_sight(geometry, tuple(now), k)):
            k += 1
        most = max(most, k)
        cell, digit = sorted(found)[pick % len(found)]
        now[cell] = digit
    return most, tuple(now)
