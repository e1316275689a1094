"""The no-notes solve straight from its definition, on sets, slowly: what the solver is judged by.

A mark is (cells, digits), two frozensets. Held sets are searched one by one: every mark that can be
found may be added, useful or not, and every one forgotten. Each digit is tried by itself.
"""

from __future__ import annotations

from itertools import combinations

from packbuilder.grid import Geometry, Values

Fact = tuple[frozenset[int], frozenset[int]]
Held = frozenset[Fact]
Seen = list[set[int]]
Placement = tuple[int, int]
Line = frozenset[Placement]
"""Ways of which one must hold."""


def by_placed_digits(geometry: Geometry, values: Values) -> Seen:
    """Of each empty cell: what no placed digit in its houses rules out. A filled cell: nothing."""
    found: Seen = []
    for cell, digit in enumerate(values):
        placed = {values[peer] for peer in geometry.peers[cell]}
        found.append(set() if digit else set(range(1, geometry.size + 1)) - placed)
    return found


def lines_of(fact: Fact, plain: Seen) -> list[Line]:
    """What must hold where a mark is held, each as its ways."""
    cells, digits = fact
    if len(digits) == 1:
        return [frozenset((cell, d) for cell in cells for d in digits)]
    if len(cells) == 1:
        return [frozenset((cell, d) for cell in cells for d in digits)]
    ways = {(cell, d) for cell in cells for d in digits if d in plain[cell]}
    of_cells = [frozenset(way for way in ways if way[0] == cell) for cell in cells]
    return of_cells + [frozenset(way for way in ways if way[1] == d) for d in digits]


def closes(geometry: Geometry, one: Placement, other: Placement) -> bool:
    """Does writing the one close the other?"""
    if one[0] == other[0]:
        return one[1] != other[1]
    return one[1] == other[1] and other[0] in geometry.peers[one[0]]


def fails(geometry: Geometry, tried: Placement, lines: list[Line]) -> bool:
    """Does a digit, written in its cell, leave a held mark without a way?"""
    written = {tried}
    while True:
        moved = False
        for line in lines:
            ways = [way for way in line if not any(closes(geometry, one, way) for one in written)]
            if not ways:
                return True
            if len(ways) == 1 and ways[0] not in written:
                written.add(ways[0])
                moved = True
        if not moved:
            return False


def seen(geometry: Geometry, values: Values, held: Held) -> Seen:
    """Of each empty cell: what is left by placed digits and by the held marks."""
    plain = by_placed_digits(geometry, values)
    lines = [line for fact in held for line in lines_of(fact, plain)]
    return [
        {d for d in digits if not fails(geometry, (cell, d), lines)}
        for cell, digits in enumerate(plain)
    ]


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
    found: set[Fact] = {
        (frozenset({cell}), frozenset(digits))
        for cell, digits in enumerate(what)
        if len(digits) == 2
    }
    for house in geometry.houses:
        must_hold_all = len(house.cells) == geometry.size
        if must_hold_all:
            for digit in range(1, geometry.size + 1):
                cells = frozenset(cell for cell in house.cells if digit in what[cell])
                if len(cells) in (2, 3):
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
        if found:
            return found
        more = {held | {fact} for fact in facts(geometry, what)} if len(held) < k else set()
        for other in more | {held - {fact} for fact in held}:
            if other not in reached:
                reached.add(other)
                todo.append(other)
    return found


def load(geometry: Geometry, values: Values, most: int) -> tuple[int | None, Values]:
    """The mark load up to ``most``, or None, and the digits as far as it goes."""
    load, now = 0, list(values)
    while 0 in now:
        for k in range(most + 1):
            if found := in_sight(geometry, tuple(now), k):
                break
        else:
            return None, tuple(now)
        load = max(load, k)
        for cell, digit in found:
            now[cell] = digit
    return load, tuple(now)
