"""What strikes candidates in the rule search: its compiled part, and the search through them.

A position is an array of masks, one a cell: bit ``d - 1`` is set while the cell may hold digit
``d``. A house strikes the digits of its filled cells, fills the one place of a digit, and strikes
the digits that one house holds only where it crosses another. (Sets of cells and digits would cost
more than they save.) A pair of cells strikes what fits no digit of the other; and a digit with few
places in a house strikes what fits none of them. A sum strikes what is in no way to make it. Numba
is imported here.

All lies in flat arrays (`flat_houses` and `flat_rules` make them), by the numbers of what strikes:
houses first, then pairs, then sums::

    cells[starts[h] : starts[h + 1]]           the cells of house h
    of[of_starts[cell] : of_starts[cell + 1]]  what strikes at a cell: looked at when it changes

    pieces  ... cells of both | of the first house only | of the second only | ...    a crossing:
                ^ ............. ^ ....................... ^ .................. ^       the four
                crossings[k] = (these four)                                           places

    pairs[r] = (cell, other cell, table, table the other way)
    keep[table, mask]  what the other cell may be where the cell has these digits left
    sums[s] = (first group, behind the last group, total); groups[g] = (first, behind the last,
    turned); a group's digits differ, and turned ones count as size + 1 - d; totals are below 63
"""

from __future__ import annotations

from typing import Any

from numba import njit

from packbuilder.proof.flat_rules import FEW, FINISHED, FOUND, WEARY

_part = njit(nogil=True)
"""Compiled as a part of `settle` and `search`."""

_inlined = njit(inline="always")


@_inlined
def _count(mask: int) -> int:
    found = 0
    while mask:
        mask &= mask - 1
        found += 1
    return found


@_inlined
def _mark(cell: int, masks: Any, dirty: Any, filled: Any, houses: Any) -> None:
    """Note that a cell has changed. ``filled`` are those to be taken from their peers, and first
    how many."""
    for k in range(houses.of_starts[cell], houses.of_starts[cell + 1]):
        dirty[houses.of[k]] = 3  # both passes
    if masks[cell] & (masks[cell] - 1) == 0:
        filled[0] += 1
        filled[filled[0]] = cell


def settle(before: Any, masks: Any, houses: Any, rules: Any) -> int:
    """Strike in ``masks`` until nothing moves: -1, or the number of what cannot hold any more.

    Only what has cells that differ from ``before`` is looked at to begin with.
    """
    return _settle(before, masks, houses, rules)


@_part
def _settle(before: Any, masks: Any, houses: Any, rules: Any) -> int:
    first_pair = len(houses.starts) - 1
    first_sum = first_pair + len(rules.pairs)
    dirty, filled = rules.room.dirty, rules.room.filled
    dirty[:] = 0
    filled[0] = 0
    for cell in range(len(masks)):
        if masks[cell] != before[cell]:
            _mark(cell, masks, dirty, filled, houses)
    again = True
    while again:
        again = False
        for h in range(first_sum):  # pass one: singles and pairs, until none moves
            if filled[0]:
                again = True
                failed = _fill(masks, houses, dirty, filled)
                if failed >= 0:
                    return failed
            if dirty[h] & 1:
                dirty[h] &= 2
                if h < first_pair:
                    if not _singles(masks, h, houses, dirty, filled):
                        return h
                elif not _pair(masks, h - first_pair, houses, rules, dirty, filled):
                    return h
                again = True
        if again or filled[0]:
            again = True
            continue
        for h in range(first_pair):  # pass two: crossings and clashes of a house, singles again
            if dirty[h] & 2:
                dirty[h] &= 1
                if not _crossed(masks, h, houses, dirty, filled):
                    return h
                if not _clashing(masks, h, houses, rules, dirty, filled):
                    return h
                again = True
                if dirty[h]:
                    break
        if again:
            continue
        for h in range(first_sum, len(dirty)):  # pass three: a sum, then singles again
            if dirty[h]:
                dirty[h] = 0
                if not _sum(masks, h - first_sum, houses, rules, dirty, filled):
                    return h
                again = True
    return -1


def search(state: Any, stack: Any, weights: Any, budget: int, houses: Any, rules: Any) -> int:
    """Go on with a search for full grids, for at most ``budget`` branches.

    ``state`` is (how many positions are on the ``stack``, branches made); in each position nothing
    moves. It branches on a cell with few candidates among what failed often (``weights``, by cell),
    first with a digit and then without. A full grid is left behind the top of the stack.
    """
    while state[0] > 0:
        state[0] -= 1
        masks = rules.room.masks
        _copy(stack[state[0]], masks)
        best = _choose(masks, weights)
        if best < 0:
            return FOUND
        if budget <= 0:
            state[0] += 1
            return WEARY
        budget -= 1
        state[1] += 1
        digit = masks[best] & -masks[best]
        for turn in range(2):  # without it first: the digit goes on top
            branch = stack[state[0]]
            _copy(masks, branch)
            branch[best] = digit if turn else masks[best] ^ digit
            failed = _settle(masks, branch, houses, rules)
            if failed < 0:
                state[0] += 1
            else:
                _blame(failed, weights, houses, rules)
    return FINISHED


@_inlined
def _copy(masks: Any, to: Any) -> None:
    """One by one: numba makes a third array of what might overlap."""
    for cell in range(len(masks)):
        to[cell] = masks[cell]


@_part
def _choose(masks: Any, weights: Any) -> int:
    """The cell to branch on, or -1 where all cells have one candidate."""
    best, least = -1, 0.0
    for cell in range(len(masks)):
        mask = masks[cell]
        if mask & (mask - 1):
            worth = _count(mask) / weights[cell]
            if best < 0 or worth < least:
                best, least = cell, worth
    return best


@_part
def _blame(failed: int, weights: Any, houses: Any, rules: Any) -> None:
    """Remember where a contradiction showed."""
    first_pair = len(houses.starts) - 1
    first_sum = first_pair + len(rules.pairs)
    if failed < first_pair:
        for k in range(houses.starts[failed], houses.starts[failed + 1]):
            weights[houses.cells[k]] += 1
    elif failed < first_sum:
        weights[rules.pairs[failed - first_pair, 0]] += 1
        weights[rules.pairs[failed - first_pair, 1]] += 1
    else:
        s = rules.sums[failed - first_sum]
        for k in range(rules.groups[s[0], 0], rules.groups[s[1] - 1, 1]):
            weights[rules.summed[k]] += 1


@_part
def _pair(masks: Any, r: int, houses: Any, rules: Any, dirty: Any, filled: Any) -> bool:
    pair, keep = rules.pairs[r], rules.keep
    a, b = pair[0], pair[1]
    left = masks[b] & keep[pair[2], masks[a]]
    if left != masks[b]:
        masks[b] = left
        if left == 0:
            return False
        _mark(b, masks, dirty, filled, houses)
    left = masks[a] & keep[pair[3], masks[b]]
    if left != masks[a]:
        masks[a] = left
        if left == 0:
            return False
        _mark(a, masks, dirty, filled, houses)
    return True


@_part
def _clashing(masks: Any, h: int, houses: Any, rules: Any, dirty: Any, filled: Any) -> bool:
    """A digit with few places in a house: what would clash with them all cannot be."""
    first, last, size = houses.starts[h], houses.starts[h + 1], houses.size
    if len(rules.pairs) == 0 or last - first < size:
        return True
    places = rules.room.places
    for d in range(size):
        count = 0
        for k in range(first, last):
            if masks[houses.cells[k]] >> d & 1:
                if count < FEW:
                    places[count] = houses.cells[k]
                count += 1
        if count < 2 or count > FEW:
            continue
        start = places[0]
        for k in range(rules.near_starts[start] - 1, rules.near_starts[start + 1]):
            # The first place itself, then all cells that it makes a pair with.
            cell = start if k < rules.near_starts[start] else rules.near[k]
            mask = masks[cell]
            if mask & (mask - 1) == 0:
                continue
            out = mask
            for j in range(count):
                if places[j] == cell:
                    out &= ~(1 << d)
                elif rules.table_of[places[j], cell] < 0:
                    out = 0
                else:
                    out &= ~rules.keep[rules.table_of[places[j], cell], 1 << d]
            if out:
                masks[cell] = mask & ~out
                if masks[cell] == 0:
                    return False
                _mark(cell, masks, dirty, filled, houses)
    return True


@_part
def _sum(masks: Any, s: int, houses: Any, rules: Any, dirty: Any, filled: Any) -> bool:
    """What is in some way to make a sum: group by group, each by the sums that it can make.

    Bit v of a set of sums stands for the sum v.
    """
    first, last, total = rules.sums[s]
    reach = rules.room.reach
    reach[0] = 1
    for k in range(last - first):
        _spread(masks, first + k, houses.size, rules)
        support, after = rules.support[first + k], 0
        for made in range(min(total + 1, len(support))):
            if support[made, 0]:
                after |= reach[k] << made
        reach[k + 1] = after & (2 << total) - 1
    wanted = reach[last - first] & 1 << total
    if wanted == 0:
        return False
    kept = rules.room.kept
    for k in range(last - first - 1, -1, -1):
        support, fitting = rules.support[first + k], 0
        kept[:] = 0
        for made in range(min(total + 1, len(support))):
            if support[made, 0]:
                fits = wanted >> made & reach[k]
                if fits:
                    fitting |= fits
                    for j in range(len(kept)):
                        kept[j] |= support[made, j]
        start, stop, _ = rules.groups[first + k]
        for j in range(stop - start):
            cell = rules.summed[start + j]
            if masks[cell] & ~kept[j]:
                masks[cell] &= kept[j]
                _mark(cell, masks, dirty, filled, houses)
        wanted = fitting
    return True


@_part
def _spread(masks: Any, g: int, size: int, rules: Any) -> None:
    """Which digits stand in up to three differing cells when they make a sum: ``support[g]``.

    It is kept until the cells change.
    """
    start, stop, turned = rules.groups[g]
    n = stop - start
    known, support = rules.known[g], rules.support[g]
    one = masks[rules.summed[start]]
    two = masks[rules.summed[start + 1]] if n > 1 else 1
    three = masks[rules.summed[start + 2]] if n > 2 else 1
    if known[0] == one and known[1] == two and known[2] == three:
        return
    known[0], known[1], known[2] = one, two, three
    support[:] = 0
    for a in range(size):
        if not one >> a & 1:
            continue
        for b in range(size if n > 1 else 1):
            if not two >> b & 1 or (n > 1 and a == b):
                continue
            for c in range(size if n > 2 else 1):
                if not three >> c & 1 or (n > 2 and (a == c or b == c)):
                    continue
                whole = a + b + c + n
                if turned:
                    whole = n * (size + 1) - whole
                support[whole, 0] |= 1 << a
                support[whole, 1] |= 1 << b
                support[whole, 2] |= 1 << c


@_part
def _fill(masks: Any, houses: Any, dirty: Any, filled: Any) -> int:
    """Take the digits of filled cells from all that see them: -1, or the house that cannot hold."""
    while filled[0]:
        cell = filled[filled[0]]
        filled[0] -= 1
        digit = masks[cell]
        for k in range(houses.of_starts[cell], houses.of_starts[cell + 1]):
            h = int(houses.of[k])
            if h >= len(houses.starts) - 1:
                break  # houses come first
            for j in range(houses.starts[h], houses.starts[h + 1]):
                other = houses.cells[j]
                if other != cell and masks[other] & digit:
                    masks[other] ^= digit
                    if masks[other] == 0:
                        return h
                    _mark(other, masks, dirty, filled, houses)
    return -1


@_part
def _singles(masks: Any, h: int, houses: Any, dirty: Any, filled: Any) -> bool:
    """The digits that have one place in a house; filled cells have lost theirs to the others."""
    size, starts, cells = houses.size, houses.starts, houses.cells
    if starts[h + 1] - starts[h] < size:
        return True
    once = twice = 0
    for k in range(starts[h], starts[h + 1]):
        mask = masks[cells[k]]
        twice |= once & mask
        once |= mask
    if once != (1 << size) - 1:
        return False
    alone = once & ~twice
    for k in range(starts[h], starts[h + 1] if alone else 0):
        mask = masks[cells[k]]
        left = mask & alone
        if left and mask & (mask - 1):
            if left & (left - 1):
                return False
            masks[cells[k]] = left
            _mark(cells[k], masks, dirty, filled, houses)
    return True


@_part
def _crossed(masks: Any, h: int, houses: Any, dirty: Any, filled: Any) -> bool:
    crossings, pieces = houses.crossings, houses.pieces
    for row in range(houses.crossing_starts[h], houses.crossing_starts[h + 1]):
        inside = outside = 0
        for k in range(crossings[row, 0], crossings[row, 1]):
            inside |= masks[pieces[k]]
        for k in range(crossings[row, 1], crossings[row, 2]):
            outside |= masks[pieces[k]]
        only = inside & ~outside
        if only == 0:
            continue
        for k in range(crossings[row, 2], crossings[row, 3]):
            cell = pieces[k]
            if masks[cell] & only:
                masks[cell] &= ~only
                if masks[cell] == 0:
                    return False
                _mark(cell, masks, dirty, filled, houses)
    return True
