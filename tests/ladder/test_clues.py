"""Clue and house, and clues together, against every way to fill a clue, by trying.

What a clue leaves is here what some filling of its cells has, judged by `holds` alone. A rule's own
`prune` may see less; so what is struck must be struck here, and for thermometers, whose `prune` is
exact, it must be all.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from itertools import combinations, product

import pytest

from packbuilder import rules
from packbuilder.grid import Geometry, blocks, parse_cell
from packbuilder.ladder.board import Board
from packbuilder.ladder.find import keys_in
from packbuilder.ladder.techniques import clues
from packbuilder.proof.sat import Prover
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses
from tests.ladder.definitions import full_houses

VALUES: dict[str, object] = {
    "thermometers": ["r1c1 r2c2 r3c2 r4c1", "r1c5 r2c5 r3c6", "r6c6 r5c5 r5c4 r4c4"],
    "renban": ["r1c2 r1c3 r2c3", "r4c2 r4c3 r5c3 r5c4", "r2c5 r3c5 r3c6"],
    "whispers": ["r1c2 r1c3 r2c3", "r4c2 r4c3 r5c3 r5c4", "r2c5 r3c5 r3c6"],
}
GRID = blocks(2, 3)


class Position:
    """Candidates as sets; a filled cell has one."""

    def __init__(self, geometry: Geometry, left: Sequence[set[int]], tried: tuple[int, int]):
        self.geometry, self.left = geometry, [set(ds) for ds in left]
        cell, digit = tried
        self.left[cell] = {digit}
        for peer in geometry.peers[cell]:
            self.left[peer].discard(digit)

    def empty(self) -> bool:
        gone = any(
            not any(d in self.left[cell] for cell in house.cells)
            for house in full_houses(self.geometry)
            for d in range(1, self.geometry.size + 1)
        )
        return gone or not all(self.left)

    def struck_by(self, part: Part) -> list[set[int]] | None:
        """What one clue leaves of its cells; None where it cannot hold."""
        kept: list[set[int]] = [set() for _ in part.cells]
        values = [0] * len(self.left)
        apart = [(a, b) for a, b in combinations(part.cells, 2) if b in self.geometry.peers[a]]
        for digits in product(*(sorted(self.left[cell]) for cell in part.cells)):
            for cell, digit in zip(part.cells, digits, strict=True):
                values[cell] = digit
            if all(values[a] != values[b] for a, b in apart) and part.holds(
                tuple(values), self.geometry.size
            ):
                for some, digit in zip(kept, digits, strict=True):
                    some.add(digit)
        return kept if all(kept) else None

    def keep(self, part: Part, kept: Sequence[set[int]]) -> bool:
        """Leave the cells that; whether anything went."""
        before = sum(map(len, self.left))
        for cell, digits in zip(part.cells, kept, strict=True):
            self.left[cell] &= digits
        return sum(map(len, self.left)) < before


def fails_by_one(geometry: Geometry, left: list[set[int]], tried: tuple[int, int],
                 parts: Sequence[Part]) -> bool:  # fmt: skip
    reached = {tried[0], *geometry.peers[tried[0]]}
    for part in parts:
        position = Position(geometry, left, tried)
        if not position.empty() and reached & set(part.cells):
            kept = position.struck_by(part)
            if kept is None:
                return True
            position.keep(part, kept)
            if position.empty():
                return True
    return False


def fails_by_all(geometry: Geometry, left: list[set[int]], tried: tuple[int, int],
                 parts: Sequence[Part]) -> bool:  # fmt: skip
    position, moved = Position(geometry, left, tried), True
    while moved:
        if position.empty():
            return True
        moved = False
        for part in parts:
            kept = position.struck_by(part)
            if kept is None:
                return True
            moved |= position.keep(part, kept)
    return False


def boards(slug: str) -> Iterator[tuple[Board, list[set[int]], tuple[Part, ...]]]:
    """Random positions of a grid, of which a solution is left, and all its clues."""
    parts = rules.kinds()[slug].read(VALUES[slug], GRID)
    geometry = with_houses(GRID, parts)
    with Prover(geometry, parts) as prover:
        solutions, _ = prover.explore((0,) * 36, limit=8)
    for solution in solutions:
        rng = random.Random(f"{slug} {solution}")
        board = Board(geometry, (0,) * 36)
        true = {cell * 6 + d - 1 for cell, d in enumerate(solution)}
        board.strike(k for k in range(36 * 6) if k not in true and rng.random() < 0.65)
        yield board, [set(ds) for ds in board.candidates()], parts


def pairs(board: Board, bits: int) -> set[tuple[int, int]]:
    return {(key // 6, key % 6 + 1) for key in keys_in(bits, board.fields)}


@pytest.mark.parametrize("slug", VALUES)
def test_what_one_clue_strikes_no_filling_allows(slug: str) -> None:
    found = 0
    for board, left, parts in boards(slug):
        geometry = board.fields.geometry
        struck = pairs(board, clues.strikes_of_one(board, parts))
        wanted = {
            (cell, d)
            for cell, digits in enumerate(left)
            for d in digits
            if fails_by_one(geometry, left, (cell, d), parts)
        }
        assert struck == wanted if slug == "thermometers" else struck <= wanted
        told = list(clues.clue_and_house(board, parts))
        assert {(k // 6, k % 6 + 1) for find in told for k in find.removes} == struck
        found += len(struck)
    assert found > 5


@pytest.mark.parametrize("slug", VALUES)
def test_what_clues_strike_together_no_filling_allows(slug: str) -> None:
    found = 0
    for board, left, parts in boards(slug):
        geometry = board.fields.geometry
        struck = pairs(board, clues.strikes_together(board, parts))
        assert all(fails_by_all(geometry, left, pair, parts) for pair in struck)
        told = {(k // 6, k % 6 + 1) for f in clues.clues_together(board, parts) for k in f.removes}
        assert told <= struck
        assert bool(told) == bool(struck)
        found += len(struck)
    assert found > 5


def test_a_clue_that_would_leave_a_row_without_a_digit_is_told() -> None:
    """The 2 of row 2 can only be at the tip of the thermometer, so its bulb is a 1."""
    parts = rules.kinds()["thermometers"].read(["r1c1 r2c2"], GRID)
    board = Board(with_houses(GRID, parts), (0,) * 36)
    row_2 = [parse_cell(f"r2c{c}", 6) for c in range(1, 7)]
    board.strike(cell * 6 + 1 for cell in row_2 if cell != parse_cell("r2c2", 6))  # its 2: r2c2
    told = [find.told() for find in clues.clue_and_house(board, parts) if find.told]
    assert (
        "With 3 in r1c1, thermometer from r1c1 to r2c2 takes 2 out of r2c2; and row 2 has no "
        "place for a 2. So not 3. That takes 3 out of r1c1."
    ) in told
