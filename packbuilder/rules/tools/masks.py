"""Candidate masks: sets of digits as ints, bit d-1 for digit d."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache, reduce
from operator import and_, or_


def everything(size: int) -> int:
    """All digits of a grid."""
    return (1 << size) - 1


def bit(d: int) -> int:
    """The mask of one digit."""
    return 1 << (d - 1)


def mask_of(digits: Iterable[int]) -> int:
    """The mask of some digits."""
    mask = 0
    for d in digits:
        mask |= 1 << (d - 1)
    return mask


@cache
def digits_of(mask: int) -> tuple[int, ...]:
    """The digits of a mask, smallest first."""
    return tuple(d for d in range(1, mask.bit_length() + 1) if mask >> (d - 1) & 1)


def least(mask: int) -> int:
    """The smallest digit of a mask that is not empty."""
    return (mask & -mask).bit_length()


def most(mask: int) -> int:
    """The largest digit of a mask; 0 for an empty one."""
    return mask.bit_length()


def up_to(d: int) -> int:
    """The digits 1 to ``d``; none for 0 or less."""
    return (1 << d) - 1 if d > 0 else 0


def single(mask: int) -> bool:
    """Whether exactly one digit is left."""
    return mask != 0 and mask & (mask - 1) == 0


def union_of(masks: Iterable[int]) -> int:
    """The digits that any of some masks has."""
    return reduce(or_, masks, 0)


def common_to(masks: Sequence[int]) -> int:
    """The digits that all of some masks have; none for no masks."""
    return reduce(and_, masks) if masks else 0


def keep(masks: list[int], cells: Sequence[int], kept: Sequence[int] | None) -> bool:
    """Leave the cells what is kept of them; False where nothing fits, which is None."""
    if kept is None:
        return False
    for cell, mask in zip(cells, kept, strict=True):
        masks[cell] = mask
    return True


@cache
def partners(size: int, allowed: Callable[[int, int], bool]) -> tuple[int, ...]:
    """For each digit (index 0 unused) the mask of those that ``allowed(digit, other)`` accepts."""
    span = range(1, size + 1)
    return (0, *(mask_of(e for e in span if allowed(d, e)) for d in span))
