"""Orders of a line, against all permutations (the standard library's)."""

from __future__ import annotations

import random
from itertools import pairwise, permutations

import pytest

from packbuilder.rules.tools.line_orders import Clash, orders
from tests.rules.checks import all_grids, geometry_of, read


def apart(a: int, b: int) -> bool:
    return abs(a - b) == 1


def sums(a: int, b: int) -> bool:
    return a + b in (5, 10)


@pytest.mark.parametrize("clash", [apart, sums])
@pytest.mark.parametrize("size", [4, 5, 6, 7])
def test_what_is_left_is_what_some_permutation_has(size: int, clash: Clash) -> None:
    rng, empty, struck = random.Random(size), 0, 0
    for _ in range(60):
        share = rng.choice((0.3, 0.8))
        masks = tuple(
            sum(1 << d for d in range(size) if rng.random() < share) or 1 for _ in range(size)
        )
        bound = tuple(rng.random() < 0.8 for _ in range(size - 1))
        left = [0] * size
        for order in permutations(range(1, size + 1)):
            fits = all(mask >> d - 1 & 1 for mask, d in zip(masks, order, strict=True))
            if fits and not any(
                tied and clash(*pair) for tied, pair in zip(bound, pairwise(order), strict=True)
            ):
                left = [mask | 1 << d - 1 for mask, d in zip(left, order, strict=True)]
        found = orders(masks, bound, clash)
        assert found == (tuple(left) if any(left) else None)
        empty += found is None
        struck += found not in (None, masks)
    assert empty and struck


def test_all_lines_together_say_what_the_rule_says() -> None:
    """On all grids that keep rows, columns and blocks, by trying."""
    geometry = geometry_of(4)
    *_, part = read("xv", {"v": ["r1c1 r1c2"], "all-shown": "true"}, geometry)[0]
    kept = 0
    for values in all_grids(geometry):
        masks = [1 << d - 1 for d in values]
        held = all(line.prune(masks, 4) for line in part.sections(4))
        assert held == part.holds(values, 4)
        kept += held
    assert 0 < kept < len(all_grids(geometry))


def test_a_grid_too_wide_for_all_orders_is_taken_whole() -> None:
    for size, sections in ((9, 18), (10, 1)):
        ((part,), _) = read("non-consecutive", None, geometry_of(size))
        assert len(part.sections(size)) == sections
