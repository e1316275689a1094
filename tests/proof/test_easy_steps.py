"""The sieve against the ladder: easy steps finish the same grids, whoever takes them."""

from __future__ import annotations

import random

import numpy as np
import pytest

from packbuilder.grid import Geometry, Values, blocks, irregular, latin
from packbuilder.ladder.path import rate
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import picture_kernel, picture_search
from packbuilder.proof.picture_kernel import STEPS, Asked
from packbuilder.setting.removal import remove
from packbuilder.setting.sieve import bits
from packbuilder.symmetry import orbits
from tests.conftest import data_grids

SINGLES = ("full-house", "hidden-single", "naked-single")
LOCKED = ("pointing", "claiming")
JIGSAW = irregular("AABBB\nAACBB\nADCCE\nDDCEE\nDDCEE")


def score(geometry: Geometry, clues: Values, below: set[str], steps: set[str]) -> int:
    """What `picture_search` says of a grid: asked for each score in turn, with no change made."""
    for wanted in range(4):
        walk = picture_kernel.Walk(geometry, clues, [0], [], 1)
        asked = Asked(bits(below), bits(steps), wanted, wanted, 0, 256, False)
        if walk.go(asked, tries=1, most=1):
            assert walk.clues == clues
            return wanted
    raise AssertionError("no score at all")


def solved(geometry: Geometry, clues: Values, steps: set[str]) -> bool:
    names = [name for step in steps for name in (LOCKED if step == "locked" else (step,))]
    return rate(geometry, clues, ladder=DEFAULT.only([*SINGLES, *names])).solved


def grids(geometry: Geometry) -> list[Values]:
    """Some that lost clues as long as one solution was left: of all grades."""
    found = remove(geometry, orbits("none", geometry.size), range(30), seed="easy steps")
    return [one.clues() for one in found]


@pytest.mark.parametrize(
    "geometry", [blocks(3, 3), blocks(2, 3), blocks(2, 4), latin(9), JIGSAW], ids=Geometry.name
)
def test_the_same_steps_finish_the_same_grids(geometry: Geometry) -> None:
    rng = random.Random(geometry.name())
    seen = set()
    for clues in grids(geometry):
        below = {step for step in STEPS if rng.random() < 0.4}
        steps = {step for step in STEPS if step not in below and rng.random() < 0.5}
        found = score(geometry, clues, below, steps)
        assert (found == 0) == solved(geometry, clues, below)
        if found:
            assert (found == 3) == solved(geometry, clues, below | steps)
        seen.add(found)
        for step in STEPS[:3]:  # by itself: among others it is seldom missed
            assert (score(geometry, clues, {step}, set()) == 0) == solved(geometry, clues, {step})
    assert len(seen) > 1


def test_published_grids_that_are_hard_for_easy_steps() -> None:
    for clues in data_grids("mixed.txt", every=40):
        for k in range(len(STEPS) + 1):
            below = set(STEPS[:k])
            found = score(blocks(3, 3), clues, below, set(STEPS) - below)
            assert (found == 0) == solved(blocks(3, 3), clues, below)


def test_minimal_grids_alone_pass_where_they_are_asked_for() -> None:
    for minimal in grids(blocks(2, 3))[:10]:
        full = picture_kernel.kernel.prove(blocks(2, 3), minimal).first
        assert full
        cell = minimal.index(0)
        more = tuple(full[cell] if c == cell else d for c, d in enumerate(minimal))
        asked = Asked(0, 0, 0, 3, 0, 36, True)
        walks = [picture_kernel.Walk(blocks(2, 3), clues, [0], [], 1) for clues in (minimal, more)]
        assert [len(walk.go(asked, tries=1, most=1)) for walk in walks] == [1, 0]


def test_a_walk_only_changes_what_it_may() -> None:
    geometry = blocks(3, 3)
    (start,) = (one.clues() for one in remove(geometry, orbits("none", 9), [1], seed="walk"))
    given = [cell for cell, digit in enumerate(start) if digit]
    empty = [cell for cell, digit in enumerate(start) if not digit]
    optional = empty[:6]
    asked = Asked(0, 0, 0, 3, len(given), len(given) + 3, False)
    walk = picture_kernel.Walk(geometry, start, [*given[3:], *optional], optional, 5)
    found = [grid for _ in range(20) for grid in walk.go(asked, tries=400, most=3)]
    assert len(set(found)) > 5
    assert {sum(v > 0 for v in grid) for grid in found} == set(range(len(given), len(given) + 4))
    for grid in found:
        assert grid[:81] and all(grid[cell] == start[cell] for cell in given[:3])
        assert all(grid[cell] for cell in given)
        assert not any(grid[cell] for cell in empty[6:])
    again = picture_kernel.Walk(geometry, start, [*given[3:], *optional], optional, 5)
    assert [g for _ in range(20) for g in again.go(asked, tries=400, most=3)] == found


@pytest.mark.parametrize("seed", [0, -1, 2**64 - 2, 2**64 - 1, 2**64, 10**30])
def test_any_integer_is_a_seed(seed: int) -> None:
    walk = picture_kernel.Walk(latin(4), (0,) * 16, range(16), range(16), seed)
    assert not walk.go(Asked(0, 0, 0, 3, 0, 16, False), tries=5, most=1)
    assert any(walk.clues), "a seed of zero would draw zeros for ever"


def test_listed_fillings_are_all_that_leave_one_solution() -> None:
    """Every digit tried in two cells of a 4x4 grid, against the count of each."""
    geometry = blocks(2, 2)
    full = picture_kernel.kernel.random_solution(geometry, 3)
    clues = tuple(digit if cell in (0, 5, 6, 11, 12) else 0 for cell, digit in enumerate(full))
    found = picture_kernel.unique_fillings(geometry, clues, [5, 11], 10_000)
    tried = [
        tuple({5: a, 11: b}.get(cell, clue) for cell, clue in enumerate(clues))
        for a in range(1, 5)
        for b in range(1, 5)
    ]
    counts = picture_kernel.kernel.prove_many(geometry, np.array(tried, np.uint8))[0]
    assert sorted(found) == sorted(grid for grid, n in zip(tried, counts, strict=True) if n == 1)
    assert found
    assert picture_kernel.unique_fillings(geometry, clues, [5, 11], 3) == []
    assert picture_search.COUNTED >= 2
