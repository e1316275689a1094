"""How far easy steps go, compiled: singles, locked candidates, subsets, fish without fins.

It is a sieve, not a ladder: it knows the houses that hold every digit and no others, keeps no steps
and tells no reason. What it finishes, the ladder finishes with the same techniques; where it is
stuck, the ladder has the last word. One routine serves all subsets and fish, for they are one idea:
n sets whose union has n members belong together::

    naked    n cells of a house:   their candidates are n digits    other cells lose these
    hidden   n digits of a house:  their places are n cells         these lose other digits
    fish     n lines of a digit:   its places are n lines across    it goes elsewhere in these
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

import numpy as np
from numba import njit

from packbuilder.proof.search import fill, hidden, inlined, lock, naked, set_candidates
from packbuilder.proof.tables import VECTOR
from packbuilder.proof.vectors import copy, popcount

NAKED, HIDDEN, FISH = 0, 1, 2

# The steps beyond singles, in the order of `picture_kernel.STEPS`.
KINDS = (-1, NAKED, HIDDEN, NAKED, HIDDEN, FISH, NAKED, HIDDEN, FISH, FISH)
SIZES = (0, 2, 2, 3, 3, 2, 4, 4, 3, 4)


@inlined
def begin(clues, work, tables):
    """Write the clues of a grid into the first row; how many cells are left."""
    rows, _, values, _, _, _, _, _, _ = work
    reach, start = tables.reach, tables.start
    copy(rows, 0, start, 0, start.size // VECTOR)
    left = clues.size
    for cell in range(clues.size):
        if clues[cell]:
            fill(rows, 0, cell, np.int64(1) << (clues[cell] - 1), reach, start.size)
            values[cell] = clues[cell]
            left -= 1
    return left


@njit
def settle(left, allowed, work, tables):
    """Take singles and the ``allowed`` steps as far as they go, from where the first row stands.

    How many cells are left; -1 where a cell or a digit has no place.
    """
    rows, _, values, weights, singles, masks, piece_masks, twice, room = work
    size, cell_lanes, house_lanes, _, _, reach, copies, members, pieces, start = tables
    open_at, width = cell_lanes + size * house_lanes, start.size
    while left:
        filled = naked(rows, 0, values, weights, reach, copies, cell_lanes, open_at, width)
        if filled == 0:
            filled = hidden(
                rows, 0, values, weights, singles, reach, members, cell_lanes, open_at, width
            )
        if filled < 0:
            return -1
        left -= filled
        struck = filled > 0
        for k in range(len(KINDS)):
            if struck or not allowed >> k & 1:
                continue
            if k == 0:
                struck = lock(rows, 0, pieces, members, copies, masks, piece_masks, twice)
            else:
                struck = strike_sets(rows, KINDS[k], SIZES[k], members, copies, room)
        if not struck:
            break
    return left


@inlined
def open_steps(wanted, work, tables):
    """Whether any of the ``wanted`` steps strikes something where the first row stands; it does."""
    rows, _, _, _, _, masks, piece_masks, twice, room = work
    copies, members, pieces = tables.copies, tables.members, tables.pieces
    struck = False
    for k in range(len(KINDS)):
        if wanted >> k & 1:
            if k == 0:
                struck |= lock(rows, 0, pieces, members, copies, masks, piece_masks, twice)
            else:
                struck |= strike_sets(rows, KINDS[k], SIZES[k], members, copies, room)
    return struck


@njit
def strike_sets(row, kind, n, members, copies, room):
    """Strike what subsets or fish of ``n`` rule out, in every house or for every digit."""
    size = members.shape[1]
    sets, names, picked, unions = room
    # A fish is looked for by digit, over the rows and then over the columns: the first houses.
    places = 2 * size if kind == FISH else members.shape[0]
    struck = False
    for place in range(places):
        found, some = gather(row, kind, n, place, members, sets, names)
        if found < n or some <= n:
            continue
        depth, picked[0], unions[0] = 0, -1, 0
        while depth >= 0:
            picked[depth] += 1
            if picked[depth] > found - (n - depth):
                depth -= 1
                continue
            union = unions[depth] | sets[picked[depth]]
            if popcount(union) > n:
                continue
            if depth < n - 1:
                depth += 1
                unions[depth], picked[depth] = union, picked[depth - 1]
                continue
            if popcount(union) == n:
                within = np.int64(0)
                for k in range(n):
                    within |= np.int64(1) << names[picked[k]]
                struck |= strike_outside(row, kind, place, within, union, members, copies)
    return struck


@inlined
def gather(row, kind, n, place, members, sets, names):
    """The sets of at most ``n`` members, each with its name: how many, and of how many in all."""
    size = members.shape[1]
    found, some = 0, 0
    for name in range(size):
        mask = np.int64(0)
        if kind == NAKED:
            mask = np.int64(row[members[place, name]])
        else:
            for k in range(size):
                if kind == HIDDEN:
                    mask |= np.int64(row[members[place, k]] >> name & 1) << k
                else:
                    house = place // size * size + name
                    mask |= np.int64(row[members[house, k]] >> (place % size) & 1) << k
        if mask:
            some += 1
            if popcount(mask) <= n:
                sets[found], names[found] = mask, name
                found += 1
    return found, some


@inlined
def strike_outside(row, kind, place, within, union, members, copies):
    """Strike what a found set rules out: ``within`` are its names, ``union`` its members."""
    size = members.shape[1]
    struck = False
    for k in range(size):
        if kind == NAKED:
            gone = np.int64(0) if within >> k & 1 else union
            struck |= strike_digits(row, members[place, k], gone, copies)
        elif kind == HIDDEN:
            gone = ~within if union >> k & 1 else np.int64(0)
            struck |= strike_digits(row, members[place, k], gone, copies)
        elif not within >> k & 1:
            house, digit = place // size * size + k, np.int64(1) << (place % size)
            for across in range(size):
                gone = digit if union >> across & 1 else np.int64(0)
                struck |= strike_digits(row, members[house, across], gone, copies)
    return struck


@inlined
def strike_digits(row, cell, gone, copies):
    """Strike digits from a cell. True if it had any of them."""
    candidates = np.int64(row[cell])
    if candidates & gone == 0:
        return False
    set_candidates(row, 0, cell, candidates & ~gone, copies)
    return True
