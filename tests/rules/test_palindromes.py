"""Palindromes: deductions and faults by hand. What all lines are held to: `test_lines_alike`."""

from __future__ import annotations

import pytest

from tests.rules.random_lines import KINDS, grid_of, refusal, told

KIND = KINDS["palindromes"]
LINE = ["r1c1 r1c2 r1c3 r2c4 r2c5"]  # r1c1 mirrors r2c5, r1c2 mirrors r2c4, r1c3 stands alone


def test_a_known_digit_is_copied():
    assert told("palindromes", LINE, given={"r2c5": "5", "r1c1": "5678"}) == [
        (
            "palindrome-copy",
            "r1c1 678",
            "r1c1 mirrors r2c5 on the palindrome, and r2c5 is 5, so r1c1 is 5 too.",
        )
    ]


def test_candidates_are_matched():
    assert told("palindromes", LINE, given={"r1c2": "123", "r2c4": "246"}) == [
        (
            "palindrome-match",
            "r1c2 13, r2c4 46",
            "r1c2 and r2c4 mirror each other on the palindrome, so each can only be what the other "
            "can be. That takes 1 and 3 out of r1c2; and 4 and 6 out of r2c4.",
        )
    ]


def test_what_a_pair_reaches():
    # In row 3 only r3c1 and r3c5 can be 5; r1c2 sees the one (block 1), r2c4 the other (block 2).
    row = {f"r3c{c}": "12346789" for c in (2, 3, 4, 6, 7, 8, 9)}
    assert told("palindromes", ["r1c2 r1c3 r2c4"], given=row) == [
        (
            "palindrome-reach",
            "r1c2 5, r2c4 5",
            "r1c2 and r2c4 mirror each other on the palindrome. With 5 in both, no cell of row 3 "
            "could be 5. That takes 5 out of r1c2 and r2c4.",
        )
    ]


def test_a_third_place_that_neither_sees_leaves_all_open():
    row = {f"r3c{c}": "12346789" for c in (2, 3, 4, 6, 7, 8)}  # r3c9 can be 5 too
    assert told("palindromes", ["r1c2 r1c3 r2c4"], given=row) == []


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (
            ["r1c1 r1c2 r1c3"],
            "r1c1 and r1c3 mirror each other on this palindrome, but row 1 holds both and allows "
            "no digit twice; lay the line so that no two mirrored cells share a house",
        ),
        (
            ["r1c1 r2c2"],
            "r1c1 and r2c2 mirror each other on this palindrome, but block 1 holds both and allows "
            "no digit twice; lay the line so that no two mirrored cells share a house",
        ),
        (
            ["r1c3 r2c4 r3c4 r4c4 r5c3"],
            "r1c3 and r5c3 mirror each other on this palindrome, but column 3 holds both and "
            "allows no digit twice; lay the line so that no two mirrored cells share a house",
        ),
        (["r1c1"], "'r1c1' names 1 cell; name at least 2"),
        (
            ["r1c1 r3c3"],
            "r1c1 and r3c3 do not touch; name the cells of a line in order, each beside or "
            "diagonally beside the last",
        ),
    ],
)
def test_faults(value, sentence):
    assert refusal("palindromes", value) == (sentence, (0,))


def test_the_same_line_from_its_other_end_is_the_same():
    assert refusal("palindromes", ["r1c3 r2c4", "r2c4 r1c3"]) == (
        "this is number 1 again; leave one of the two out",
        (1,),
    )


def test_lines_that_run_together_are_told():
    parts = KIND.read(["r3c3 r4c4", "r4c4 r3c5 r2c6", "r2c4 r3c3 r4c4 r5c3"], grid_of(9))
    assert KIND.warnings(parts, 9) == [
        ("two palindromes meet at r4c4 and look like one line in print", (20, 30, 14, 22)),
        (
            "the palindrome from r3c3 to r4c4 cannot be seen in print: another one covers it",
            (20, 30),
        ),
    ]


def test_how_many_ways_to_fill_one():
    """Free cells: one choice of nine for each pair and for the middle."""
    part = KIND.read(["r2c4 r3c3 r4c4 r5c3"], grid_of(9))[0]
    ways = 0
    for number in range(9**4):
        values = [1] * 81
        for k, cell in enumerate(part.cells):
            values[cell] = number // 9**k % 9 + 1
        ways += part.holds(tuple(values), 9)
    assert ways == 9**2
