"""Sums of digits: which sets make a total, and which candidates of some cells can take part.

Sets of digits are masks (bit d-1 for digit d). The functions for candidates take the masks of the
cells as a tuple and are cached: a search meets the same few cells with the same candidates again
and again.
"""

from __future__ import annotations

from functools import cache, lru_cache
from itertools import combinations

from packbuilder.rules.tools.masks import bit, digits_of, everything, mask_of

MANY_SETS = 60
"""Sets past which each is only held against all candidates together, not against each cell's."""

MANY_ROWS = 1_500
"""Ways to fill a group of cells past which they are not told one by one."""

Kept = tuple[int, ...]


@cache
def _by_total(size: int, count: int) -> dict[int, tuple[int, ...]]:
    found: dict[int, list[int]] = {}
    for digits in combinations(range(1, size + 1), count):
        found.setdefault(sum(digits), []).append(mask_of(digits))
    return {total: tuple(masks) for total, masks in found.items()}


def sets(size: int, count: int, total: int) -> tuple[int, ...]:
    """The sets of ``count`` different digits from 1 to ``size`` that add up to ``total``.

    In the order of their digits, smallest first.
    """
    return _by_total(size, count).get(total, ())


def whole(size: int) -> int:
    """What all digits of a grid add up to: 45 for 9."""
    return size * (size + 1) // 2


def span(count: int, size: int) -> tuple[int, int]:
    """The least and the most that ``count`` different digits add up to; all between can be made."""
    return count * (count + 1) // 2, count * (2 * size + 1 - count) // 2


# Cells that all differ.


@lru_cache(maxsize=32_768)
def fit(size: int, total: int, masks: tuple[int, ...]) -> tuple[Kept, int] | None:
    """Which candidates can stand where cells that all differ add up to ``total``.

    What is kept of each mask, and the digits that every set still possible holds; None where no
    set is possible. Exact once every cell is filled; sound always.
    """
    left = open_sets(size, total, masks)
    if not left:
        return None
    if len(left) > MANY_SETS:
        union, common = 0, everything(size)
        for choice in left:
            union |= choice
            common &= choice
        kept = [mask & union for mask in masks]
        return (tuple(kept), common) if all(kept) else None
    kept = [0] * len(masks)
    common = everything(size)
    for choice in left:
        placed = _arranged([mask & choice for mask in masks], choice)
        if placed:
            common &= choice
            for k, mask in enumerate(placed):
                kept[k] |= mask
    return (tuple(kept), common) if kept[0] else None


def open_sets(size: int, total: int, masks: tuple[int, ...]) -> list[int]:
    """The sets that use every digit placed in the cells, and none that no cell can hold."""
    union = filled = 0
    for mask in masks:
        union |= mask
        if not mask & (mask - 1):
            if not mask or filled & mask:
                return []
            filled |= mask
    return [s for s in sets(size, len(masks), total) if not (s & ~union or filled & ~s)]


def _arranged(masks: list[int], choice: int) -> list[int] | None:
    """Candidates for cells that hold all of ``choice`` among them: naked and hidden singles."""
    while True:
        once = twice = filled = 0
        for mask in masks:
            if not mask & (mask - 1):
                if not mask or mask & filled:
                    return None
                filled |= mask
            twice |= once & mask
            once |= mask
        if once != choice:
            return None
        alone = once & ~twice & ~filled
        if not (alone or twice & filled):
            return masks
        for k, mask in enumerate(masks):
            if mask & (mask - 1):
                mask &= ~filled
                if mask & alone:
                    mask &= alone
                    if mask & (mask - 1):
                        return None
                masks[k] = mask


# Cells that may be equal.


@lru_cache(maxsize=32_768)
def balance(size: int, total: int, plus: tuple[int, ...], minus: tuple[int, ...]) -> Kept | None:
    """Which candidates can stand where some cells less others make ``total``.

    What is kept of each mask, those of ``plus`` first; None where none fits. Exact for cells that
    may hold equal digits. Bit s of a set of sums stands for the sum s; a digit taken off counts as
    size + 1 - d added.
    """
    masks = (*plus, *(_turned(mask, size) for mask in minus))
    goal = total + (size + 1) * len(minus)
    if not len(masks) <= goal <= size * len(masks):
        return () if not masks and goal == 0 else None
    sums = [1]
    for mask in masks:
        before, after = sums[-1], 0
        for d in digits_of(mask):
            after |= before << d
        sums.append(after)
    wanted = sums[-1] & 1 << goal
    if not wanted:
        return None
    kept = [0] * len(masks)
    for k in range(len(masks) - 1, -1, -1):
        before, fitting = sums[k], 0
        for d in digits_of(masks[k]):
            back = wanted >> d & before
            if back:
                kept[k] |= bit(d)
                fitting |= back
        wanted = fitting
    n = len(plus)
    return (*kept[:n], *(_turned(mask, size) for mask in kept[n:]))


@cache
def _turned(mask: int, size: int) -> int:
    return mask_of(size + 1 - d for d in digits_of(mask))


# Groups of cells that differ, where cells of two groups may be equal.


@lru_cache(maxsize=32_768)
def grouped(size: int, total: int, groups: tuple[Kept, ...]) -> tuple[Kept, ...] | None:
    """Which candidates can stand where groups of differing cells add up to ``total`` together.

    None where none fits. A group with too many ways to fill it is taken cell by cell.
    """
    tables = [_spread(size, masks) for masks in groups]
    sums = [1]
    for table in tables:
        before, after = sums[-1], 0
        for part in table:
            after |= before << part
        sums.append(after)
    wanted = sums[-1] & 1 << total if total >= 0 else 0
    if not wanted:
        return None
    kept: list[Kept] = []
    for k in range(len(groups) - 1, -1, -1):
        before, fitting, mine = sums[k], 0, 0
        for part, support in tables[k].items():
            back = wanted >> part & before
            if back:
                fitting |= back
                mine |= support
        kept.append(_unpacked(size, len(groups[k]), mine))
        wanted = fitting
    return tuple(reversed(kept))


@lru_cache(maxsize=16_384)
def _spread(size: int, masks: Kept) -> dict[int, int]:
    """For each sum that differing cells can make, the candidates that take part in it, packed."""
    ways = 1
    for mask in masks:
        ways *= mask.bit_count()
    if ways > MANY_ROWS:
        low = sum(digits_of(mask)[0] for mask in masks)
        high = sum(mask.bit_length() for mask in masks)
        packed = sum(mask << k * size for k, mask in enumerate(masks))
        return dict.fromkeys(range(low, high + 1), packed)
    rows = [(0, 0, 0)]
    for k, mask in enumerate(masks):
        digits = [(d, bit(d), bit(d) << k * size) for d in digits_of(mask)]
        rows = [
            (part + d, used | one, packed | place)
            for part, used, packed in rows
            for d, one, place in digits
            if not used & one
        ]
    found: dict[int, int] = {}
    for part, _, packed in rows:
        found[part] = found.get(part, 0) | packed
    return found


def _unpacked(size: int, count: int, packed: int) -> Kept:
    """Masks that are packed into one number, ``size`` bits each."""
    return tuple([packed >> k * size & everything(size) for k in range(count)])
