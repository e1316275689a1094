"""What houses alone strike from candidates: the compiled part of the rule search.

A position is an array of masks, one a cell: bit ``d - 1`` is set while the cell may hold digit
``d``. A house strikes the digits of its filled cells, fills the one place of a digit, and, where
that is all done, strikes by sets: k cells with k digits between them, k digits with k cells between
them (as far as one of the cells, or of the digits, has the whole set), and digits that one house
holds only where it crosses another. Numba is imported here.

The houses of a geometry lie in flat arrays (`flat_houses` makes them)::

    cells[starts[h] : starts[h + 1]]           the cells of house h
    of[of_starts[cell] : of_starts[cell + 1]]  the houses of a cell

    pieces  ... cells of both | of the first house only | of the second only | ...    a crossing:
                ^ ............. ^ ....................... ^ .................. ^       the four
                crossings[k] = (these four)                                           places
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from packbuilder.proof.compiling import cached

_part = njit(nogil=True)
"""Compiled as a part of `settle`, and kept on disk with it."""

_inlined = njit(inline="always")


@_inlined
def _count(mask: int) -> int:
    found = 0
    while mask:
        mask &= mask - 1
        found += 1
    return found


@_inlined
def _mark(cell: int, dirty: Any, of_starts: Any, of: Any) -> None:
    for k in range(of_starts[cell], of_starts[cell + 1]):
        dirty[of[k]] = 3  # both passes


@cached
def settle(
    before: Any, masks: Any, size: int, starts: Any, cells: Any, of_starts: Any, of: Any,
    crossing_starts: Any, crossings: Any, pieces: Any,
) -> int:  # fmt: skip
    """Strike in ``masks`` until nothing moves: -1, or the house that cannot hold any more.

    Only houses with cells that differ from ``before`` are looked at to begin with.
    """
    dirty = np.zeros(len(starts) - 1, np.uint8)
    for cell in range(len(masks)):
        if masks[cell] != before[cell]:
            _mark(cell, dirty, of_starts, of)
    again = True
    while again:
        again = False
        for h in range(len(dirty)):  # pass one: singles, until none moves
            if dirty[h] & 1:
                dirty[h] &= 2
                if not _singles(masks, h, size, starts, cells, of_starts, of, dirty):
                    return h
                again = True
        if again:
            continue
        for h in range(len(dirty)):  # pass two: sets and crossings of one house, then singles again
            if dirty[h] & 2:
                dirty[h] = 0
                if not _sets(masks, h, size, starts, cells, of_starts, of, dirty):
                    return h
                if not _crossed(masks, h, crossing_starts, crossings, pieces, of_starts, of, dirty):
                    return h
                again = True
                if dirty[h]:
                    break
    return -1


@_part
def _singles(
    masks: Any, h: int, size: int, starts: Any, cells: Any, of_starts: Any, of: Any, dirty: Any
) -> bool:
    once = twice = filled = 0
    for k in range(starts[h], starts[h + 1]):
        mask = masks[cells[k]]
        twice |= once & mask
        once |= mask
        if mask & (mask - 1) == 0:
            if mask & filled or mask == 0:
                return False
            filled |= mask
    alone = 0
    if starts[h + 1] - starts[h] == size:
        if once != (1 << size) - 1:
            return False
        alone = once & ~twice & ~filled
    if alone == 0 and twice & filled == 0:
        return True
    for k in range(starts[h], starts[h + 1]):
        mask = masks[cells[k]]
        if mask & (mask - 1):
            left = mask & ~filled
            if left & alone:
                left &= alone
                if left & (left - 1):
                    return False
            if left == 0:
                return False
            if left != mask:
                masks[cells[k]] = left
                _mark(cells[k], dirty, of_starts, of)
    return True


@_part
def _sets(
    masks: Any, h: int, size: int, starts: Any, cells: Any, of_starts: Any, of: Any, dirty: Any
) -> bool:
    first, last = starts[h], starts[h + 1]
    if last - first < 3:
        return True
    for k in range(first, last):  # the cells whose digits lie within those of one of them
        mask = masks[cells[k]]
        width = _count(mask)
        if width < 2 or width >= last - first:
            continue
        within = 0
        for j in range(first, last):
            if masks[cells[j]] & ~mask == 0:
                within += 1
        if within > width:
            return False
        if within == width:
            for j in range(first, last):
                other = masks[cells[j]]
                if other & ~mask and other & mask:
                    masks[cells[j]] = other & ~mask
                    _mark(cells[j], dirty, of_starts, of)
    if last - first < size:
        return True
    places = np.zeros(size, np.int64)
    for k in range(first, last):
        mask = masks[cells[k]]
        for d in range(size):
            if mask >> d & 1:
                places[d] |= 1 << (k - first)
    for d in range(size):  # the digits whose places lie within those of one of them
        width = _count(places[d])
        if width < 2 or width >= size:
            continue
        group = 0
        for e in range(size):
            if places[e] & ~places[d] == 0:
                group |= 1 << e
        held = _count(group)
        if held > width:
            return False
        if held == width:
            for k in range(first, last):
                mask = masks[cells[k]]
                if places[d] >> (k - first) & 1 and mask & ~group:
                    masks[cells[k]] = mask & group
                    if mask & group == 0:
                        return False
                    _mark(cells[k], dirty, of_starts, of)
    return True


@_part
def _crossed(
    masks: Any, h: int, crossing_starts: Any, crossings: Any, pieces: Any, of_starts: Any, of: Any,
    dirty: Any,
) -> bool:  # fmt: skip
    for row in range(crossing_starts[h], crossing_starts[h + 1]):
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
                _mark(cell, dirty, of_starts, of)
    return True
