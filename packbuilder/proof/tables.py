"""Tables: a geometry laid out for the compiled search.

The search keeps one level of its tree as one row of 16-bit words, called lanes. Bit d-1 of a lane
stands for digit d. A row has four parts, each padded to whole vectors of 16 lanes:

    | cells       | places: stripe k has a lane for each house      | open      | pending     |
    | c0 c1 c2 ...| k=0: h0 h1 ... | k=1: h0 h1 ... | ... | k=n-1 | h0 h1 ... | c0 c1 c2 ...|

- *cells*: the candidates of each cell; 0 once the cell is filled.
- *places*: the same masks again, seen from the houses: lane h of stripe k is a copy of the
  candidates of the k-th cell of house h. Laid out so, "which digits have one place left in their
  house" is a running AND and OR over the stripes, 16 houses at a time.
- *open*: the digits that each house has still to place.
- *pending*: all ones for a cell that is not filled, 0 for one that is (and for padding): so that a
  filled cell and a cell without candidates are told apart.

Placing a digit is then one sweep of vectors over the row (``reach``), for any houses.

A *full* house has as many cells as the grid has digits, so it must hold every digit; only full
houses have lanes of their own. A smaller house just keeps its cells unequal, down to a pair of
cells that must differ: it lives in ``reach`` alone.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import Geometry

Lanes = NDArray[np.uint16]
Numbers = NDArray[np.uint32]

VECTOR = 16
"""Lanes in one vector: 16 lanes of 16 bits are one AVX2 register, two SSE or NEON registers."""


class Tables(NamedTuple):
    """What the search needs to know of a geometry. A tuple, so that numba takes it as it is.

    ``reach[cell]`` (cells, lanes; flat) says what placing a digit in the cell does to each lane:
    all ones where the digit is struck (the peers and their copies, the open digits of the cell's
    houses), 1 where the lane is emptied (the cell and its copies), else 0.

    ``copies[cell]`` is a count, then that many pairs (lane of a copy of the cell, lane of the open
    digits of that house). ``members[house]`` lists the cells of a full house. ``pieces`` serves
    locked candidates, see `_pieces`; ``splits`` is how many splits there are, padded, and ``depth``
    how many pieces the largest has. ``start`` is the row of the empty grid.
    """

    size: int
    cell_lanes: int
    house_lanes: int
    splits: int
    depth: int
    reach: Lanes
    copies: Numbers
    members: Numbers
    pieces: Numbers
    start: Lanes


class Room(NamedTuple):
    """Room for one search to work in: a row a level and the way through them, the digits placed,
    what `search.fill` and `search.lock` note down, and four lists for `easy_steps`."""

    rows: Lanes
    trail: NDArray[np.int64]
    values: NDArray[np.uint8]
    weights: NDArray[np.int64]
    singles: Lanes
    masks: Lanes
    piece_masks: Lanes
    twice: Lanes
    sets: NDArray[np.int64]


def room(tables: Tables) -> Room:
    """New room: whoever searches at the same time needs their own."""
    count = tables.size * tables.size
    return Room(
        np.empty((count + 1) * tables.start.size, np.uint16),
        np.empty((count + 1, 3), np.int64),
        np.zeros(count, np.uint8),
        np.zeros(tables.house_lanes, np.int64),
        np.empty(tables.house_lanes, np.uint16),
        np.zeros(tables.splits * tables.depth, np.uint16),
        np.empty(tables.pieces.shape[0], np.uint16),
        np.empty(tables.splits, np.uint16),
        np.empty((4, tables.size), np.int64),
    )


@lru_cache(maxsize=64)
def tables(geometry: Geometry) -> Tables:
    """Lay out a geometry, once."""
    size, count = geometry.size, geometry.cell_count
    full = [tuple(h.cells) for h in geometry.houses if len(h.cells) == size]
    cell_lanes, house_lanes = _padded(count), _padded(len(full))
    open_at = cell_lanes + size * house_lanes
    pending_at = open_at + house_lanes

    where: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for h, cells in enumerate(full):
        for k, cell in enumerate(cells):
            where[cell].append((cell_lanes + k * house_lanes + h, open_at + h))

    reach = np.zeros((count, pending_at + cell_lanes), np.uint16)
    for cell, others in enumerate(geometry.peers):
        for other in others:
            reach[cell, [other, *(lane for lane, _ in where[other])]] = 0xFFFF
        reach[cell, [lane for _, lane in where[cell]]] = 0xFFFF
        reach[cell, [cell, pending_at + cell, *(lane for lane, _ in where[cell])]] = 1

    copies = np.zeros((count, 1 + 2 * max(map(len, where))), np.uint32)
    for cell, pairs in enumerate(where):
        flat = [lane for pair in pairs for lane in pair]
        copies[cell, : 1 + len(flat)] = [len(pairs), *flat]

    digits = (1 << size) - 1
    if any(len(h.cells) > size for h in geometry.houses):
        digits = 0  # a house with more cells than there are digits: no grid fits
    start = np.zeros(pending_at + cell_lanes, np.uint16)
    start[:count] = digits
    start[pending_at : pending_at + count] = 0xFFFF
    for h in range(len(full)):
        start[open_at + h] = digits
        start[cell_lanes + h : open_at : house_lanes] = digits

    splits, depth, pieces = _pieces(size, full)
    members = np.array(full, np.uint32).reshape(-1, size)
    return Tables(
        size, cell_lanes, house_lanes, splits, depth, reach.ravel(), copies, members, pieces, start
    )


def _padded(lanes: int) -> int:
    """Rounded up to whole vectors, and never nothing."""
    return max(1, -(-lanes // VECTOR)) * VECTOR


def _pieces(size: int, full: list[tuple[int, ...]]) -> tuple[int, int, Numbers]:
    """Cut the houses into pieces, for locked candidates in one pass over all of them.

    The full houses fall into *families* of disjoint houses (rows, columns, blocks). Each family
    *splits* every house outside it into pieces: row 1 is split by the blocks into three. A digit
    with its places in one piece only of some split is locked there. A piece where two houses meet
    belongs to two splits, one of each house; a digit locked in one and not in the other can be
    struck from the rest of both.

    Each row of the result is one piece: its cells (the last repeated to a common width), then the
    two positions where its mask is stored (split by split: position = turn x splits + split), the
    two splits and the two houses.
    """
    families: list[list[int]] = []
    for h, cells in enumerate(full):
        for family in families:
            if all(set(cells).isdisjoint(full[g]) for g in family):
                family.append(h)
                break
        else:
            families.append([h])

    found: dict[tuple[int, int, tuple[int, ...]], list[int]] = {}
    rests: list[tuple[int, tuple[int, ...], int]] = []
    split_count = 0
    for h, cells in enumerate(full):
        for family in families:
            cuts = {g: tuple(sorted(set(cells) & set(full[g]))) for g in family}
            sizes = [len(cut) for cut in cuts.values()]
            if h in family or max(sizes) < 2:
                continue
            split, split_count = split_count, split_count + 1
            for g, cut in cuts.items():
                if cut:
                    found.setdefault((min(h, g), max(h, g), cut), []).append(split)
            rest = tuple(sorted(set(cells) - {cell for cut in cuts.values() for cell in cut}))
            if rest:
                rests.append((h, rest, split))

    width = max([1, *(len(cut) for _, _, cut in found), *(len(rest) for _, rest, _ in rests)])
    padded = _padded(split_count)
    turns = [0] * padded
    rows = []
    for (a, b, cut), splits in [*found.items(), *(((h, h, r), [s]) for h, r, s in rests)]:
        positions = []
        for split in splits:
            positions.append(turns[split] * padded + split)
            turns[split] += 1
        cells = cut + cut[-1:] * (width - len(cut))
        rows.append([*cells, *(positions * 2)[:2], *(splits * 2)[:2], a, b])
    return padded, max([1, *turns]), np.array(rows, np.uint32).reshape(-1, width + 6)
