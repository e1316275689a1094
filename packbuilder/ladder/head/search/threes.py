"""Threes: first all pairs that can be held; then each with every mark found in what it leaves.

Three marks rule out more than their pairs do only where two have both fired in a trial and the
third has a line with at most one way left, which is known for all by bits.
"""

# ruff: noqa: SIM109
# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from numba import njit

from packbuilder.ladder.head.search.marks import find, in_sight, see
from packbuilder.ladder.head.search.pairs import (
    carries_on,
    enqueue,
    expand,
    goals,
    pair,
    stored,
    work_out,
)
from packbuilder.ladder.head.search.room import (
    BASE,
    BUDGET,
    CANDIDATES,
    CHOSEN,
    CLASH,
    CLOSED,
    EMPTY,
    EVER,
    FIRE,
    FIRST,
    FIRST_OF,
    FULL,
    GOAL,
    MARK,
    MEMO,
    MEMO_COUNT,
    MEMO_SLOTS,
    MOST_ROWS,
    NEXT,
    PAIR_COUNT,
    PAIR_SLOTS,
    PAIRS,
    QUEUED,
    R3,
    SCRATCH,
    SECOND_OF,
    THIRD_OF,
    WORDS,
    WORK,
    ZERO,
    R,
)
from packbuilder.ladder.head.search.trials import beyond, failed, spread, trials

_compiled = njit(nogil=True)


@_compiled
def three_marks(
    rows,
    desk,
    names,
    ways,
    outdoes,
    index,
    who,
    houses,
    seen,
    sets,
    found,
    lst,
    pool,
    queue,
    pairs,
    table,
    memo,
):
    """Placements that three marks bring into sight. `two_marks` has been asked before."""
    wide, nx, done = desk[WORDS], desk[CANDIDATES], 0
    desk[PAIRS] = desk[PAIR_COUNT] = desk[MEMO_COUNT] = 0
    for j in range(PAIR_SLOTS):
        table[j] = -1
    for j in range(MEMO_SLOTS):
        memo[j, 0] = -1
    for phase in range(2):  # first without the marks that only two marks show
        t = desk[ZERO]
        while t < desk[PAIRS] or done < desk[QUEUED]:
            if desk[FULL] or desk[WORK] > desk[BUDGET]:
                desk[FULL] = 1
                return False
            if t >= desk[PAIRS]:
                a = queue[done, 4]
                done += 1
                expand(
                    rows,
                    desk,
                    names,
                    ways,
                    outdoes,
                    index,
                    who,
                    houses,
                    seen,
                    sets,
                    found,
                    lst,
                    pool,
                    queue,
                    a,
                )
                for j in range(queue[a, 2]):
                    if pool[queue[a, 1] + j] != a:
                        pair(desk, pairs, table, a, pool[queue[a, 1] + j], desk[ZERO] - 1)
                continue
            a, b = pairs[t, 0], pairs[t, 1]
            if pairs[t, 2] < 0:
                work_out(rows, desk, ways, pairs, t)
                slot = 0
                if beyond(rows, desk, desk[R], desk[EMPTY]):
                    for w in range(wide):
                        slot = (slot ^ rows[desk[R] + w]) * 0x2545F4914F6CDD1D
                        slot ^= slot >> 29
                    slot &= MEMO_SLOTS - 1
                    while memo[slot, 0] >= 0:
                        row = desk[MEMO] + memo[slot, 0] * wide
                        if not beyond(rows, desk, row, desk[R]) and not beyond(
                            rows, desk, desk[R], row
                        ):
                            break
                        slot = (slot + 1) & (MEMO_SLOTS - 1)
                    if memo[slot, 0] < 0:
                        if desk[MEMO_COUNT] >= MOST_ROWS - 1:
                            desk[FULL] = 1
                            return False
                        for w in range(wide):
                            rows[desk[MEMO] + desk[MEMO_COUNT] * wide + w] = rows[desk[R] + w]
                        memo[slot, 0] = desk[MEMO_COUNT]
                        desk[MEMO_COUNT] += 1
                        see(rows, desk, desk[R], who, seen)
                        k = find(
                            rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst
                        )
                        memo[slot, 1], memo[slot, 2] = stored(desk, pool, lst, k), k
                    pairs[t, 2], pairs[t, 3] = memo[slot, 1], memo[slot, 2]
                else:
                    pairs[t, 2], pairs[t, 3] = 1, desk[FIRST]
            for j in range(pairs[t, 3] if phase else 0):
                x = pool[pairs[t, 2] + j]
                if x != a and x != b:
                    enqueue(desk, queue, x, -2 - t)
                    pair(desk, pairs, table, a, x, t)
                    pair(desk, pairs, table, b, x, t)
            t += 1
        # Which candidates can three marks rule out at all? All marks at once, again and again: in
        # a trial a mark fires once, a set of three twice; so six rounds see all that three do.
        for w in range(wide):
            rows[desk[EVER] + w] = 0
        for w in range(nx * wide):
            rows[desk[CLOSED] + w] = rows[w]
        for _ in range(6):
            for w in range(nx * wide):
                rows[desk[NEXT] + w] = rows[desk[CLOSED] + w]
            for q in range(desk[QUEUED]):
                desk[FIRST_OF], desk[SECOND_OF], desk[THIRD_OF], desk[CLASH] = (
                    queue[q, 4],
                    -1,
                    -1,
                    desk[CLOSED],
                )
                failed(rows, desk, trials(rows, desk, ways), desk[R3])
                for w in range(wide):
                    rows[desk[EVER] + w] |= rows[desk[R3] + w]
                spread(rows, desk, desk[NEXT], desk[BASE])
            moved = 0
            for w in range(nx * wide):
                moved |= rows[desk[NEXT] + w] ^ rows[desk[CLOSED] + w]
                rows[desk[CLOSED] + w] = rows[desk[NEXT] + w]
            if moved == 0:
                break
        goals(rows, desk, index, houses, seen, desk[EVER], desk[GOAL])
        if not beyond(rows, desk, desk[GOAL], desk[EMPTY]):
            continue
        for t in range(desk[PAIRS]):
            if desk[WORK] > desk[BUDGET]:
                desk[FULL] = 1
                return False
            x = _third(rows, desk, ways, index, who, houses, seen, pool, queue, pairs, table, t)
            if x >= 0:
                desk[CHOSEN], desk[CHOSEN + 1], desk[CHOSEN + 2] = pairs[t, 0], pairs[t, 1], x
                return True
    return False


@_compiled
def _third(rows, desk, ways, index, who, houses, seen, pool, queue, pairs, table, t):
    """A mark that, found with a pair held, brings a placement into sight with it; or -1."""
    wide, a, b = desk[WORDS], pairs[t, 0], pairs[t, 1]
    first, second = desk[MARK] + 4 * a * wide, desk[MARK] + 4 * b * wide
    early = (
        beyond(rows, desk, first + 2 * wide, desk[EMPTY]),
        beyond(rows, desk, second + 2 * wide, desk[EMPTY]),
    )
    rules_out = early[0] or early[1] or pairs[t, 4] >= 0
    deep = queue[a, 3] != -1 or queue[b, 3] != -1
    if not (rules_out or pairs[t, 6] or deep):
        return -1
    desk[FIRST_OF], desk[SECOND_OF], desk[THIRD_OF], desk[CLASH] = a, b, -1, 0
    failed(rows, desk, trials(rows, desk, ways), desk[R])
    fired, joint = desk[SCRATCH] + 64 * wide, 0
    for w in range(wide):
        v = rows[fired + w] & rows[fired + wide + w] & ~rows[desk[R] + w] & rows[desk[GOAL] + w]
        rows[desk[FIRE] + w] = v
        joint |= v
    if joint:
        for x in range(desk[CANDIDATES]):
            for w in range(wide):
                rows[desk[CLOSED] + x * wide + w] = rows[x * wide + w] & rows[desk[FIRE] + w]
        spread(rows, desk, desk[CLOSED], desk[FIRE])
    one_line = ways[a, 3] < 0 and ways[b, 3] < 0
    for j in range(pairs[t, 3]):
        x = pool[pairs[t, 2] + j]
        if x == a or x == b:
            continue
        u, v = -1, -1
        full = joint != 0 and carries_on(rows, desk, ways, x, one_line)
        if not full and (rules_out or deep):
            u, v = pair(desk, pairs, table, a, x, t), pair(desk, pairs, table, b, x, t)
            # A mark that was found with others in mind may not be found with these two: then it
            # is seen from here whether it is the last to fire.
            full = u >= 0 and queue[b, 3] != -1 and pairs[u, 6] != 0
            full |= v >= 0 and queue[a, 3] != -1 and pairs[v, 6] != 0
        if full:
            desk[THIRD_OF] = x
            failed(rows, desk, trials(rows, desk, ways), desk[R3])
        elif rules_out and u >= 0 and v >= 0:
            third = desk[MARK] + (4 * x + 2) * wide
            if pairs[u, 4] < 0 and pairs[v, 4] < 0 and not beyond(rows, desk, third, desk[EMPTY]):
                continue
            for w in range(wide):
                rows[desk[R3] + w] = rows[desk[R] + w] | rows[third + w]
                if pairs[u, 4] >= 0:
                    rows[desk[R3] + w] |= rows[pairs[u, 4] + w]
                if pairs[v, 4] >= 0:
                    rows[desk[R3] + w] |= rows[pairs[v, 4] + w]
        else:
            continue
        more = 0
        for w in range(wide):
            more |= rows[desk[R3] + w] & ~rows[desk[R] + w] & rows[desk[GOAL] + w]
        if more:
            see(rows, desk, desk[R3], who, seen)
            if in_sight(rows, desk, index, houses, seen):
                return x
    return -1
