"""Small functions to compile."""

# mypy: ignore-errors
from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np


class Pair(NamedTuple):
    scale: int
    numbers: Any


def total(numbers, pair, seed) -> int:
    """A weighted sum, which is also written down."""
    found = 0
    for k in range(numbers.shape[0]):
        for j in range(numbers.shape[1]):
            found += numbers[k, j] * pair.numbers[j] * pair.scale
    pair.numbers[0] = found
    return found + np.int64(seed >> np.uint64(63))


def other(numbers, pair, seed) -> int:
    """Not that sum."""
    return numbers[0, 0]


def with_memory(numbers, pair, seed) -> int:
    """The same sum; it asks for memory of its own."""
    room = np.zeros(numbers.shape[1], np.int64)
    for k in range(numbers.shape[0]):
        for j in range(numbers.shape[1]):
            room[j] += numbers[k, j] * pair.numbers[j] * pair.scale
    found = 0
    for j in range(len(room)):
        found += room[j]
    return found + np.int64(seed >> np.uint64(63))


def by_zero(numbers, pair, seed) -> int:
    """Divides by the scale."""
    return numbers[0, 0] // pair.scale
