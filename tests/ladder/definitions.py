"""Each technique straight from its definition, on sets, slowly: what the engine is held against.

A position is a geometry and a list of candidate sets, empty for a filled cell. Each function gives
the set of what single applications remove, as frozensets of (cell, digit).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations, permutations

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


def lines(geometry: Geometry) -> tuple[list[House], list[House], list[House]]:
    """(rows, columns, houses of other kinds than row, column, block and region)."""
    plain = ("row", "column", "block", "region")
    by_kind = [[h for h in geometry.houses if h.kind == kind] for kind in ("row", "column")]
    return by_kind[0], by_kind[1], [h for h in geometry.houses if h.kind not in plain]


def ways_across(geometry: Geometry) -> list[tuple[list[House], list[House]]]:
    rows, columns, _ = lines(geometry)
    return [(rows, columns), (columns, rows)]


def fish(geometry: Geometry, candidates: Candidates, n: int) -> set[Removal]:
    """A digit's places in n lines lie in n lines across: the rest of those is cleared."""
    found = set()
    for bases, covers in ways_across(geometry):
        for digit in range(1, geometry.size + 1):
            for base in combinations(bases, n):
                if all(places(h, digit, candidates) for h in base):
                    here = set().union(*(places(h, digit, candidates) for h in base))
                    across = [h for h in covers if here & set(h.cells)]
                    if len(across) == n:
                        rest = set().union(*(set(h.cells) for h in across))
                        rest -= set().union(*(set(h.cells) for h in base))
                        found.add(strikes(rest, {digit}, candidates))
    for digit, here, base, cover in fish_of_other_houses(geometry, candidates, n):
        if here <= cells_of(cover):
            found.add(strikes(cells_of(cover) - cells_of(base), {digit}, candidates))
    return found - {frozenset()}


def cells_of(houses: Iterable[House]) -> set[int]:
    return set().union(*(house.cells for house in houses))


def fish_of_other_houses(
    geometry: Geometry, candidates: Candidates, n: int
) -> Iterator[tuple[int, set[int], tuple[House, ...], tuple[House, ...]]]:
    """(digit, its places, bases, covers): n houses without a common place, and n others.

    One of the 2n is neither row, column, block nor region, and has more than two cells. The rest
    are rows of the bases and columns of the covers, or the other way; of two and two, any lines.
    """
    rows, columns, others = lines(geometry)
    others = [h for h in others if len(h.cells) > 2]
    ways = [(rows, columns), (columns, rows)] if n > 2 else [(rows + columns, rows + columns)]
    for bases, covers in ways if others else []:
        whole = [h for h in bases + others if len(h.cells) == geometry.size]
        for digit in range(1, geometry.size + 1):
            held = {h: places(h, digit, candidates) for h in whole}
            for base in combinations([h for h in whole if held[h]], n):
                if any(held[a] & held[b] for a, b in combinations(base, 2)):
                    continue
                here = set().union(*(held[h] for h in base))
                for cover in combinations([h for h in covers + others if h not in base], n):
                    if any(h in others for h in base + cover):
                        yield digit, here, base, cover


def finned(geometry: Geometry, candidates: Candidates, n: int) -> set[Removal]:
    """As a fish, but for fins outside the n lines across; a cell that sees all fins is cleared.

    Given cell by cell.
    """
    found = set()
    peers = geometry.peers
    for bases, covers in ways_across(geometry):
        for digit in range(1, geometry.size + 1):
            for base in combinations(bases, n):
                if not all(places(h, digit, candidates) for h in base):
                    continue
                here = set().union(*(places(h, digit, candidates) for h in base))
                for cover in combinations(covers, n):
                    fins = here - set().union(*(set(h.cells) for h in cover))
                    if not fins:
                        continue
                    for house in cover:
                        for cell in places(house, digit, candidates):
                            if fins <= peers[cell] and not any(cell in h.cells for h in base):
                                found.add(frozenset({(cell, digit)}))
    for digit, here, base, cover in fish_of_other_houses(geometry, candidates, n):
        if fins := here - cells_of(cover):
            for cell in cells_of(cover) - cells_of(base):
                if digit in candidates[cell] and fins <= peers[cell]:
                    found.add(frozenset({(cell, digit)}))
    return found


def two_strings(geometry: Geometry, candidates: Candidates, *, kite: bool) -> set[Removal]:
    """Two pairs of places in two lines, tied at one end by a house; the free ends rule.

    Skyscraper: both lines of a kind, tied by a line of another kind. Kite: lines of two kinds, tied
    by a house of a third.
    """
    found = set()
    straight = [h for h in full_houses(geometry) if not is_area(h)]
    for digit in range(1, geometry.size + 1):
        strings = [(h, p) for h in straight if len(p := places(h, digit, candidates)) == 2]
        for (one, pair), (other, other_pair) in combinations(strings, 2):
            if pair & other_pair:
                continue
            for tie in geometry.houses:
                if kite:
                    fits = one.kind != other.kind and tie.kind not in (one.kind, other.kind)
                else:
                    fits = one.kind == other.kind != tie.kind and not is_area(tie)
                if not fits:
                    continue
                for foot in pair & set(tie.cells):
                    for other_foot in other_pair & set(tie.cells):
                        (top,), (other_top,) = pair - {foot}, other_pair - {other_foot}
                        seen = geometry.peers[top] & geometry.peers[other_top]
                        found.add(strikes(set(seen), {digit}, candidates))
    return found - {frozenset()}


def empty_rectangle(geometry: Geometry, candidates: Candidates) -> set[Removal]:
    """A digit's places in an area lie in two lines, not in one; a pair of places in a line, away
    from the area, has an end on one of the two. On the other, outside the area, what sees the far
    end is cleared.
    """
    found = set()
    straight = [h for h in full_houses(geometry) if not is_area(h)]
    for digit in range(1, geometry.size + 1):
        strings = [p for h in straight if len(p := places(h, digit, candidates)) == 2]
        for area in (h for h in full_houses(geometry) if is_area(h)):
            here = places(area, digit, candidates)
            for near, far in permutations(straight, 2):
                one, other = here & set(near.cells), here & set(far.cells)
                if one | other != here or here in (one, other):
                    continue
                for pair in strings:
                    if pair & set(area.cells):
                        continue
                    for end in pair & set(near.cells):
                        (away,) = pair - {end}
                        seen = (set(far.cells) - set(area.cells)) & geometry.peers[away]
                        found.add(strikes(seen, {digit}, candidates))
    return found - {frozenset()}


def wing(geometry: Geometry, candidates: Candidates, n: int) -> set[Removal]:
    """A pivot of n digits, three digits in all, z in both pincers.

    XY (n = 2): pivot xy, pincers xz and yz that it sees. XYZ (n = 3): pivot xyz, the same pincers.
    """
    found = set()
    unfilled = [cell for cell, ds in enumerate(candidates) if ds]
    for pivot in (c for c in unfilled if len(candidates[c]) == n):
        near = [c for c in unfilled if c in geometry.peers[pivot] and len(candidates[c]) == 2]
        for a, b in combinations(near, 2):
            for z in candidates[a] & candidates[b]:
                x, y = candidates[a] - {z}, candidates[b] - {z}
                if x == y or candidates[pivot] != x | y | ({z} if n == 3 else set()):
                    continue
                seen = geometry.peers[a] & geometry.peers[b]
                if n == 3:
                    seen &= geometry.peers[pivot]
                found.add(strikes(set(seen), {z}, candidates))
    return found - {frozenset()}


def w_wing(geometry: Geometry, candidates: Candidates) -> set[Removal]:
    """Cells a and b of the same xy, apart; x has two places in a house, one seen by each."""
    found = set()
    twos = [cell for cell, ds in enumerate(candidates) if len(ds) == 2]
    for a, b in combinations(twos, 2):
        if candidates[a] != candidates[b] or b in geometry.peers[a]:
            continue
        for x in candidates[a]:
            (y,) = candidates[a] - {x}
            for house in full_houses(geometry):
                pair = places(house, x, candidates)
                if len(pair) != 2 or pair & {a, b}:
                    continue
                p, q = pair
                peers = geometry.peers
                if (p in peers[a] and q in peers[b]) or (q in peers[a] and p in peers[b]):
                    found.add(strikes(set(peers[a] & peers[b]), {y}, candidates))
    return found - {frozenset()}


def almost_locked(geometry: Geometry, candidates: Candidates) -> set[Removal]:
    """Two sets of cells, each in a house with one digit more than cells, that share no cell. Every
    place for x in the one sees every place in the other: what sees all places for another digit z
    of both loses z.
    """
    peers = geometry.peers
    sets: dict[frozenset[int], set[int]] = {}
    for house in geometry.houses:
        unfilled = [cell for cell in house.cells if candidates[cell]]
        for n in range(1, len(unfilled) + 1):
            for group in combinations(unfilled, n):
                digits = set().union(*(candidates[cell] for cell in group))
                if len(digits) == n + 1:
                    sets[frozenset(group)] = digits

    def having(group: frozenset[int], d: int) -> list[int]:
        return [cell for cell in group if d in candidates[cell]]

    found = set()
    for (one, ds), (other, es) in combinations(sets.items(), 2):
        if one & other:
            continue
        for x in ds & es:
            if all(b in peers[a] for a in having(one, x) for b in having(other, x)):
                for z in ds & es - {x}:
                    seen = set.intersection(
                        *(set(peers[cell]) for cell in having(one, z) + having(other, z))
                    )
                    found.add(strikes(seen, {z}, candidates))
    return found - {frozenset()}


def colouring(geometry: Geometry, candidates: Candidates) -> set[Removal]:
    """Cells joined in pairs take two colours; given cell by cell.

    By trying both colourings of every part: a colour with two cells in sight of each other is
    false; a cell outside that sees a cell of each colour is false.
    """
    found = set()
    peers = geometry.peers
    for digit in range(1, geometry.size + 1):
        pairs = [p for h in full_houses(geometry) if len(p := places(h, digit, candidates)) == 2]
        for part in parts(pairs):
            start = min(part)
            true, changed = {start: True}, True
            while changed:
                changed = False
                for a, b in pairs:
                    for p, q in ((a, b), (b, a)):
                        if p in true and q not in true:
                            true[q], changed = not true[p], True
            colours = [{c for c, v in true.items() if v is want} for want in (True, False)]
            false = [k for k in colours if any(b in peers[a] for a, b in combinations(k, 2))]
            gone = set().union(*false)
            if not false:
                gone = {
                    cell
                    for cell, ds in enumerate(candidates)
                    if digit in ds and cell not in part and all(peers[cell] & k for k in colours)
                }
            found |= {frozenset({(cell, digit)}) for cell in gone}
    return found


def parts(pairs: list[set[int]]) -> list[set[int]]:
    """The cells that pairs join, part by part."""
    found: list[set[int]] = []
    for pair in pairs:
        joined = [part for part in found if part & pair]
        found = [part for part in found if not part & pair] + [pair.union(*joined)]
    return found
