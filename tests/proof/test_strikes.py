"""What houses strike: positions worked out by hand; never a digit of a solution; from any start.

Naked and hidden sets, and pointing: common practice, no source.
"""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, blocks, latin, parse_cell
from packbuilder.proof import kernel
from packbuilder.proof.flat_rules import Flat
from tests.proof.geometries import MANY, with_houses

NINE = blocks(3, 3)
GRIDS = {
    name: [kernel.random_solution(MANY[name], seed) for seed in range(3)]
    for name in ("5x5-irregular", "6x6", "9x9", "9x9-diagonals", "12x12")
}


def mask(digits: str) -> int:
    return sum(1 << int(d) - 1 for d in digits)


def struck(geometry: Geometry, given: dict[str, str]) -> dict[str, str]:
    """What is left in the cells of row 1 and of block 1 that have lost something."""
    full = (1 << geometry.size) - 1
    masks = [full] * geometry.cell_count
    for name, digits in given.items():
        masks[parse_cell(name, geometry.size)] = mask(digits)
    before = masks.copy()
    assert Flat(geometry).settle([0] * len(masks), masks) == -1
    return {
        f"r{cell // geometry.size + 1}c{cell % geometry.size + 1}": "".join(
            str(d) for d in range(1, geometry.size + 1) if masks[cell] >> d - 1 & 1
        )
        for cell in range(geometry.cell_count)
        if masks[cell] != before[cell]
    }


def test_a_filled_cell_clears_its_houses_and_a_last_place_is_filled() -> None:
    left = struck(latin(9), {"r1c1": "1", **{f"r1c{c}": "12345678" for c in range(2, 9)}})
    assert left == {**{f"r1c{c}": "2345678" for c in range(2, 9)}, "r1c9": "9",
                    **{f"r{r}c1": "23456789" for r in range(2, 10)},
                    **{f"r{r}c9": "12345678" for r in range(2, 10)}}  # fmt: skip


def test_a_digit_of_a_block_in_one_row_leaves_the_rest_of_the_row() -> None:
    rest = {f"r{r}c{c}": "12345678" for r in (2, 3) for c in (1, 2, 3)}
    left = struck(NINE, rest)
    assert left == {f"r1c{c}": "12345678" for c in range(4, 10)}


def test_a_small_house_need_not_hold_every_digit() -> None:
    small = with_houses(latin(5), (0, 6, 12))  # 5 stands in two of three cells: nothing follows
    assert struck(small, {"r3c3": "1234", "r1c1": "1235"}) == {}


def test_a_digit_without_a_place_cannot_be() -> None:
    masks = [511] * 81
    for cell in range(9):
        masks[cell] = mask("12345678")
    assert Flat(NINE).settle([0] * 81, masks) >= 0


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(sorted(GRIDS)), st.integers(0, 10**6), st.sampled_from([0.1, 0.3, 0.6]))
def test_no_digit_of_a_solution_goes(name: str, seed: int, share: float) -> None:
    draw, geometry = random.Random(seed), MANY[name]
    solved = draw.choice(GRIDS[name])
    masks = [
        1 << d - 1 | sum(1 << e for e in range(geometry.size) if draw.random() < share)
        for d in solved
    ]
    start, houses = masks.copy(), Flat(geometry)
    assert houses.settle([0] * len(masks), masks) == -1
    assert all(m >> d - 1 & 1 for m, d in zip(masks, solved, strict=True))
    assert all(m & ~s == 0 for m, s in zip(masks, start, strict=True))
    again = masks.copy()
    assert houses.settle([0] * len(masks), again) == -1
    assert again == masks
    # One cell changed: looking only at its houses leaves no more than looking at all of them.
    open_cells = [c for c, m in enumerate(masks) if m & (m - 1)]
    if open_cells:
        cell = draw.choice(open_cells)
        near, far = masks.copy(), masks.copy()
        near[cell] = far[cell] = 1 << solved[cell] - 1
        assert houses.settle(masks, near) == houses.settle([0] * len(masks), far) == -1
        assert near == far
