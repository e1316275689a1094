"""Counts that others have published, found again by the kernel's own count."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from math import factorial

import numpy as np
import pytest

from packbuilder.grid import Geometry, blocks, latin, lines_of
from packbuilder.proof import kernel
from tests.conftest import data_grids

NO_LIMIT = 10**12


def count_all(geometry: Geometry) -> int:
    return kernel.count(geometry, (0,) * geometry.cell_count, limit=NO_LIMIT)


# Latin squares of order n: sequence A002860 of the On-Line Encyclopedia of Integer Sequences.
@pytest.mark.parametrize(("order", "squares"), [(1, 1), (2, 2), (3, 12), (4, 576), (5, 161_280)])
def test_latin_squares(order: int, squares: int) -> None:
    geometry = latin(order) if order >= 4 else Geometry(order, lines_of(order))
    assert count_all(geometry) == squares


def test_latin_squares_of_order_6_by_their_reduced_squares() -> None:
    # Reduced Latin squares (first row and column in order) of order 6: A000315 has 9408.
    reduced = tuple(
        row + column + 1 if row == 0 or column == 0 else 0
        for row in range(6)
        for column in range(6)
    )
    assert kernel.count(latin(6), reduced, limit=NO_LIMIT) == 9408


def test_grids_of_size_4() -> None:
    # 288: A107739 of the same encyclopedia.
    assert count_all(blocks(2, 2)) == 288


def test_grids_of_size_6() -> None:
    # 28,200,960 grids with blocks of 2 x 3: "Mathematics of Sudoku" in a free encyclopaedia, after
    # Pettersen (from memory). Counted one by one, in six parts by the digit of r1c1.
    geometry = blocks(2, 3)

    def part(digit: int) -> int:
        return kernel.count(geometry, (digit, *(0,) * 35), limit=NO_LIMIT)

    with ThreadPoolExecutor() as pool:
        parts = list(pool.map(part, range(1, 7)))
    assert sum(parts) == 28_200_960
    assert len(set(parts)) == 1  # the digits' names do not matter


def test_bands_of_size_9() -> None:
    # With the first block in order, the two blocks beside it can be filled in
    # 56 * (3!)**6 ways: Felgenhauer and Jarvis (2005), "Enumerating possible Sudoku grids".
    # The three rows and three blocks of a band are the only houses here; the cells below it are
    # in none, and filled with anything.
    band = tuple(house for house in blocks(3, 3).houses if max(house.cells) < 27)
    geometry = Geometry(9, band)
    first_block = {0: 1, 1: 2, 2: 3, 9: 4, 10: 5, 11: 6, 18: 7, 19: 8, 20: 9}
    clues = tuple(first_block.get(cell, 0) if cell < 27 else 1 for cell in range(81))
    assert kernel.count(geometry, clues, limit=NO_LIMIT) == 56 * factorial(3) ** 6


def test_no_17_clue_grid_can_spare_a_clue() -> None:
    # No grid with 16 clues has one solution: McGuire, Tugemann, Civario (2012), "There is no
    # 16-clue Sudoku". So any 17-clue grid with one solution has several once a clue is gone.
    full = np.array(data_grids("clue17.txt", every=50), np.uint8)
    assert set((full > 0).sum(axis=1).tolist()) == {17}
    counts, _ = kernel.prove_many(blocks(3, 3), full)
    assert set(counts.tolist()) == {1}
    spared = np.repeat(full, 17, axis=0)
    spared[np.arange(len(spared)), np.nonzero(full)[1]] = 0
    assert set((spared > 0).sum(axis=1).tolist()) == {16}
    counts, _ = kernel.prove_many(blocks(3, 3), spared)
    assert set(counts.tolist()) == {2}
