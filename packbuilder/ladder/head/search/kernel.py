"""The compiled search for the fewest marks that bring a placement into sight: exact up to three.

A *row* is a set of candidates as words of 64 bits; all lie in one array, ``rows``, each named by
the offset of its first word.

One mark: each that is found. Two: from each mark that can be held, every mark that is found in
what it leaves. Three: see `threes`.

What can be held is tried in `trials`, found in `marks` and put together in `pairs`; where what lies
stands in `room`. It is fast to compile because every function has few arrays.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from numba import njit

from packbuilder.ladder.head.search.marks import find, in_sight, see, weight_of
from packbuilder.ladder.head.search.pairs import enqueue, expand, ruled_out_by_two, stored
from packbuilder.ladder.head.search.room import (
    ASK_AGAIN,
    BUDGET,
    CHOSEN,
    EMPTY,
    FIRST,
    FULL,
    MARK,
    MARKS,
    MOST,
    POOL,
    QUEUED,
    R3,
    TIDY,
    WORDS,
    WORK,
    ZERO,
    R,
)
from packbuilder.ladder.head.search.threes import three_marks
from packbuilder.ladder.head.search.trials import beyond, meet

_compiled = njit(nogil=True)


@_compiled
def _one_mark(
    rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue
):
    """Find all marks of a position, and the placements that one of them brings into sight."""
    wide, any_ = desk[WORDS], False
    desk[FIRST] = find(rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst)
    desk[CHOSEN] = desk[CHOSEN + 1] = desk[CHOSEN + 2] = -1
    pool[0] = 1
    stored(desk, pool, lst, desk[FIRST])
    for j in range(desk[FIRST]):
        enqueue(desk, queue, lst[j], desk[ZERO] - 1)
    least = 1000
    for m in range(desk[MARKS]):
        row = desk[MARK] + (4 * m + 2) * wide
        if beyond(rows, desk, row, desk[EMPTY]):
            see(rows, desk, row, who, seen)
            if any_ and not desk[TIDY]:
                if weight_of(rows, desk, m) >= least:
                    continue
                for w in range(wide):
                    rows[desk[POOL] + w], rows[desk[R] + w] = 0, rows[desk[POOL] + w]
            if in_sight(rows, desk, index, houses, seen):
                any_, least = True, weight_of(rows, desk, m)
                desk[CHOSEN] = m
            elif any_ and not desk[TIDY]:
                for w in range(wide):
                    rows[desk[POOL] + w] = rows[desk[R] + w]
    return any_


@_compiled
def _two_marks(
    rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue
):
    """Placements that two marks bring into sight; unless ``desk[TIDY]`` the lightest two."""
    wide, t, least, any_ = desk[WORDS], 0, 1000, False
    while t < desk[QUEUED]:
        a = queue[t, 4]
        t += 1
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
        ours = desk[MARK] + (4 * a + 2) * wide
        for j in range(queue[a, 2]):
            if desk[FULL] or desk[WORK] > desk[BUDGET]:
                desk[FULL] = 1
                return any_
            b = pool[queue[a, 1] + j]
            theirs = desk[MARK] + (4 * b + 2) * wide
            idle = not beyond(rows, desk, ours, desk[EMPTY]) or not beyond(
                rows, desk, theirs, desk[EMPTY]
            )
            if b == a or (idle and not meet(rows, desk, ours - wide, theirs - 2 * wide)):
                continue
            if (
                b < a
                and queue[a, 3] < 0
                and queue[b, 3] < 0
                and (
                    not beyond(rows, desk, ours, desk[EMPTY])
                    and not beyond(rows, desk, theirs, desk[EMPTY])
                )
            ):
                continue  # met from the other side
            weight = weight_of(rows, desk, a) + weight_of(rows, desk, b)
            if weight >= least:
                continue
            ruled_out_by_two(rows, desk, ways, a, b, desk[R])
            if not beyond(rows, desk, desk[R], ours) or not beyond(rows, desk, desk[R], theirs):
                continue
            see(rows, desk, desk[R], who, seen)
            for w in range(wide if any_ else 0):
                rows[desk[POOL] + w], rows[desk[R3] + w] = 0, rows[desk[POOL] + w]
            if in_sight(rows, desk, index, houses, seen):
                any_, least = True, weight
                desk[CHOSEN], desk[CHOSEN + 1] = a, b
                if desk[TIDY]:
                    return True
            else:
                for w in range(wide if any_ else 0):
                    rows[desk[POOL] + w] = rows[desk[R3] + w]
    return any_


def search(
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
) -> int:
    """The fewest marks, up to ``desk[MOST]``, that bring a placement into sight; 0 for none."""
    if _one_mark(
        rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue
    ):
        return 1
    if desk[MOST] > 1 and _two_marks(
        rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue
    ):
        return 2
    if desk[MOST] < 3 or desk[FULL]:
        return 0
    if not desk[TIDY]:  # without, there would be far too many threes
        return ASK_AGAIN
    if three_marks(
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
        return 3
    return 0
