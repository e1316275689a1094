"""Disguises of a 9x9 grid: the symmetries that keep rows, columns and blocks what they are."""

from __future__ import annotations

import random

from packbuilder.grid import Values


def disguised(grid: Values, rng: random.Random) -> Values:
    """The same grid with digits renamed, bands and lines within them shuffled, perhaps turned."""
    digits = [0, *rng.sample(range(1, 10), 9)]
    rows, columns = _lines(rng), _lines(rng)
    turned = rng.random() < 0.5
    return tuple(
        digits[grid[c * 9 + r] if turned else grid[r * 9 + c]] for r in rows for c in columns
    )


def _lines(rng: random.Random) -> list[int]:
    return [3 * band + line for band in rng.sample(range(3), 3) for line in rng.sample(range(3), 3)]
