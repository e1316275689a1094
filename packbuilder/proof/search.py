"""The compiled search. `tables` has a picture of the row of lanes that it works on.

Each level of the tree is a row; going down copies the row, so going back is free. On a row the
search fills all naked singles, then all hidden singles, then strikes locked candidates, and again
until nothing moves; only then it branches, on a cell with two candidates if there is one, in the
houses that met most contradictions so far.

Numba passes each array to a function in seven pieces, which is why all functions are inlined.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

import numpy as np
from numba import njit

from packbuilder.proof.tables import VECTOR
from packbuilder.proof.vectors import (
    at_most_one,
    copy,
    exactly_two,
    lowest,
    one_place,
    popcount,
    seen_twice,
    strike,
)

inlined = njit(forceinline=True)


@inlined
def fill(row, base, cell, bit, reach, width):
    """Place a digit: strike it from all peers, close the cell in all its houses."""
    strike(row, base, reach, cell * width, bit, width // VECTOR)


@inlined
def set_candidates(row, base, cell, mask, copies):
    """Write the candidates of an empty cell, in all places where they are kept."""
    row[base + cell] = mask
    own = copies[cell]
    for q in range(own[0]):
        row[base + own[1 + 2 * q]] = mask


@inlined
def lock(row, base, pieces, members, copies, masks, piece_masks, twice):
    """Strike locked candidates, all houses in one pass. True if any was struck."""
    splits = twice.size
    width = pieces.shape[1] - 6
    for t in range(pieces.shape[0]):
        piece = pieces[t]
        mask = row[base + piece[0]]
        for q in range(1, width):
            mask |= row[base + piece[q]]
        piece_masks[t] = mask
        masks[piece[width]] = mask
        masks[piece[width + 1]] = mask
    for s in range(0, splits, VECTOR):
        seen_twice(masks, s, splits, masks.size // splits, twice, s)
    struck = False
    for t in range(pieces.shape[0]):
        piece = pieces[t]
        locked = piece_masks[t] & (twice[piece[width + 2]] ^ twice[piece[width + 3]])
        if locked == 0:
            continue
        for side in range(2):
            house = members[piece[width + 4 + side]]
            for k in range(house.size):
                cell = house[k]
                if row[base + cell] & locked == 0:
                    continue
                inside = False
                for q in range(width):
                    inside |= piece[q] == cell
                if not inside:
                    set_candidates(row, base, cell, row[base + cell] & ~locked, copies)
                    struck = True
    return struck


@inlined
def naked(row, base, values, weights, reach, copies, cell_lanes, open_at, width):
    """Fill every cell that has one candidate: how many, or -1 where a cell has none."""
    filled = 0
    for lane in range(0, cell_lanes, VECTOR):
        cells = at_most_one(row, base + lane, base + width - cell_lanes + lane)
        while cells:
            cell = lane + lowest(cells)
            cells &= cells - 1
            bit = np.int64(row[base + cell])
            if bit == 0:
                own = copies[cell]
                for q in range(own[0]):
                    weights[own[2 + 2 * q] - open_at] += 1
                return -1
            fill(row, base, cell, bit, reach, width)
            values[cell] = lowest(bit) + 1
            filled += 1
    return filled


@inlined
def hidden(row, base, values, weights, singles, reach, members, cell_lanes, open_at, width):
    """Fill every digit that has one place in a house: how many, or -1 where one has no place."""
    filled = 0
    houses, size = weights.size, members.shape[1]
    for lane in range(0, houses, VECTOR):
        at = base + cell_lanes + lane
        found = one_place(row, at, houses, size, base + open_at + lane, singles, lane)
        broken = found >> 16
        if broken:
            while broken:
                weights[lane + lowest(broken)] += 1
                broken &= broken - 1
            return -1
        while found:
            house = lane + lowest(found)
            found &= found - 1
            digits = np.int64(singles[house])
            while digits:
                bit = digits & -digits
                digits &= digits - 1
                if row[base + open_at + house] & bit == 0:
                    continue  # placed meanwhile, through another house
                k = 0
                while k < size and row[base + cell_lanes + k * houses + house] & bit == 0:
                    k += 1
                if k == size:
                    return -1
                cell = np.int64(members[house, k])
                fill(row, base, cell, bit, reach, width)
                values[cell] = lowest(bit) + 1
                filled += 1
    return filled


@inlined
def choose(row, base, weights, copies, cell_lanes, open_at, count):
    """The cell to branch on: two candidates, in the heaviest houses; else fewest candidates."""
    chosen, heaviest = -1, -1
    for lane in range(0, cell_lanes, VECTOR):
        cells = exactly_two(row, base + lane)
        while cells:
            cell = lane + lowest(cells)
            cells &= cells - 1
            own = copies[cell]
            weight = 0
            for q in range(own[0]):
                weight += weights[own[2 + 2 * q] - open_at]
            if weight > heaviest:
                chosen, heaviest = cell, weight
    if chosen >= 0:
        return chosen
    fewest = 99
    for cell in range(count):
        candidates = popcount(np.int64(row[base + cell]))
        if 0 < candidates < fewest:
            chosen, fewest = cell, candidates
    return chosen


@inlined
def solve(clues, limit, node_limit, seed, solutions, work, tables):
    """Solutions found, up to the limit (-1: the node limit ran out), and branches taken."""
    rows, trail, values, weights, singles, masks, piece_masks, twice, _ = work
    size, cell_lanes, house_lanes, _, _, reach, copies, members, pieces, start = tables
    count = size * size
    open_at = cell_lanes + size * house_lanes
    width = start.size

    copy(rows, 0, start, 0, width // VECTOR)
    weights[:] = 0
    left = count
    for cell in range(count):
        if clues[cell]:
            bit = np.int64(1) << (clues[cell] - 1)
            if rows[cell] & bit == 0:
                return 0, 0
            fill(rows, 0, cell, bit, reach, width)
            values[cell] = clues[cell]
            left -= 1

    found, nodes, depth, base = 0, 0, 0, 0
    fruitful = False
    while True:
        alive = True
        while left:
            filled = naked(rows, base, values, weights, reach, copies, cell_lanes, open_at, width)
            if filled == 0:
                filled = hidden(
                    rows, base, values, weights, singles, reach, members,
                    cell_lanes, open_at, width,
                )  # fmt: skip
            if filled < 0:
                alive = False
                break
            left -= filled
            # While every branch ends in a solution, locked candidates would spare nothing.
            if filled == 0 and (
                fruitful or not lock(rows, base, pieces, members, copies, masks, piece_masks, twice)
            ):
                break
        if not alive or left == 0:
            fruitful = alive
        if alive and left == 0:
            if found < solutions.shape[0]:
                for cell in range(count):
                    solutions[found, cell] = values[cell]
            found += 1
            if found >= limit:
                return found, nodes
            alive = False
        if not alive:
            if depth == 0:
                return found, nodes
            depth -= 1
            base = depth * width
            cell, left = trail[depth, 0], trail[depth, 2]
            mask = np.int64(rows[base + cell]) & ~trail[depth, 1]
            set_candidates(rows, base, cell, mask, copies)
            continue

        cell = choose(rows, base, weights, copies, cell_lanes, open_at, count)
        mask = np.int64(rows[base + cell])
        if seed:
            seed ^= seed << np.uint64(13)
            seed ^= seed >> np.uint64(7)
            seed ^= seed << np.uint64(17)
            skip = np.int64(seed >> np.uint64(33)) % popcount(mask)
            for _ in range(skip):
                mask &= mask - 1
        bit = mask & -mask
        nodes += 1
        if nodes > node_limit:
            return -1, nodes
        trail[depth, 0], trail[depth, 1], trail[depth, 2] = cell, bit, left
        copy(rows, base + width, rows, base, width // VECTOR)
        depth += 1
        base += width
        fill(rows, base, cell, bit, reach, width)
        values[cell] = lowest(bit) + 1
        left -= 1


def run(grids, limit, node_limit, seed, counts, nodes, solutions, work, tables):
    """Search each grid of ``grids`` (k, cells).

    ``counts[k]`` becomes the number of solutions, up to ``limit``, or -1 where ``node_limit``
    branches were not enough; ``nodes[k]`` the branches taken; ``solutions[k]`` (m, cells) the first
    m solutions. ``seed`` other than 0 branches at random (xorshift, Marsaglia 2003).
    """
    for k in range(grids.shape[0]):
        counts[k], nodes[k] = solve(grids[k], limit, node_limit, seed, solutions[k], work, tables)
