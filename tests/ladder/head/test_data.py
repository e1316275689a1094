"""Mark loads on sets of grids (see tests/conftest.py): sound, within the load, shares as ever."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from packbuilder.grid import Values
from packbuilder.ladder.head.load import no_notes
from packbuilder.proof import kernel
from tests.conftest import data_grids
from tests.ladder.grids import CLASSIC
from tests.ladder.head import definition

STEPS = {"easy50": 1, "clue17": 200, "mixed": 10}
"""Every how-manyth grid is looked at."""


def grids_of(name: str) -> list[Values]:
    return data_grids(f"{name}.txt", STEPS[name])


@pytest.mark.parametrize("name", STEPS)
def test_it_keeps_to_the_proved_solution(name: str) -> None:
    clues = grids_of(name)
    counts, solutions = kernel.prove_many(CLASSIC, np.array(clues, np.uint8), threads=1)
    assert (counts == 1).all()
    for grid, solution in zip(clues, solutions.tolist(), strict=True):
        answer = no_notes(CLASSIC, grid)
        assert all(v in (0, right) for v, right in zip(answer.values, solution, strict=True))


def test_shares_by_load() -> None:
    """Per cent with no mark, one, two and three: our own count of all 2,000, by an earlier sketch
    (45.8, 32.7, 10.9 and 5.2); no published source. Here a tenth of them, so there is leeway."""
    loads = Counter(no_notes(CLASSIC, grid).marks for grid in grids_of("mixed"))
    shares = [100 * loads[load] / sum(loads.values()) for load in range(4)]
    assert shares == pytest.approx((45.8, 32.7, 10.9, 5.2), abs=4)


def test_the_load_is_the_definitions() -> None:
    for grid in grids_of("mixed")[::12]:
        expected, _ = definition.load(CLASSIC, grid, 1)
        found = no_notes(CLASSIC, grid).marks
        assert expected == (found if found in (0, 1) else None)
