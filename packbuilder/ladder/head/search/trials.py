"""Trials: every candidate of a position is tried against up to three held marks, all at once.

For each way of a held mark two rows say for which trials it is closed, and for which it is written;
a line of which all ways are closed rules the trial out.
"""

# ruff: noqa: SIM110
# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from numba import njit

from packbuilder.ladder.head.search.room import (
    BASE,
    CLASH,
    COUNT,
    FIRST_OF,
    LINES,
    LITS,
    OWNER,
    SCRATCH,
    WORDS,
    WORK,
)
from packbuilder.proof.vectors import lowest

_compiled = njit(nogil=True)


@_compiled
def trials(rows, desk, ways):
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
def failed(rows, desk, lines, out):
    """The trials of the last `trials` in which a line has no way left, as row ``out``."""
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
def spread(rows, desk, to, only):
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
def meet(rows, desk, a, b):
    """Have two rows anything in common?"""
    for w in range(desk[WORDS]):
        if rows[a + w] & rows[b + w]:
            return True
    return False


@_compiled
def beyond(rows, desk, a, b):
    """Has row a anything that row b has not?"""
    for w in range(desk[WORDS]):
        if rows[a + w] & ~rows[b + w]:
            return True
    return False
