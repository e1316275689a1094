"""Non-consecutive: both engines, OR-Tools and plain trying; deductions by hand; words."""

from __future__ import annotations

import random

import pytest

from packbuilder.grid import Geometry, Values, blocks, latin
from packbuilder.proof import rule_search
from packbuilder.proof.sat import Prover
from packbuilder.rules import kinds
from packbuilder.rules.contract import Sight
from tests.rules import checks, judge
from tests.rules.checks import (
    a_position,
    check_exact,
    check_tiny,
    check_words,
    geometry_of,
    read,
    refused,
)

SLUG = "non-consecutive"


def nothing(rng: random.Random, geometry: Geometry, values: Values) -> None:
    """The rule takes no value."""


@pytest.fixture(scope="module")
def some_grids() -> tuple[Values, ...]:
    parts, housed = read(SLUG, None, geometry_of(6))
    with Prover(housed, parts) as prover:
        return tuple(prover.explore((0,) * 36, limit=40)[0])


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        left = judge.solutions(4, geometry.shape, (0,) * 16, [(SLUG, None)], limit=600)
        assert check_tiny(SLUG, None, geometry) == len(left)


@pytest.mark.parametrize("seed", range(10))
def test_engines_and_judge_agree(seed: int, some_grids: tuple[Values, ...]) -> None:
    rng = random.Random(seed)
    parts, housed = read(SLUG, None, geometry_of(6))
    whole = rng.choice(some_grids)
    shown = rng.sample(range(36), 4)
    grid = tuple(d if k in shown else 0 for k, d in enumerate(whole))
    if seed % 4 == 0:
        grid = tuple(d % 6 + 1 if k == shown[0] else d for k, d in enumerate(grid))
    found = judge.solutions(6, (2, 3), grid, [(SLUG, None)])
    with Prover(housed, parts) as prover:
        by_clauses = prover.explore(grid, limit=2)[0]
    by_search = rule_search.explore(housed, grid, parts, limit=2)[0]
    assert len(found) == len(by_clauses) == len(by_search)


def test_sound_and_exact(some_grids: tuple[Values, ...]) -> None:
    parts, housed = read(SLUG, None, geometry_of(6))
    techniques = set()
    for seed, values in enumerate(some_grids * 3):
        masks = a_position(random.Random(seed), values, 6)
        pruned = list(masks)
        assert parts[0].prune(pruned, 6)
        assert all(mask >> value - 1 & 1 for mask, value in zip(pruned, values, strict=True))
        for found in parts[0].deduce(Sight(housed, tuple(masks))):
            techniques.add(found.technique)
            check_words(found.words())
            for cell, d in found.removes:
                assert masks[cell] >> d - 1 & 1
                assert values[cell] != d, found.words()
    assert techniques == {row.slug for row in kinds()[SLUG].techniques}
    assert check_exact(SLUG, nothing, 1, 6)
    assert all(parts[0].holds(values, 6) for values in some_grids)


def told(masks: dict[str, str], *slugs: str) -> list[tuple[str, str]]:
    """Words of these techniques, or of those that look at neighbours one by one."""
    wanted = slugs or ("neighbour", "neighbour-of-either", "neighbour-without-place")
    return [one for one in checks.told(SLUG, None, masks) if one[0] in wanted]


# What follows is worked out by hand.


def test_beside_a_digit() -> None:
    assert told({"r1c1": "5"}) == [
        (
            "neighbour",
            "r1c1 is 5, and cells side by side are never consecutive. "
            "That takes 4 and 6 out of r1c2 and r2c1.",
        )
    ]


def test_beside_a_cell_of_two_or_three_digits() -> None:
    assert told({"r1c1": "45"}) == [
        (
            "neighbour-of-either",
            "r1c1 is 4 or 5, and cells side by side are never consecutive. Whichever it is, it "
            "rules out 4 and 5 there. That takes 4 and 5 out of r1c2 and r2c1.",
        )
    ]
    assert told({"r1c1": "456"})[0][1].endswith("That takes 5 out of r1c2 and r2c1.")
    assert told({"r1c1": "47"}) == []


def test_two_places_side_by_side() -> None:
    masks = {f"r1c{c}": "12346789" for c in range(1, 10)}
    found = told(masks | {"r1c4": "345", "r1c5": "5678"})
    assert (
        "neighbour-without-place",
        "In row 1, the 5 is in r1c4 or r1c5. As neighbours are never consecutive, it would have no "
        "place with 4 in r1c4, or 6 in r1c5. That takes 4 out of r1c4 and 6 out of r1c5.",
    ) in found


def test_orders_of_a_line() -> None:
    """With 2 to 8 out of the first cells, row 1 begins 1 9 or 9 1: so no 2 and no 8 comes third."""
    masks = {"r1c1": "19", "r1c2": "19"}
    (first, *_) = told(masks, "neighbour-orders")
    assert first[1] == (
        "Row 1 holds every digit, and neighbours are never consecutive. No way to do so has 1 "
        "or 9 in r1c3, r1c4, r1c5, r1c6, r1c7, r1c8 or r1c9."
    )


def test_the_search_sees_a_digit_without_place() -> None:
    parts, _ = read(SLUG, None, geometry_of(9))
    masks = [(1 << 9) - 1] * 81
    for c in (0, 1, 2, 5, 6, 7, 8):  # the 5 of row 1 is in r1c4 or r1c5
        masks[c] &= ~(1 << 4)
    assert parts[0].prune(masks, 9)
    for c in (3, 4):
        assert masks[c] == 0b111010111


def test_told_and_not_drawn() -> None:
    parts, _ = read(SLUG, None, geometry_of(9))
    assert parts[0].shapes() == ()
    assert parts[0].name(9) == "rule of no consecutive neighbours"
    assert kinds()[SLUG].recover((), geometry_of(9)) == ()
    assert refused(SLUG, "everywhere") == (
        "non-consecutive takes no value, but has 'everywhere'; write it alone: - non-consecutive"
    )
