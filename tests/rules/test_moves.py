"""Anti-knight and anti-king: pairs of cells a chess move apart."""

from __future__ import annotations

import random

import pytest

from packbuilder.grid import blocks, latin
from packbuilder.proof import rule_search
from packbuilder.proof.sat import Prover
from packbuilder.rules import kinds
from tests.rules import judge
from tests.rules.checks import check_tiny, geometry_of, read, refused

SLUGS = ("anti-knight", "anti-king")


@pytest.mark.parametrize("slug", SLUGS)
def test_tiny_grids(slug: str) -> None:
    assert check_tiny(slug, None, latin(4)) == len(
        judge.solutions(4, None, (0,) * 16, [(slug, None)], limit=600)
    )
    check_tiny(slug, None, blocks(2, 2))


def test_pairs_as_chess_counts_them() -> None:
    # A knight attacks 2 * 2 * (n-1) * (n-2) pairs of squares of an n x n board, corners touch in
    # 2 * (n-1)^2 (common practice, no source). Those in one house already are not housed again.
    for size in (4, 9):
        knight, king = (kinds()[slug].read(None, latin(size))[0] for slug in SLUGS)
        assert len(knight.houses(latin(size))) == 4 * (size - 1) * (size - 2)
        assert len(king.houses(latin(size))) == 2 * (size - 1) ** 2
    # In each of the nine 3x3 blocks 8 knight pairs and 8 corner pairs lie.
    knight, king = (kinds()[slug].read(None, geometry_of(9))[0] for slug in SLUGS)
    assert len(knight.houses(geometry_of(9))) == 4 * 8 * 7 - 9 * 8
    assert len(king.houses(geometry_of(9))) == 2 * 8**2 - 9 * 8


@pytest.mark.parametrize("slug", SLUGS)
def test_engines_and_judge_agree(slug: str) -> None:
    geometry = geometry_of(6)
    parts, housed = read(slug, None, geometry)
    with Prover(housed, parts) as prover:
        whole = prover.explore((0,) * 36, limit=1)[0][0]
    answers = set()
    for seed in range(10):
        rng = random.Random(seed)
        shown = rng.sample(range(36), 5)
        grid = tuple(d if k in shown else 0 for k, d in enumerate(whole))
        if seed % 4 == 0:
            grid = tuple(d % 6 + 1 if k == shown[0] else d for k, d in enumerate(grid))
        found = judge.solutions(6, (2, 3), grid, [(slug, None)])
        with Prover(housed, parts) as prover:
            by_clauses = prover.explore(grid, limit=2)[0]
        by_search = rule_search.explore(housed, grid, parts, limit=2)[0]
        assert len(found) == len(by_clauses) == len(by_search)
        answers.add(len(found))
    assert answers & {0, 1}


def test_cyclic_squares_of_order_5() -> None:
    # Row r shifted by k*r: corners differ unless k is 1 or 4; a knight's move leads to an equal
    # digit where k*down + right is a multiple of 5: for k = 2 and 3 (worked out by hand).
    square = {
        k: tuple((k * r + c) % 5 + 1 for r in range(5) for c in range(5)) for k in (1, 2, 3, 4)
    }
    kept = {"anti-king": {2, 3}, "anti-knight": {1, 4}}
    for slug in SLUGS:
        parts, housed = read(slug, None, latin(5))
        for k, values in square.items():
            assert parts[0].holds(values, 5) == (k in kept[slug])
            assert housed.holds(values) == (k in kept[slug])
            assert parts[0].prune([1 << d - 1 for d in values], 5) == (k in kept[slug])


@pytest.mark.parametrize("slug", SLUGS)
def test_told_and_not_drawn(slug: str) -> None:
    parts, _ = read(slug, None, geometry_of(9))
    assert parts[0].shapes() == ()
    assert kinds()[slug].recover((), geometry_of(9)) == ()
    assert parts[0].name(9) == f"{slug[5:]}'s move rule"
    assert refused(slug, ["r1c1"]) == (
        f"{slug} takes no value, but has a list; write it alone: - {slug}"
    )
