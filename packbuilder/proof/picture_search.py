"""The search for clues in a picture, compiled: which digits in these cells leave one solution?

A grid is changed a little, a digit or two at a time, and its solutions are counted, only as far as
their number before; it is kept where it has no more of them. Once it has one, the search goes on
among grids with one solution, and keeps what scores no less::

    0   singles and the steps below finish it
    1   it is stuck there
    2   it is stuck there, and a step that is asked for can be taken
    3   ... and with these steps it is finished
"""

# mypy: ignore-errors
from __future__ import annotations

import numpy as np
from numba import njit

from packbuilder.proof.easy_steps import begin, open_steps, settle
from packbuilder.proof.search import inlined, solve

COUNTED = 200
"""Solutions that are told apart, at first: past so many, one grid is as bad as another."""

COUNT_NODES = 20_000
"""Branches for one count. A grid that needs more counts as having too many solutions."""

PATIENCE = 60
"""Grids of a lower score that are passed over before one of them is taken."""


def run(grid, place, asked, tries, nodes, state, found, work, tables) -> int:
    """Change ``grid`` up to so many times, and write the grids that will do to ``found``.

    ``nodes`` bounds the branches of all counts. ``state`` holds a random seed, not 0, that moves
    on; the solutions counted so far, at first 0; and how many grids with one solution were met.
    Gives how many grids were found.
    """
    cells = tables.size * tables.size
    none = found[:0]
    many, hits, met, idle, score = np.int64(state[1]), 0, 0, 0, -1
    while tries > 0 and nodes > 0 and hits < found.shape[0]:
        tries -= 1
        a, b, old_a, old_b = 0, 0, grid[0], grid[0]
        if many:
            state[0] = shuffle(state[0])
            a, b, legal = change(grid, place, asked, state[0], tables.size)
            old_a, old_b = place.old[0], place.old[1]
            if not legal:
                grid[a], grid[b] = old_a, old_b
                continue
        limit = min(many, COUNTED) + 1 if many else COUNTED + 1
        count, used = counted(grid, limit, none, work, tables)
        nodes -= used + 1
        kept = 0 < count <= many
        if many == 0:
            kept, many = True, COUNTED + 1
            count = count if count > 0 else many
        if kept and count == 1:
            met += 1
            new = score_of(grid, asked, work, tables)
            if new > asked.high > 0:
                new = asked.low - 1
            idle = 0 if new >= score or asked.high == 0 else idle + 1
            kept = idle == 0 or idle > PATIENCE
            if kept:
                score, idle = new, 0
                if asked.low <= score <= asked.high and (
                    not asked.minimal or no_clue_to_spare(grid, none, work, tables)
                ):
                    for cell in range(cells):
                        found[hits, cell] = grid[cell]
                    hits += 1
        if kept:
            many = count
        else:
            grid[a], grid[b] = old_a, old_b
    state[1] = np.uint64(many)
    state[2] += np.uint64(met)
    return hits


@njit
def counted(grid, limit, none, work, tables):
    """How many solutions, up to a limit, and the branches taken. Compiled once for all its uses."""
    return solve(grid, limit, COUNT_NODES, np.uint64(0), none, work, tables)


@inlined
def shuffle(seed):
    """The next random word (xorshift, Marsaglia 2003)."""
    seed ^= seed << np.uint64(13)
    seed ^= seed >> np.uint64(7)
    seed ^= seed << np.uint64(17)
    return seed


@inlined
def change(grid, place, asked, seed, size):
    """Write another digit into a cell, or let two change theirs: the cells, and whether it may be.

    What stood there is noted in ``place.old``. 0 is no clue.
    """
    cells = place.cells
    draw = np.int64(seed >> np.uint64(20))
    i, draw = draw % cells.size, draw // cells.size
    j, draw = draw % cells.size, draw // cells.size
    if draw & 1:
        j = i
    a, b = cells[i], cells[j]
    place.old[0], place.old[1] = grid[a], grid[b]
    if i == j:
        grid[a] = (draw >> 1) % (size + 1)
    else:
        grid[a], grid[b] = grid[b], grid[a]
    legal = grid[a] != place.old[0]
    legal &= grid[a] > 0 or place.optional[i]
    legal &= grid[b] > 0 or place.optional[j]
    if legal and i == j and (grid[a] == 0 or place.old[0] == 0):
        given = 0
        for cell in range(grid.size):
            given += grid[cell] > 0
        legal = asked.fewest <= given <= asked.most
    if legal:
        legal = fits(grid, a, place.peers) and fits(grid, b, place.peers)
    return a, b, legal


@inlined
def fits(grid, cell, peers):
    """Whether no cell that sees this one has its clue. ``peers`` ends each list with the cell."""
    if grid[cell]:
        for k in range(peers.shape[1]):
            other = peers[cell, k]
            if other == cell:
                break
            if grid[other] == grid[cell]:
                return False
    return True


@inlined
def score_of(grid, asked, work, tables):
    """How far easy steps go in a grid with one solution: see the head of this file."""
    left = settle(begin(grid, work, tables), asked.below, work, tables)
    if left == 0:
        return 0
    if not asked.steps or not open_steps(asked.steps, work, tables):
        return 1
    left = settle(left, asked.below | asked.steps, work, tables)
    return 2 if left else 3


@inlined
def no_clue_to_spare(grid, none, work, tables):
    """Whether the grid has more solutions without any one of its clues."""
    for cell in range(grid.size):
        digit = grid[cell]
        if digit:
            grid[cell] = 0
            count, _ = counted(grid, np.int64(2), none, work, tables)
            grid[cell] = digit
            if count == 1:
                return False
    return True
