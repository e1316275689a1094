"""Diagonals: both engines, OR-Tools and plain trying; print; faults."""

from __future__ import annotations

import random

from packbuilder.grid import Geometry, blocks, latin
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


def test_cyclic_squares_of_order_5() -> None:
    # Row r shifted by k*r: on the falling diagonal digits go up by k + 1 from row to row, on the
    # rising one by k - 1, so they repeat where that is a multiple of 5 (worked out by hand).
    parts, housed = read("diagonals", None, latin(5))
    for k in (1, 2, 3, 4):
        values = tuple((k * r + c) % 5 + 1 for r in range(5) for c in range(5))
        answer = [k != 4, k != 1]
        assert [part.holds(values, 5) for part in parts] == answer
        assert [part.prune([1 << d - 1 for d in values], 5) for part in parts] == answer
        assert housed.holds(values) == all(answer)


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
    assert refused("diagonals", "yes") == (
        "diagonals takes no value, but has 'yes'; write it alone: - diagonals"
    )
