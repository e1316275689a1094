"""The engine finds what each technique's definition says, on random positions of many shapes."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import partial

import pytest

from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import openings
from packbuilder.ladder.table import DEFAULT, Ladder, Sight
from tests.ladder import definitions
from tests.ladder.definitions import Candidates, Removal
from tests.ladder.positions import GEOMETRIES, random_board

Definition = Callable[..., set[Removal]]

DEFINED: dict[str, Definition] = {
    "pointing": partial(definitions.held, areas=True),
    "claiming": partial(definitions.held, areas=False),
    "locked-pair": partial(definitions.naked, n=2, locked=True),
    "locked-triple": partial(definitions.naked, n=3, locked=True),
    "naked-pair": partial(definitions.naked, n=2, locked=False),
    "hidden-pair": partial(definitions.hidden, n=2),
    "naked-triple": partial(definitions.naked, n=3, locked=False),
    "hidden-triple": partial(definitions.hidden, n=3),
    "naked-quad": partial(definitions.naked, n=4, locked=False),
    "hidden-quad": partial(definitions.hidden, n=4),
    "x-wing": partial(definitions.fish, n=2),
    "swordfish": partial(definitions.fish, n=3),
    "jellyfish": partial(definitions.fish, n=4),
    "finned-x-wing": partial(definitions.finned, n=2),
    "finned-swordfish": partial(definitions.finned, n=3),
    "skyscraper": partial(definitions.two_strings, kite=False),
    "two-string-kite": partial(definitions.two_strings, kite=True),
    "empty-rectangle": definitions.empty_rectangle,
    "xy-wing": partial(definitions.wing, n=2),
    "xyz-wing": partial(definitions.wing, n=3),
    "w-wing": definitions.w_wing,
    "simple-colouring": definitions.colouring,
    "almost-locked-sets": definitions.almost_locked,
}
BY_CELL = {"finned-x-wing", "finned-swordfish", "simple-colouring"}
"""Their definitions give single candidates; what the engine finds together is taken apart."""

ROUNDS = 25
"""Random positions for each technique and geometry: 200 a technique."""

SLOW = {"x-wing": 5, "swordfish": 5, "finned-x-wing": 5, "finned-swordfish": 4, "jellyfish": 5,
        "almost-locked-sets": 1}  # fmt: skip
"""Fewer, past 6x6: their definitions go through many thousand choices of lines, or of cells."""


def sets(board: Board) -> Candidates:
    return [set(ds) for ds in board.candidates()]


def found(board: Board, slug: str) -> set[Removal]:
    technique, size = DEFAULT.named(slug), board.fields.size
    assert technique.find
    finds = list(technique.find(board))
    assert len(set(finds)) == len(finds)  # nothing is told twice
    removals = {frozenset((key // size, key % size + 1) for key in find.removes) for find in finds}
    if slug in BY_CELL:
        return {frozenset({one}) for removal in removals for one in removal}
    return removals


@pytest.mark.parametrize("slug", DEFINED)
def test_a_technique_removes_what_its_definition_says(slug: str) -> None:
    seen = []
    for name in GEOMETRIES:
        rng = random.Random(f"{slug} {name}")
        rounds = SLOW.get(slug, ROUNDS) if GEOMETRIES[name].size > 6 else ROUNDS
        for _ in range(rounds):
            board, full = random_board(name, rng)
            expected = DEFINED[slug](board.fields.geometry, sets(board))
            assert found(board, slug) == expected
            assert all(full[cell] != digit for removal in expected for cell, digit in removal)
            seen += [name] * bool(expected)
    assert len(seen) >= 10 and len(set(seen)) >= 2


@pytest.mark.parametrize("name", GEOMETRIES)
def test_every_single_is_seen_under_its_easiest_name(name: str) -> None:
    rng = random.Random(name)
    names = {t.sight: t for t in DEFAULT.techniques if t.sight}
    flat = Ladder(tuple(names.values()))
    for _ in range(40):
        board, _ = random_board(name, rng)
        expected = definitions.singles(board.fields.geometry, sets(board))
        rank = {"last cell": Sight.LAST_CELL, "area": Sight.AREA, "line": Sight.LINE,
                "cell": Sight.CELL}  # fmt: skip
        easiest: dict[tuple[int, int], int] = {}
        for sight, cell, digit in expected:
            rung = names[rank[sight]].rung
            easiest[cell, digit] = min(rung, easiest.get((cell, digit), 9))
        lowest = min(easiest.values(), default=0)
        moves = {
            (divmod(move.key, board.fields.size)): move.technique for move in openings(board, flat)
        }
        assert {(c, d + 1) for c, d in moves} == {k for k, r in easiest.items() if r == lowest}
        for (cell, d), technique in moves.items():
            full_house = ("last cell", cell, d + 1) in expected
            assert (technique.sight is Sight.LAST_CELL) == full_house
