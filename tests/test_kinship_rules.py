"""Kinship of grids with rules: turned and mirrored by moving cells about, and nothing looser."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from typing import Any

import pytest

from packbuilder import rules
from packbuilder.grid import Values, blocks, cell_name, latin, parse_cell
from packbuilder.kinship import fingerprint
from packbuilder.proof.kernel import random_solution
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses

SIZE = 6
BASE = blocks(2, 3)
Move = Callable[[int, int], tuple[int, int]]
END = SIZE - 1
# The turns that keep blocks of 2 x 3; a quarter turn makes them blocks of 3 x 2.
MOVES: list[Move] = [
    lambda r, c: (END - r, END - c),
    lambda r, c: (r, END - c),
    lambda r, c: (END - r, c),
    lambda r, c: (c, r),
    lambda r, c: (c, END - r),
]

LISTED: dict[str, Any] = {
    "thermometers": ["r1c1 r1c2 r2c3", "r4c4 r5c4"],
    "arrows": [{"circle": "r1c1", "shaft": "r1c2 r1c3"}],
    "dots": {"white": ["r1c1 r1c2"], "black": ["r3c3 r4c3"]},
    "palindromes": ["r1c1 r2c2 r3c3"],
    "inequalities": ["r1c1 < r1c2", "r5c5 > r6c5"],
}


def moved(value: Any, move: Move) -> Any:
    """A rule's value with every cell that it names moved, written by the words alone."""
    if isinstance(value, dict):
        return {key: moved(item, move) for key, item in value.items()}
    if isinstance(value, list):
        return [moved(item, move) for item in value]

    def name(found: re.Match[str]) -> str:
        row, column = move(*divmod(parse_cell(found[0], SIZE), SIZE))
        return cell_name(row * SIZE + column, SIZE)

    return re.sub(r"r\d+c\d+", name, value)


def kin(listed: dict[str, Any], clues: Values, shape: tuple[int, int] = (2, 3)) -> str:
    base = blocks(*shape)
    parts: list[Part] = []
    for slug, value in listed.items():
        parts += rules.kinds()[slug].read(value, base)
    return fingerprint(with_houses(base, parts), clues, parts)


def some_clues(seed: int) -> Values:
    draw = random.Random(seed)
    return tuple(d if draw.random() < 0.3 else 0 for d in random_solution(BASE, seed))


@pytest.mark.parametrize("move", MOVES)
@pytest.mark.parametrize("slugs", [[slug] for slug in LISTED] + [list(LISTED)], ids="-".join)
def test_the_page_turned_or_mirrored_is_the_same_puzzle(slugs: list[str], move: Move) -> None:
    clues = some_clues(1)
    listed = {slug: LISTED[slug] for slug in slugs}
    there = [0] * SIZE**2
    for cell, digit in enumerate(clues):
        row, column = move(*divmod(cell, SIZE))
        there[row * SIZE + column] = digit
    shape = (2, 3) if move(0, 1)[0] in (0, END) else (3, 2)
    assert kin(moved(listed, move), tuple(there), shape) == kin(listed, clues)


@pytest.mark.parametrize("slug", LISTED)
def test_rules_that_differ_tell_grids_apart(slug: str) -> None:
    clues = some_clues(2)
    whole = {slug: LISTED[slug]}
    assert kin(whole, clues) != kin({}, clues)
    assert kin(whole, clues) != kin(moved(whole, MOVES[0]), clues)
    assert kin(whole, clues) != kin(whole, (*clues[:7], 0 if clues[7] else 1, *clues[8:]))
    others = {other: LISTED[other] for other in LISTED if other != slug}
    assert kin(others, clues) != kin(LISTED, clues)


def test_a_line_may_be_listed_from_either_end_where_it_has_none() -> None:
    clues = some_clues(3)
    ways = ["r1c1 r2c2 r3c3", "r3c3 r2c2 r1c1"]
    assert len({kin({"palindromes": [way]}, clues) for way in ways}) == 1
    assert len({kin({"thermometers": [way]}, clues) for way in ways}) == 2
    assert len({kin({"renban": [way]}, clues) for way in ways}) == 1
    assert kin({"renban": ways[:1]}, clues) != kin({"palindromes": ways[:1]}, clues)


def test_the_order_in_which_pieces_are_listed_is_no_matter() -> None:
    clues, lines = some_clues(4), LISTED["thermometers"]
    assert kin({"thermometers": lines}, clues) == kin({"thermometers": lines[::-1]}, clues)


def test_rules_of_houses_keep_every_disguise_that_keeps_the_houses() -> None:
    # Swapping rows 1 and 2, and columns 1 and 2, and rows 5 and 6, and columns 5 and 6 keeps both
    # diagonals of a Latin square of size 6 as sets (by hand: r1c1 goes to r2c2, r1c6 to r2c5).
    base = latin(SIZE)
    parts = rules.kinds()["diagonals"].read(None, base)
    whole = with_houses(base, parts)
    clues = tuple(d if k % 3 else 0 for k, d in enumerate(random_solution(whole, 5)))
    order = [1, 0, 2, 3, 5, 4]
    there = tuple(7 - d if d else 0 for r in order for d in (clues[r * SIZE + c] for c in order))
    assert fingerprint(whole, there, parts) == fingerprint(whole, clues, parts)
    assert fingerprint(whole, clues, parts) != fingerprint(base, clues)
    plain_swap = tuple(clues[r * SIZE + c] for r in order for c in range(SIZE))
    assert fingerprint(whole, plain_swap, parts) != fingerprint(whole, clues, parts)
