"""Geometries and random grids that the tests of this room share."""

from __future__ import annotations

import random
from dataclasses import replace

from packbuilder.grid import Geometry, House, Values, blocks, irregular, latin
from packbuilder.proof import kernel

IRREGULAR_4 = irregular("AABB\nAABC\nDDBC\nDDCC")
IRREGULAR_5 = irregular("AAABB\nACCBB\nACCEB\nDDCEE\nDDDEE")
IRREGULAR_9 = irregular(
    "AAAABBBBB\nAAAAABBBB\nCCCDDDEEE\nCCCDDDEEE\nCCCDDDEEE\nFFFFGGGGG\nFFFFFGGGG\nHHHHHIIII\nHHHHIIIII"
)


def with_houses(geometry: Geometry, *houses: tuple[int, ...]) -> Geometry:
    """The geometry with more houses, each a tuple of cells."""
    more = tuple(House("extra", f"extra {k + 1}", cells) for k, cells in enumerate(houses))
    return replace(geometry, houses=(*geometry.houses, *more))


DIAGONALS_9 = with_houses(
    blocks(3, 3), tuple(range(0, 81, 10)), tuple(range(8, 80, 8))
)  # both long diagonals

SIZE_4 = {
    "blocks": blocks(2, 2),
    "latin": latin(4),
    "irregular": IRREGULAR_4,
    "blocks-diagonal": with_houses(blocks(2, 2), (0, 5, 10, 15)),
    "latin-pair": with_houses(latin(4), (0, 5)),
    "blocks-three": with_houses(blocks(2, 2), (0, 5, 11)),
    "irregular-two-and-three": with_houses(IRREGULAR_4, (0, 15), (3, 6, 9)),
    "row-again": with_houses(latin(4), (0, 1, 2, 3)),
    "no-grid-fits": with_houses(latin(4), (0, 5, 10, 3, 12)),
}

MANY = {
    "5x5": latin(5),
    "5x5-irregular": IRREGULAR_5,
    "6x6": blocks(2, 3),
    "7x7": latin(7),
    "9x9": blocks(3, 3),
    "9x9-irregular": IRREGULAR_9,
    "9x9-diagonals": DIAGONALS_9,
    "9x9-latin": latin(9),
    "12x12": blocks(3, 4),
    "16x16": blocks(4, 4),
}


def random_clues(geometry: Geometry, seed: int, share: float, wrong: int = 0) -> Values:
    """A share of a random solved grid, ``wrong`` of its clues then changed at random."""
    draw = random.Random(seed)
    solved = kernel.random_solution(geometry, seed)
    clues = [digit if draw.random() < share else 0 for digit in solved]
    for cell in draw.sample(range(len(clues)), wrong):
        clues[cell] = draw.randint(1, geometry.size)
    return tuple(clues)
