"""The compiled search for the fewest marks that bring a placement into sight: exact up to three.

All candidates of a position are tried against held marks at once. A *row* is a set of candidates as
words of 64 bits; all lie in one array, ``rows``, each named by the offset of its first word. For
each way of a held mark two rows say for which trials it is closed, and for which it is written; a
line of which all ways are closed rules the trial out.

One mark: each that is found. Two: from each mark that can be held, every mark that is found in
what it leaves; a pair is worked out only where a way of one closes a way of the other, else it
rules out what the two do. Three: first all pairs that can be held; then each with every mark that
is found in what it leaves. Three rule out more than their pairs do only where two have both fired
in a trial and the third has a line with at most one way left, which is known for all by bits.

A mark is dropped if another that is found at that moment has, for each of its lines, a line inside
it: who holds that one sees as much, then and later.

Where what lies stands in `room`. It is fast to compile because every function has few arrays.
"""

# ruff: noqa: SIM109, SIM110
# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from numba import njit

from packbuilder.ladder.head.room import (
    ASK_AGAIN,
    BASE,
    BUDGET,
    CANDIDATES,
    CELL,
    CHOSEN,
    CLASH,
    CLOSED,
    COUNT,
    DIGITS,
    EMPTY,
    EVER,
    FIRE,
    FIRST,
    FIRST_OF,
    FULL,
    GOAL,
    KEYS,
    LINES,
    LITS,
    MARK,
    MARKS,
    MEMO,
    MEMO_COUNT,
    MEMO_SLOTS,
    MOST,
    MOST_MARKS,
    MOST_PAIRS,
    MOST_ROWS,
    NEXT,
    NONE,
    OWNER,
    PAIR,
    PAIR_COUNT,
    PAIR_SLOTS,
    PAIRS,
    POOL,
    QUEUED,
    R3,
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
    R,
)
from packbuilder.proof.vectors import lowest, popcount

_compiled = njit(nogil=True)


@_compiled
def _trials(rows, desk, ways):
    """Try every candidate against up to three marks; how many lines they have.

    Which marks, and what is closed at first, stands in ``desk``, for numba compiles a function anew
    for each literal that it is given. The scratch rows then
    have for each way (32) the trials in which it is closed, for each way those in which it is
    written, and for each mark (3) those in which it fired.
    """
    wide, scratch, base = desk[WORDS], desk[SCRATCH], desk[BASE]
    written, fired = scratch + 32 * wide, scratch + 64 * wide
    count = lines = 0
    for t in range(3):
        m = desk[FIRST_OF + t]
        for j in range(0, 18 if m >= 0 else 0, 3):
            if ways[m, j] < 0:
                break
            for q in range(3):
                x, f = ways[m, j + q], -1
                if x >= 0:
                    for k in range(count):
                        if desk[LITS + k] == x:
                            f = k
                    if f < 0:
                        f = count
                        desk[LITS + f] = x
                        count += 1
                desk[LINES + lines * 3 + q] = f
            desk[OWNER + lines] = t
            lines += 1
    desk[COUNT] = count
    desk[WORK] += lines
    for k in range(count):
        for w in range(wide):
            rows[scratch + k * wide + w] = rows[desk[CLASH] + desk[LITS + k] * wide + w]
            rows[written + k * wide + w] = 0
    for w in range(3 * wide):
        rows[fired + w] = 0
    moved = True
    while moved:
        moved = False
        for j in range(lines):
            mine = fired + desk[OWNER + j] * wide
            for q in range(3):
                k = desk[LINES + j * 3 + q]
                if k < 0:
                    continue
                o, p = desk[LINES + j * 3 + (q + 1) % 3], desk[LINES + j * 3 + (q + 2) % 3]
                new = 0
                for w in range(wide):
                    v = rows[base + w]
                    if o >= 0:
                        v &= rows[scratch + o * wide + w]
                    if p >= 0:
                        v &= rows[scratch + p * wide + w]
                    rows[mine + w] |= v
                    new |= v & ~rows[written + k * wide + w]
                    rows[written + k * wide + w] |= v
                if new == 0:
                    continue
                for f in range(count):
                    y = desk[LITS + f]
                    if rows[desk[LITS + k] * wide + (y >> 6)] >> (y & 63) & 1:
                        for w in range(wide):
                            v = rows[written + k * wide + w] & ~rows[scratch + f * wide + w]
                            if v:
                                rows[scratch + f * wide + w] |= v
                                moved = True
    return lines


@_compiled
def _failed(rows, desk, lines, out):
    """The trials of the last `_trials` in which a line has no way left, as row ``out``."""
    wide, scratch, base = desk[WORDS], desk[SCRATCH], desk[BASE]
    for w in range(wide):
        rows[out + w] = 0
    for j in range(lines):
        for w in range(wide):
            v = rows[base + w]
            for q in range(3):
                k = desk[LINES + j * 3 + q]
                if k >= 0:
                    v &= rows[scratch + k * wide + w]
            rows[out + w] |= v


@_compiled
def _spread(rows, desk, to, only):
    """What was written in the last trials closes what it sees, in ``to``, for row ``only``."""
    wide = desk[WORDS]
    for k in range(desk[COUNT]):
        row, some = desk[SCRATCH] + (32 + k) * wide, 0
        for w in range(wide):
            some |= rows[row + w] & rows[only + w]
        if some == 0:
            continue
        for u in range(wide):
            left = rows[desk[LITS + k] * wide + u]
            while left:
                x = u * 64 + lowest(left)
                left &= left - 1
                for w in range(wide):
                    rows[to + x * wide + w] |= rows[row + w] & rows[only + w]


@_compiled
def _meet(rows, desk, a, b):
    """Have two rows anything in common?"""
    for w in range(desk[WORDS]):
        if rows[a + w] & rows[b + w]:
            return True
    return False


@_compiled
def _beyond(rows, desk, a, b):
    """Has row a anything that row b has not?"""
    for w in range(desk[WORDS]):
        if rows[a + w] & ~rows[b + w]:
            return True
    return False


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
    _failed(rows, desk, _trials(rows, desk, ways), row + 2 * wide)
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
def _find(rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst):
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
def _see(rows, desk, row, who, seen):
    """What is seen where a row is ruled out."""
    for i in range(len(seen)):
        seen[i] = 0
    for x in range(desk[CANDIDATES]):
        if not rows[row + (x >> 6)] >> (x & 63) & 1:
            seen[who[x] >> 4] |= 1 << (who[x] & 15)


@_compiled
def _in_sight(rows, desk, index, houses, seen):
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
def _stored(desk, pool, lst, k):
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
def _queue(desk, queue, m, parent):
    """Put a mark that can be held alone into the queue, once."""
    if queue[m, 0] == 0:
        queue[m, 0] = 1
        queue[m, 1] = -1
        queue[m, 3] = parent
        queue[desk[QUEUED], 4] = m
        desk[QUEUED] += 1


@_compiled
def _expand(
    rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue, a
):
    """Find what there is to find with one mark held, if that is not done yet, and queue it."""
    if queue[a, 1] >= 0:
        return
    row = desk[MARK] + (4 * a + 2) * desk[WORDS]
    if _beyond(rows, desk, row, desk[EMPTY]):
        _see(rows, desk, row, who, seen)
        k = _find(rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst)
        queue[a, 1], queue[a, 2] = _stored(desk, pool, lst, k), k
    else:
        queue[a, 1], queue[a, 2] = 1, desk[FIRST]
    for j in range(queue[a, 2]):
        _queue(desk, queue, pool[queue[a, 1] + j], a)


@_compiled
def _two(rows, desk, ways, a, b, out):
    """What two marks rule out together, as row ``out``. Says whether they are linked."""
    wide = desk[WORDS]
    first, second = desk[MARK] + 4 * a * wide, desk[MARK] + 4 * b * wide
    if _meet(rows, desk, first + wide, second):
        desk[FIRST_OF], desk[SECOND_OF], desk[THIRD_OF], desk[CLASH] = a, b, -1, 0
        _failed(rows, desk, _trials(rows, desk, ways), out)
        return True
    for w in range(wide):
        rows[out + w] = rows[first + 2 * wide + w] | rows[second + 2 * wide + w]
    return False


@_compiled
def _weight(rows, desk, m):
    """How many ways a mark has: what there is to keep in mind."""
    n = 0
    for w in range(desk[WORDS]):
        n += popcount(rows[desk[MARK] + 4 * m * desk[WORDS] + w])
    return n


@_compiled
def _pair(desk, pairs, table, a, b, parent):
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
def _goals(rows, desk, index, houses, seen, gone, out):
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
def _carries_on(rows, desk, ways, x, one_line):
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
def _one_mark(
    rows, desk, names, ways, outdoes, index, who, houses, seen, sets, found, lst, pool, queue
):
    """Find all marks of a position, and the placements that one of them brings into sight."""
    wide, any_ = desk[WORDS], False
    desk[FIRST] = _find(rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst)
    desk[CHOSEN] = desk[CHOSEN + 1] = desk[CHOSEN + 2] = -1
    pool[0] = 1
    _stored(desk, pool, lst, desk[FIRST])
    for j in range(desk[FIRST]):
        _queue(desk, queue, lst[j], desk[ZERO] - 1)
    least = 1000
    for m in range(desk[MARKS]):
        row = desk[MARK] + (4 * m + 2) * wide
        if _beyond(rows, desk, row, desk[EMPTY]):
            _see(rows, desk, row, who, seen)
            if any_ and not desk[TIDY]:
                if _weight(rows, desk, m) >= least:
                    continue
                for w in range(wide):
                    rows[desk[POOL] + w], rows[desk[R] + w] = 0, rows[desk[POOL] + w]
            if _in_sight(rows, desk, index, houses, seen):
                any_, least = True, _weight(rows, desk, m)
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
        _expand(
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
            idle = not _beyond(rows, desk, ours, desk[EMPTY]) or not _beyond(
                rows, desk, theirs, desk[EMPTY]
            )
            if b == a or (idle and not _meet(rows, desk, ours - wide, theirs - 2 * wide)):
                continue
            if (
                b < a
                and queue[a, 3] < 0
                and queue[b, 3] < 0
                and (
                    not _beyond(rows, desk, ours, desk[EMPTY])
                    and not _beyond(rows, desk, theirs, desk[EMPTY])
                )
            ):
                continue  # met from the other side
            weight = _weight(rows, desk, a) + _weight(rows, desk, b)
            if weight >= least:
                continue
            _two(rows, desk, ways, a, b, desk[R])
            if not _beyond(rows, desk, desk[R], ours) or not _beyond(rows, desk, desk[R], theirs):
                continue
            _see(rows, desk, desk[R], who, seen)
            for w in range(wide if any_ else 0):
                rows[desk[POOL] + w], rows[desk[R3] + w] = 0, rows[desk[POOL] + w]
            if _in_sight(rows, desk, index, houses, seen):
                any_, least = True, weight
                desk[CHOSEN], desk[CHOSEN + 1] = a, b
                if desk[TIDY]:
                    return True
            else:
                for w in range(wide if any_ else 0):
                    rows[desk[POOL] + w] = rows[desk[R3] + w]
    return any_


@_compiled
def _three_marks(
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
                _expand(
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
                        _pair(desk, pairs, table, a, pool[queue[a, 1] + j], desk[ZERO] - 1)
                continue
            a, b = pairs[t, 0], pairs[t, 1]
            if pairs[t, 2] < 0:
                _work_out(rows, desk, ways, pairs, t)
                slot = 0
                if _beyond(rows, desk, desk[R], desk[EMPTY]):
                    for w in range(wide):
                        slot = (slot ^ rows[desk[R] + w]) * 0x2545F4914F6CDD1D
                        slot ^= slot >> 29
                    slot &= MEMO_SLOTS - 1
                    while memo[slot, 0] >= 0:
                        row = desk[MEMO] + memo[slot, 0] * wide
                        if not _beyond(rows, desk, row, desk[R]) and not _beyond(
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
                        _see(rows, desk, desk[R], who, seen)
                        k = _find(
                            rows, desk, names, ways, outdoes, index, houses, seen, sets, found, lst
                        )
                        memo[slot, 1], memo[slot, 2] = _stored(desk, pool, lst, k), k
                    pairs[t, 2], pairs[t, 3] = memo[slot, 1], memo[slot, 2]
                else:
                    pairs[t, 2], pairs[t, 3] = 1, desk[FIRST]
            for j in range(pairs[t, 3] if phase else 0):
                x = pool[pairs[t, 2] + j]
                if x != a and x != b:
                    _queue(desk, queue, x, -2 - t)
                    _pair(desk, pairs, table, a, x, t)
                    _pair(desk, pairs, table, b, x, t)
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
                _failed(rows, desk, _trials(rows, desk, ways), desk[R3])
                for w in range(wide):
                    rows[desk[EVER] + w] |= rows[desk[R3] + w]
                _spread(rows, desk, desk[NEXT], desk[BASE])
            moved = 0
            for w in range(nx * wide):
                moved |= rows[desk[NEXT] + w] ^ rows[desk[CLOSED] + w]
                rows[desk[CLOSED] + w] = rows[desk[NEXT] + w]
            if moved == 0:
                break
        _goals(rows, desk, index, houses, seen, desk[EVER], desk[GOAL])
        if not _beyond(rows, desk, desk[GOAL], desk[EMPTY]):
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
def _work_out(rows, desk, ways, pairs, t):
    """What a pair rules out, as row R; kept where it is more than the two marks do, each alone."""
    wide, a, b = desk[WORDS], pairs[t, 0], pairs[t, 1]
    first, second = desk[MARK] + 4 * a * wide, desk[MARK] + 4 * b * wide
    linked = _two(rows, desk, ways, a, b, desk[R])
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


@_compiled
def _third(rows, desk, ways, index, who, houses, seen, pool, queue, pairs, table, t):
    """A mark that, found with a pair held, brings a placement into sight with it; or -1."""
    wide, a, b = desk[WORDS], pairs[t, 0], pairs[t, 1]
    first, second = desk[MARK] + 4 * a * wide, desk[MARK] + 4 * b * wide
    early = (
        _beyond(rows, desk, first + 2 * wide, desk[EMPTY]),
        _beyond(rows, desk, second + 2 * wide, desk[EMPTY]),
    )
    rules_out = early[0] or early[1] or pairs[t, 4] >= 0
    deep = queue[a, 3] != -1 or queue[b, 3] != -1
    if not (rules_out or pairs[t, 6] or deep):
        return -1
    desk[FIRST_OF], desk[SECOND_OF], desk[THIRD_OF], desk[CLASH] = a, b, -1, 0
    _failed(rows, desk, _trials(rows, desk, ways), desk[R])
    fired, joint = desk[SCRATCH] + 64 * wide, 0
    for w in range(wide):
        v = rows[fired + w] & rows[fired + wide + w] & ~rows[desk[R] + w] & rows[desk[GOAL] + w]
        rows[desk[FIRE] + w] = v
        joint |= v
    if joint:
        for x in range(desk[CANDIDATES]):
            for w in range(wide):
                rows[desk[CLOSED] + x * wide + w] = rows[x * wide + w] & rows[desk[FIRE] + w]
        _spread(rows, desk, desk[CLOSED], desk[FIRE])
    one_line = ways[a, 3] < 0 and ways[b, 3] < 0
    for j in range(pairs[t, 3]):
        x = pool[pairs[t, 2] + j]
        if x == a or x == b:
            continue
        u, v = -1, -1
        full = joint != 0 and _carries_on(rows, desk, ways, x, one_line)
        if not full and (rules_out or deep):
            u, v = _pair(desk, pairs, table, a, x, t), _pair(desk, pairs, table, b, x, t)
            # A mark that was found with others in mind may not be found with these two: then it
            # is seen from here whether it is the last to fire.
            full = u >= 0 and queue[b, 3] != -1 and pairs[u, 6] != 0
            full |= v >= 0 and queue[a, 3] != -1 and pairs[v, 6] != 0
        if full:
            desk[THIRD_OF] = x
            _failed(rows, desk, _trials(rows, desk, ways), desk[R3])
        elif rules_out and u >= 0 and v >= 0:
            third = desk[MARK] + (4 * x + 2) * wide
            if pairs[u, 4] < 0 and pairs[v, 4] < 0 and not _beyond(rows, desk, third, desk[EMPTY]):
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
            _see(rows, desk, desk[R3], who, seen)
            if _in_sight(rows, desk, index, houses, seen):
                return x
    return -1


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
    if _three_marks(
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
