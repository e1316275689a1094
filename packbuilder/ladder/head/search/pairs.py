"""Pairs: which marks can be held, alone and two at a time, and what two of them rule out.

A pair is worked out only where a way of one closes a way of the other, else it rules out what the
two do.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from numba import njit

from packbuilder.ladder.head.search.marks import find, see
from packbuilder.ladder.head.search.room import (
    CLASH,
    CLOSED,
    EMPTY,
    FIRST,
    FIRST_OF,
    FULL,
    MARK,
    MOST_MARKS,
    MOST_PAIRS,
    MOST_ROWS,
    PAIR,
    PAIR_COUNT,
    PAIR_SLOTS,
    PAIRS,
    QUEUED,
    SCRATCH,
    SECOND_OF,
    SIZE,
    THIRD_OF,
    WORDS,
    R,
)
from packbuilder.ladder.head.search.trials import beyond, failed, meet, trials

_compiled = njit(nogil=True)


@_compiled
def stored(desk, pool, lst, k):
    """Keep a list of marks in the pool: where it begins."""
    at = pool[0]
    if at + k >= len(pool):
        desk[FULL] = 1
        return 1
    for j in range(k):
        pool[at + j] = lst[j]
    pool[0] = at + k
    return at


@_compiled
def enqueue(desk, queue, m, parent):
    """Put a mark that can be held alone into the queue, once."""
    if queue[m, 0] == 0:
        queue[m, 0] = 1
        queue[m, 1] = -1
        queue[m, 3] = parent
        queue[desk[QUEUED], 4] = m
        desk[QUEUED] += 1


@_compiled
def expand(
    rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue, a
):
    """Find what there is to find with one mark held, if that is not done yet, and queue it."""
    if queue[a, 1] >= 0:
        return
    row = desk[MARK] + (4 * a + 2) * desk[WORDS]
    if beyond(rows, desk, row, desk[EMPTY]):
        see(rows, desk, row, who, seen)
        k = find(rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst)
        queue[a, 1], queue[a, 2] = stored(desk, pool, lst, k), k
    else:
        queue[a, 1], queue[a, 2] = 1, desk[FIRST]
    for j in range(queue[a, 2]):
        enqueue(desk, queue, pool[queue[a, 1] + j], a)


@_compiled
def ruled_out_by_two(rows, desk, ways, a, b, out):
    """What two marks rule out together, as row ``out``. Says whether they are linked."""
    wide = desk[WORDS]
    first, second = desk[MARK] + 4 * a * wide, desk[MARK] + 4 * b * wide
    if meet(rows, desk, first + wide, second):
        desk[FIRST_OF], desk[SECOND_OF], desk[THIRD_OF], desk[CLASH] = a, b, -1, 0
        failed(rows, desk, trials(rows, desk, ways), out)
        return True
    for w in range(wide):
        rows[out + w] = rows[first + 2 * wide + w] | rows[second + 2 * wide + w]
    return False


@_compiled
def pair(desk, pairs, table, a, b, parent):
    """The number of a pair; noted if it is new. -1 where there is no room."""
    if a > b:
        a, b = b, a
    name = a * MOST_MARKS + b
    slot = (name * 2654435761 >> 9) & (PAIR_SLOTS - 1)
    while table[slot] >= 0:
        if pairs[table[slot], 0] == a and pairs[table[slot], 1] == b:
            return table[slot]
        slot = (slot + 1) & (PAIR_SLOTS - 1)
    t = desk[PAIRS]
    if t >= MOST_PAIRS - 1:
        desk[FULL] = 1
        return -1
    desk[PAIRS] = t + 1
    table[slot] = t
    pairs[t, 0], pairs[t, 1], pairs[t, 2], pairs[t, 3], pairs[t, 4], pairs[t, 5] = (
        a,
        b,
        -1,
        0,
        -1,
        parent,
    )
    pairs[t, 6] = 0
    return t


@_compiled
def goals(rows, desk, index, houses, seen, gone, out):
    """The candidates of every cell, and of every digit of a house, of which at most one is left."""
    for w in range(desk[WORDS]):
        rows[out + w] = 0
    for f in range(len(seen) + len(houses) * desk[SIZE]):
        h, d = divmod(f - len(seen), desk[SIZE])
        if f >= len(seen) and houses[h, 0] < desk[SIZE]:
            continue
        for turn in range(2):
            left = 0
            for q in range(desk[SIZE]):
                x = index[f, q] if f < len(seen) else index[houses[h, q + 1], d]
                if x >= 0 and turn:
                    rows[out + (x >> 6)] |= 1 << (x & 63)
                elif x >= 0 and not rows[gone + (x >> 6)] >> (x & 63) & 1:
                    left += 1
            if left > 1:
                break


@_compiled
def carries_on(rows, desk, ways, x, one_line):
    """Can mark x go on, for any trial, where two others have done what they can (`CLOSED` rows)?

    It must have one way left, or none, in a line. Beside two marks of one line each a mark of one
    line may be taken to be the one that is left without a way.
    """
    wide = desk[WORDS]
    single = ways[x, 3] < 0
    for j in range(0, 18, 3):
        if ways[x, j] < 0:
            return False
        if ways[x, j + 1] < 0:
            return True
        p, q = desk[CLOSED] + ways[x, j] * wide, desk[CLOSED] + ways[x, j + 1] * wide
        r = desk[CLOSED] + ways[x, j + 2] * wide
        three = ways[x, j + 2] >= 0
        for w in range(wide):
            if single and one_line:
                v = rows[p + w] & rows[q + w]
                if three:
                    v &= rows[r + w]
            elif three:
                v = (
                    rows[p + w] & rows[q + w]
                    | rows[p + w] & rows[r + w]
                    | rows[q + w] & rows[r + w]
                )
            else:
                v = rows[p + w] | rows[q + w]
            if v:
                return True
    return False


@_compiled
def work_out(rows, desk, ways, pairs, t):
    """What a pair rules out, as row R; kept where it is more than the two marks do, each alone."""
    wide, a, b = desk[WORDS], pairs[t, 0], pairs[t, 1]
    first, second = desk[MARK] + 4 * a * wide, desk[MARK] + 4 * b * wide
    linked = ruled_out_by_two(rows, desk, ways, a, b, desk[R])
    fired = desk[SCRATCH] + 64 * wide
    more = both = 0
    for w in range(wide):
        more |= rows[desk[R] + w] & ~(rows[first + 2 * wide + w] | rows[second + 2 * wide + w])
        if linked:
            both |= rows[fired + w] & rows[fired + wide + w] & ~rows[desk[R] + w]
        else:
            both |= rows[first + 3 * wide + w] & rows[second + 3 * wide + w] & ~rows[desk[R] + w]
    pairs[t, 6] = both != 0
    if more:
        if desk[PAIR_COUNT] >= MOST_ROWS - 1:
            desk[FULL] = 1
            return
        pairs[t, 4] = desk[PAIR] + desk[PAIR_COUNT] * wide
        desk[PAIR_COUNT] += 1
        for w in range(wide):
            rows[pairs[t, 4] + w] = rows[desk[R] + w]
