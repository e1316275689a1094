"""Diagonals: both engines, OR-Tools and plain trying; print; faults."""

from __future__ import annotations

import random

from packbuilder.grid import Geometry, Values, blocks, latin
from packbuilder.proof import rule_search
from packbuilder.proof.sat import Prover
from packbuilder.rules import kinds
from packbuilder.rules.contract import Part
from packbuilder.rules.shapes import Diagonal
from tests.rules import judge
from tests.rules.checks import check_tiny, geometry_of, read, refused


def test_diagonal_latin_squares_of_order_4() -> None:
    # Latin squares of order 4 with both diagonals free of repeats: 48 (from memory: the integer
    # sequence of diagonal Latin squares begins 1, 0, 0, 48, 960). They are all grids with 2x2
    # blocks as well, by trying.
    assert check_tiny("diagonals", None, latin(4)) == 48
    assert check_tiny("diagonals", None, blocks(2, 2)) == 48


def test_engines_and_judge_agree() -> None:
    geometry = geometry_of(6)
    parts, housed = read("diagonals", None, geometry)
    with Prover(housed, parts) as prover:
        whole = prover.explore((0,) * 36, limit=1)[0][0]
    answers = set()
    for seed in range(12):
        rng = random.Random(seed)
        shown = rng.sample(range(36), 7)
        grid = tuple(d if k in shown else 0 for k, d in enumerate(whole))
        if seed % 4 == 0:
            grid = tuple(d % 6 + 1 if k == shown[0] else d for k, d in enumerate(grid))
        found = judge.solutions(6, (2, 3), grid, [("diagonals", None)])
        with Prover(housed, parts) as prover:
            by_clauses = prover.explore(grid, limit=2)[0]
        by_search = rule_search.explore(housed, grid, parts, limit=2)[0]
        assert len(found) == len(by_clauses) == len(by_search)
        answers.add(len(found))
    assert answers >= {0, 2}


def test_a_full_grid_is_judged_on_both_diagonals() -> None:
    down, up = kinds()["diagonals"].read(None, latin(4))
    falling_only = (1, 2, 3, 4, 3, 4, 1, 2, 4, 3, 2, 1, 2, 1, 4, 3)
    assert [part.holds(falling_only, 4) for part in (down, up)] == _by_hand(falling_only)
    repeated = (1, 2, 3, 4, 2, 1, 4, 3, 3, 4, 1, 2, 4, 3, 2, 1)
    assert [part.holds(repeated, 4) for part in (down, up)] == [False, False]


def _by_hand(v: Values) -> list[bool]:
    return [len({v[0], v[5], v[10], v[15]}) == 4, len({v[3], v[6], v[9], v[12]}) == 4]


def test_drawn_and_read_back() -> None:
    kind, geometry = kinds()["diagonals"], geometry_of(9)
    parts = kind.read(None, geometry)
    shapes = [shape for part in parts for shape in part.shapes()]
    assert shapes == [Diagonal("down"), Diagonal("up")]
    assert set(kind.recover(shapes[::-1], geometry)) == set(parts)
    assert kind.recover(shapes[:1], geometry) == parts[:1]
    assert _cells(parts, geometry) == (
        "r1c1 r2c2 r3c3 r4c4 r5c5 r6c6 r7c7 r8c8 r9c9",
        "r9c1 r8c2 r7c3 r6c4 r5c5 r4c6 r3c7 r2c8 r1c9",
    )


def _cells(parts: tuple[Part, ...], geometry: Geometry) -> tuple[str, ...]:
    n = geometry.size
    return tuple(" ".join(f"r{c // n + 1}c{c % n + 1}" for c in part.cells) for part in parts)


def test_words() -> None:
    parts, housed = read("diagonals", None, geometry_of(9))
    assert [part.name(9) for part in parts] == ["falling diagonal", "rising diagonal"]
    assert [house.label for house in housed.houses[-2:]] == [
        "the falling diagonal",
        "the rising diagonal",
    ]
    assert kinds()["diagonals"].wording(parts, 12) == (
        "Each of the two long diagonals also holds the digits 1 to C once."
    )
    assert refused("diagonals", "yes") == (
        "diagonals takes no value, but has 'yes'; write it alone: - diagonals"
    )
