"""Flat forms: what a part forbids, said as pairs and sums alone.

The rule search compiles these; a part that has them is never asked to `prune` there. They say the
same as `holds`, and more need not be said: tests hold the two against each other.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple


class Pairs(NamedTuple):
    """In each of the pairs, the first cell's digit and the second's, in this order, fit."""

    pairs: tuple[tuple[int, int], ...]
    fits: Callable[[int, int], bool]


class Sums(NamedTuple):
    """The digits of the cells, less those of ``less``, make ``total``."""

    cells: tuple[int, ...]
    total: int
    less: tuple[int, ...] = ()


FlatForm = Pairs | Sums
