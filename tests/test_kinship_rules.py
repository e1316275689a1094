"""Kinship of grids with rules: turned, mirrored, lines moved, digits renamed, all by hand."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder import rules
from packbuilder.grid import Values, blocks, cell_name, latin, parse_cell
from packbuilder.kinship import Disguise, Posed, carries, disguise, fingerprint
from packbuilder.proof.kernel import random_solution
from packbuilder.rules.cages import Cage
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import with_houses
from packbuilder.rules.renban import Renban
from tests.test_kinship import shuffled_lines

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


def posed(listed: dict[str, Any], clues: Values, shape: tuple[int, int] = (2, 3)) -> Posed:
    base = blocks(*shape)
    parts: list[Part] = []
    for slug, value in listed.items():
        parts += rules.kinds()[slug].read(value, base)
    return Posed(with_houses(base, parts), clues, tuple(parts))


def kin(listed: dict[str, Any], clues: Values, shape: tuple[int, int] = (2, 3)) -> str:
    one = posed(listed, clues, shape)
    return fingerprint(one.geometry, one.clues, one.parts)


def some_clues(seed: int) -> Values:
    draw = random.Random(seed)
    return tuple(d if draw.random() < 0.3 else 0 for d in random_solution(BASE, seed))


@pytest.mark.parametrize("move", MOVES)
@pytest.mark.parametrize("slugs", [[slug] for slug in LISTED] + [list(LISTED)], ids="-".join)
def test_the_page_turned_or_mirrored_is_the_same_puzzle(slugs: list[str], move: Move) -> None:
    clues = some_clues(1)
    listed = {slug: LISTED[slug] for slug in slugs}
    shape = (2, 3) if move(0, 1)[0] in (0, END) else (3, 2)
    assert kin(moved(listed, move), there(clues, move), shape) == kin(listed, clues)


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


SWAPPED = [1, 0, 2, 3, 4, 5]
"""Rows 1 and 2 change places: both lie in the first band of blocks of 2 x 3."""


def swapped(r: int, c: int) -> tuple[int, int]:
    return SWAPPED[r], c


def there(clues: Values, move: Move) -> Values:
    found = [0] * SIZE**2
    for cell, digit in enumerate(clues):
        row, column = move(*divmod(cell, SIZE))
        found[row * SIZE + column] = digit
    return tuple(found)


# Values of which no piece is lost when rows 1 and 2 change places, whatever is drawn then.
LOOSE: dict[str, Any] = {
    "cages": [{"sum": "9", "cells": "r1c1 r2c1 r2c2"}, {"sum": "7", "cells": "r5c5 r5c6"}],
    "thermometers": ["r1c2 r2c2 r2c3"],
    "arrows": [{"circle": "r2c1", "shaft": "r1c1 r1c2"}],
    "renban": ["r1c1 r2c2 r1c3"],
    "palindromes": ["r1c2 r1c3 r2c4"],
    "between-lines": ["r1c1 r2c1 r2c2 r1c2"],
    "inequalities": ["r1c1 < r2c1"],
}


@pytest.mark.parametrize("slug", LOOSE)
def test_lines_may_move_where_every_piece_stays_one(slug: str) -> None:
    """Two rows of a band: which cells a piece relates stays as it is, so the solve does."""
    clues, value = some_clues(6), LOOSE[slug]
    other = moved(value, swapped)
    assert kin({slug: other}, there(clues, swapped)) == kin({slug: value}, clues)
    assert kin({slug: value}, there(clues, swapped)) != kin({slug: value}, clues)


# By hand: each digit d becomes 7 - d, so a sum s of k digits becomes 7k - s, and signs turn.
ROUND: dict[str, tuple[Any, Any]] = {
    "cages": (
        [{"sum": "9", "cells": "r1c1 r1c2 r2c2"}],
        [{"sum": "12", "cells": "r1c1 r1c2 r2c2"}],
    ),
    "thermometers": (["r1c2 r2c2 r2c3"], ["r2c3 r2c2 r1c2"]),
    "inequalities": (["r1c1 < r2c1"], ["r1c1 > r2c1"]),
    "renban": (["r1c1 r2c2 r1c3"], ["r1c1 r2c2 r1c3"]),
    "whispers": (["r1c1 r2c2 r1c3"], ["r1c1 r2c2 r1c3"]),
    "between-lines": (["r1c1 r1c2 r1c3"], ["r1c1 r1c2 r1c3"]),
    "dots": ({"white": ["r1c1 r1c2"]}, {"white": ["r1c1 r1c2"]}),
    "non-consecutive": (None, None),
    "little-sums": (
        [{"sum": "9", "from": "r1c3", "towards": "down-left"}],
        [{"sum": "12", "from": "r1c3", "towards": "down-left"}],
    ),
}  # fmt: skip


@pytest.mark.parametrize("slug", ROUND)
def test_digits_may_be_turned_round_and_nothing_else_where_the_rule_goes_by_order(
    slug: str,
) -> None:
    clues, (value, other) = some_clues(7), ROUND[slug]
    round_about = tuple(7 - d if d else 0 for d in clues)
    assert kin({slug: other}, round_about) == kin({slug: value}, clues)
    names = dict(zip(range(7), (0, 2, 1, 3, 4, 5, 6), strict=True))
    assert kin({slug: value}, tuple(names[d] for d in clues)) != kin({slug: value}, clues)
    found = disguise(posed({slug: value}, clues), posed({slug: other}, round_about))
    assert found is not None and found.words == "digits turned round: 6 for 1, and so on"
    both = {slug: value, "arrows": LOOSE["arrows"]}
    other_both = {slug: other, "arrows": LOOSE["arrows"]}
    assert kin(other_both, round_about) != kin(both, clues), "an arrow's sum is no sum then"


@pytest.mark.parametrize("slug", ["sandwich", "sightlines"])
def test_clues_outside_are_turned_with_the_page(slug: str) -> None:
    """Mirrored, left for right: the left side's clues stand on the right, the top's in reverse."""
    clues = some_clues(11)
    sides = ("left", "top") if slug == "sandwich" else ("left", "right", "top")
    value = dict.fromkeys(sides, "4 . 3 2 . .")
    mirror = {"left": "right", "right": "left"}
    other = {mirror.get(side, side): value[side] for side in sides} | {"top": ". . 2 3 . 4"}
    if slug == "sandwich":  # which has no right side: it says the same from either end
        other["left"] = other.pop("right")
    assert kin({slug: other}, there(clues, MOVES[1])) == kin({slug: value}, clues)
    assert kin({slug: value}, there(clues, MOVES[1])) != kin({slug: value}, clues)


def test_each_cell_of_a_piece_keeps_its_part_in_it() -> None:
    clues = (0,) * SIZE**2
    circles = [{"circle": "r1c1", "shaft": "r1c2 r2c2"}, {"circle": "r1c2", "shaft": "r1c1 r2c2"}]
    assert len({kin({"arrows": [one]}, clues) for one in circles}) == 2
    lines = ["r1c1 r1c2 r2c2", "r1c1 r2c2 r1c2"]
    assert len({kin({"between-lines": [one]}, clues) for one in lines}) == 2
    assert len({kin({"whispers": [one]}, clues) for one in lines}) == 2
    assert len({kin({"renban": [one]}, clues) for one in lines}) == 1


def test_a_disguise_is_held_against_the_rules_too() -> None:
    clues = some_clues(12)
    plain = Disguise(tuple(range(2 * SIZE)), tuple(range(SIZE + 1)))
    one, other = ({"cages": [{"sum": total, "cells": "r1c1 r1c2"}]} for total in ("7", "8"))
    assert carries(plain, posed(one, clues), posed(one, clues))
    assert not carries(plain, posed(one, clues), posed(other, clues))
    assert not carries(plain, posed(one, clues), posed({}, clues))


@pytest.mark.parametrize("slug", ["dots", "xv", "sandwich", "sightlines", "arrows"])
def test_some_rules_know_every_digit_by_its_value(slug: str) -> None:
    value: dict[str, Any] = {
        "dots": {"black": ["r1c1 r1c2"]},
        "xv": {"v": ["r1c1 r1c2"]},
        "sandwich": {"left": "5 . . . . ."},
        "sightlines": {"left": "3 . . . . ."},
        "arrows": LOOSE["arrows"],
    }
    clues = some_clues(8)
    round_about = tuple(7 - d if d else 0 for d in clues)
    assert kin({slug: value[slug]}, round_about) != kin({slug: value[slug]}, clues)


def test_digits_of_one_parity_may_take_one_anothers_names() -> None:
    clues, value = some_clues(9), {"parity": {"even": "r1c1 r2c2", "odd": "r3c3"}}
    same = dict(zip(range(7), (0, 3, 6, 5, 2, 1, 4), strict=True))
    other = dict(zip(range(7), (0, 2, 1, 3, 4, 5, 6), strict=True))
    assert kin(value, tuple(same[d] for d in clues)) == kin(value, clues)
    assert kin(value, tuple(other[d] for d in clues)) != kin(value, clues)


@pytest.mark.parametrize("slug", ["anti-knight", "anti-king", "non-consecutive"])
def test_rules_of_neighbours_let_the_page_be_turned_and_no_line_be_moved(slug: str) -> None:
    clues = some_clues(10)
    for move in MOVES:
        shape = (2, 3) if move(0, 1)[0] in (0, END) else (3, 2)
        assert kin({slug: None}, there(clues, move), shape) == kin({slug: None}, clues)
    assert kin({slug: None}, there(clues, swapped)) != kin({slug: None}, clues)
    names = dict(zip(range(7), (0, 2, 1, 3, 4, 5, 6), strict=True))
    renamed = tuple(names[d] for d in clues)
    assert (kin({slug: None}, renamed) == kin({slug: None}, clues)) == (slug != "non-consecutive")


@given(seed=st.integers(0, 10**6), slug=st.sampled_from(["cages", "renban"]))
def test_what_is_told_of_rule_grids_makes_the_other(seed: int, slug: str) -> None:
    """Cells of any shape, so that lines may move as they like: drawn or not, it is the same."""
    rng = random.Random(seed)
    cells = [(r, c) for r in range(SIZE) for c in range(SIZE)]
    pieces = [rng.sample(cells, 3) for _ in range(4)]
    sums = [rng.randint(6, 15) for _ in pieces]
    rows, columns = (shuffled_lines(SIZE, height, rng) for height in (2, 3))
    one = drawn(slug, pieces, sums)
    other = drawn(slug, [[(rows[r], columns[c]) for r, c in piece] for piece in pieces], sums)
    clues = some_clues(seed)
    moved_clues = there(clues, lambda r, c: (rows[r], columns[c]))
    a, b = Posed(BASE, clues, one), Posed(BASE, moved_clues, other)
    found = disguise(a, b)
    assert found is not None and found.applied(clues) == moved_clues
    sums[0] += 1
    if slug == "cages":
        assert disguise(a, Posed(BASE, moved_clues, drawn(slug, pieces, sums))) is None


def drawn(slug: str, pieces: list[list[tuple[int, int]]], sums: list[int]) -> tuple[Part, ...]:
    """Parts of cells that need not touch, as no manifest could have them."""
    whole = [tuple(sorted(r * SIZE + c for r, c in piece)) for piece in pieces]
    if slug == "cages":
        return tuple(Cage(cells, total) for cells, total in zip(whole, sums, strict=True))
    return tuple(Renban(cells) for cells in whole)


def test_rules_of_houses_keep_every_disguise_that_keeps_the_houses() -> None:
    # Swapping rows 1 and 2, and columns 1 and 2, and rows 5 and 6, and columns 5 and 6 keeps both
    # diagonals of a Latin square of size 6 as sets (by hand: r1c1 goes to r2c2, r1c6 to r2c5).
    base = latin(SIZE)
    parts = rules.kinds()["diagonals"].read(None, base)
    whole = with_houses(base, parts)
    clues = tuple(d if k % 3 else 0 for k, d in enumerate(random_solution(whole, 5)))
    order = [1, 0, 2, 3, 5, 4]
    other = tuple(7 - d if d else 0 for r in order for d in (clues[r * SIZE + c] for c in order))
    assert fingerprint(whole, other, parts) == fingerprint(whole, clues, parts)
    assert fingerprint(whole, clues, parts) != fingerprint(base, clues)
    plain_swap = tuple(clues[r * SIZE + c] for r in order for c in range(SIZE))
    assert fingerprint(whole, plain_swap, parts) != fingerprint(whole, clues, parts)
