"""Marks: which ones are found from what is seen, and what is seen where candidates are ruled out.

A mark is dropped if another that is found at that moment has, for each of its lines, a line inside
it: who holds that one sees as much, then and later.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from numba import njit

from packbuilder.ladder.head.search.room import (
    CANDIDATES,
    CELL,
    CLASH,
    DIGITS,
    FIRST_OF,
    FULL,
    KEYS,
    MARK,
    MARKS,
    MOST_MARKS,
    NONE,
    POOL,
    SCRATCH,
    SECOND_OF,
    SIZE,
    SLOTS,
    STAMP,
    STAMPS,
    THIRD_OF,
    TIDY,
    WORDS,
    WORK,
    ZERO,
)
from packbuilder.ladder.head.search.trials import failed, trials
from packbuilder.proof.vectors import lowest, popcount

_compiled = njit(nogil=True)


@_compiled
def _mark(rows, desk, names, ways, outdoes, index, key):
    """The number of the mark with this key; made, with its rows, if it is new."""
    slot = (key ^ key >> 13 ^ key >> 27) & (SLOTS - 1)
    while names[slot] >= 0:
        if names[KEYS + names[slot]] == key:
            return names[slot]
        slot = (slot + 1) & (SLOTS - 1)
    m, wide = desk[MARKS], desk[WORDS]
    if m >= MOST_MARKS - 1:
        desk[FULL] = 1
        return 0
    desk[MARKS] = m + 1
    names[slot], names[KEYS + m], names[STAMPS + m] = m, key, 0
    for j in range(18):
        ways[m, j] = -1
    for j in range(MOST_MARKS):
        outdoes[m, j] = 0
    digits, line, cells = key & (1 << DIGITS) - 1, 0, 0
    while cells < 3 and key >> DIGITS + CELL * cells & NONE != NONE:
        cells += 1
    one = digits & (digits - 1) == 0
    for t in range(cells):
        left, at = digits, 3 * line
        while left:
            x = index[key >> DIGITS + CELL * t & NONE, lowest(left)]
            left &= left - 1
            if x >= 0:
                ways[m, t if one else at] = x
                at += 1
        line += 1
    while digits and cells > 1 and not one:
        d, at = lowest(digits), 3 * line
        digits &= digits - 1
        for t in range(cells):
            x = index[key >> DIGITS + CELL * t & NONE, d]
            if x >= 0:
                ways[m, at] = x
                at += 1
        line += 1
    row = desk[MARK] + 4 * m * wide
    for w in range(2 * wide):
        rows[row + w] = 0
    for j in range(18):
        x = ways[m, j]
        if x >= 0:
            rows[row + (x >> 6)] |= 1 << (x & 63)
            for w in range(wide):
                rows[row + wide + w] |= rows[x * wide + w]
    desk[FIRST_OF], desk[SECOND_OF], desk[THIRD_OF], desk[CLASH] = m, -1, -1, 0
    failed(rows, desk, trials(rows, desk, ways), row + 2 * wide)
    for w in range(wide):
        rows[row + 3 * wide + w] = rows[desk[SCRATCH] + 64 * wide + w]
    return m


@_compiled
def _subsets(masks, n, found):
    """Two or three of the masks with as many bits in all, as (chosen, bits); how many."""
    k = 0
    for x in range(n):
        for y in range(x + 1, n):
            two = masks[x] | masks[y]
            bits = popcount(two)
            if bits > 3:
                continue
            if bits == 2:
                found[k, 0], found[k, 1] = 1 << x | 1 << y, two
                k += 1
            for z in range(y + 1, n):
                if popcount(two | masks[z]) == 3:
                    found[k, 0], found[k, 1] = 1 << x | 1 << y | 1 << z, two | masks[z]
                    k += 1
    return k


@_compiled
def _key(digits, chosen, cells):
    """The key of digits in those of the cells that are chosen."""
    key, at = digits, DIGITS
    while at < DIGITS + 3 * CELL:
        key |= (cells[lowest(chosen)] if chosen else NONE) << at
        at += CELL
        chosen &= chosen - 1
    return key


@_compiled
def _outdone(ways, a, b):
    """Has mark b, for each line of mark a, a line inside it?"""
    for i in range(0, 18, 3):
        if ways[a, i] < 0:
            break
        found = False
        for j in range(0, 18, 3):
            if ways[b, j] < 0:
                break
            inside = True
            for q in range(3):
                x = ways[b, j + q]
                if x >= 0 and x != ways[a, i] and x != ways[a, i + 1] and x != ways[a, i + 2]:
                    inside = False
            if inside:
                found = True
                break
        if not found:
            return False
    return True


@_compiled
def _is_outdone(ways, outdoes, lst, k, a):
    """Does another of the first k marks of the list outdo mark a?"""
    for f in range(k):
        b = lst[f]
        if b < 0 or b == a:
            continue
        if outdoes[a, b] == 0:
            outdoes[a, b] = 2 if _outdone(ways, a, b) else 1
        if outdoes[a, b] == 2:
            return True
    return False


@_compiled
def find(rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst):
    """The numbers of all marks that are found from what is seen, in ``lst``; how many.

    ``houses`` has a row a house: how many cells, then the cells in order. ``sets`` and ``found``
    are room. Where ``desk[TIDY]``, those that others outdo are left out.
    """
    n, size = 0, desk[SIZE]
    cells, masks, digits = sets[0], sets[1], sets[2]
    for i in range(len(seen)):
        if popcount(seen[i]) == 2:
            cells[0] = i
            lst[n] = _key(seen[i], desk[ZERO] + 1, cells)
            n += 1
    for h in range(len(houses)):
        count = have = desk[ZERO]
        for p in range(1, houses[h, 0] + 1):
            if seen[houses[h, p]]:
                cells[count], masks[count] = houses[h, p], seen[houses[h, p]]
                count += 1
        if n > len(lst) - 4000:
            desk[FULL] = 1
            return 0
        for j in range(_subsets(masks, count, found)):
            lst[n] = _key(found[j, 1], found[j, 0], cells)
            n += 1
        for d in range(size if houses[h, 0] == size else 0):
            places = 0
            for p in range(count):
                places |= (seen[cells[p]] >> d & 1) << p
            if places:
                masks[have], digits[have] = places, d
                have += 1
                if 2 <= popcount(places) <= 3:
                    lst[n] = _key(1 << d, places, cells)
                    n += 1
        for j in range(_subsets(masks, have, found)):
            left, those = found[j, 0], 0
            while left:
                those |= 1 << digits[lowest(left)]
                left &= left - 1
            lst[n] = _key(those, found[j, 1], cells)
            n += 1
    desk[STAMP] += 1
    desk[WORK] += n // 2
    k = desk[ZERO]
    for j in range(n):
        m = _mark(rows, desk, names, ways, outdoes, index, lst[j])
        if names[STAMPS + m] != desk[STAMP]:
            names[STAMPS + m] = desk[STAMP]
            lst[k] = m
            k += 1
    n = 0
    for j in range(k):
        if desk[TIDY] and _is_outdone(ways, outdoes, lst, k, lst[j]):
            lst[j] = -1
    for j in range(k):
        if lst[j] >= 0:
            lst[n] = lst[j]
            n += 1
    return n


@_compiled
def see(rows, desk, row, who, seen):
    """What is seen where a row is ruled out."""
    for i in range(len(seen)):
        seen[i] = 0
    for x in range(desk[CANDIDATES]):
        if not rows[row + (x >> 6)] >> (x & 63) & 1:
            seen[who[x] >> 4] |= 1 << (who[x] & 15)


@_compiled
def in_sight(rows, desk, index, houses, seen):
    """Adds the placements that are seen to the row of placements; whether there are any."""
    any_, pool = False, desk[POOL]
    for i in range(len(seen)):
        m = seen[i]
        if m and m & (m - 1) == 0:
            x = index[i, lowest(m)]
            rows[pool + (x >> 6)] |= 1 << (x & 63)
            any_ = True
    for h in range(len(houses)):
        if houses[h, 0] < desk[SIZE]:
            continue
        once = twice = 0
        for p in range(1, houses[h, 0] + 1):
            twice |= once & seen[houses[h, p]]
            once |= seen[houses[h, p]]
        ones = once & ~twice
        for p in range(1, houses[h, 0] + 1 if ones else 0):
            m = seen[houses[h, p]] & ones
            while m:
                x = index[houses[h, p], lowest(m)]
                rows[pool + (x >> 6)] |= 1 << (x & 63)
                m &= m - 1
                any_ = True
    return any_


@_compiled
def weight_of(rows, desk, m):
    """How many ways a mark has: what there is to keep in mind."""
    n = 0
    for w in range(desk[WORDS]):
        n += popcount(rows[desk[MARK] + 4 * m * desk[WORDS] + w])
    return n
