"""Between lines: deductions and faults by hand. What all lines are held to: `test_lines_alike`."""

from __future__ import annotations

import pytest

from tests.rules.random_lines import KINDS, grid_of, refusal, told

KIND = KINDS["between-lines"]
LINE = ["r1c1 r1c2 r1c3 r2c4"]
INNER = {"r1c2": "2345678", "r1c3": "2345678"}


def test_no_extremes_between():
    assert told("between-lines", LINE)[0] == (
        "between-inside",
        "r1c2 19, r1c3 19",
        "What lies between two digits is neither 1 nor 9, so neither of these is between the "
        "circles r1c1 and r2c4.",
    )


def test_circles_bound_what_is_between():
    found = told("between-lines", LINE, given=INNER | {"r1c1": "34", "r2c4": "67"})
    assert found[:2] == [
        (
            "between-bounds",
            "r1c2 78, r1c3 78",
            "Neither circle of the between line from r1c1 to r2c4 is more than 7, so r1c2 and "
            "r1c3, between them, are at most 6.",
        ),
        (
            "between-bounds",
            "r1c2 23, r1c3 23",
            "Neither circle of the between line from r1c1 to r2c4 is less than 3, so r1c2 and "
            "r1c3, between them, are at least 4.",
        ),
    ]


def test_what_is_between_says_what_the_circles_are_not():
    found = told("between-lines", LINE, given=INNER | {"r1c2": "6"})
    assert found[0] == (
        "between-ends",
        "r1c1 6, r2c4 6",
        "r1c2, on the between line, is 6. One circle is less and the other more. That takes 6 out "
        "of r1c1 and r2c4.",
    )
    found = told("between-lines", LINE, given={"r1c2": "34", "r1c3": "678"})
    assert found[0] == (
        "between-ends",
        "r1c1 456, r2c4 456",
        "On the between line r1c2 is at most 4 and r1c3 at least 6. Each circle is less than both "
        "or more than both. That takes 4, 5 and 6 out of r1c1 and r2c4.",
    )


def test_different_digits_hold_the_circles_apart():
    # r1c2, r1c3, r1c4 are three digits of row 1: the circles differ by 4 or more; r2c5 is 4 to 6,
    # so r1c1 is 1 or 2 below it, or 8 or 9 above it.
    held = dict.fromkeys(("r1c2", "r1c3", "r1c4"), "2345678") | {"r2c5": "456"}
    found = told("between-lines", ["r1c1 r1c2 r1c3 r1c4 r2c5"], given=held)
    assert (
        "between-span",
        "r1c1 34567",
        "Three different digits, all in row 1, lie between the circles r1c1 and r2c5, so these "
        "differ by at least 4. That takes 3, 4, 5, 6 and 7 out of r1c1.",
    ) in found
    found = told("between-lines", ["r1c1 r1c2 r2c3"], given={"r1c1": "5", "r1c2": "2345678"})
    assert (
        "between-span",
        "r2c3 456",
        "r1c2 lies between the circles r1c1 and r2c3, so these differ by at least 2. That takes 4, "
        "5 and 6 out of r2c3.",
    ) in found


def test_which_circle_is_the_lesser():
    # With r2c4 the lesser it would be less than r1c2, so 2 at most, which it is not. So r1c1 is the
    # lesser: less than r1c2, so 1; and r2c4 is more than r1c3, so at least 5.
    held = {"r1c1": "138", "r2c4": "3456", "r1c2": "23", "r1c3": "45"}
    found = told("between-lines", LINE, given=held)
    assert found[-1] == (
        "between-order",
        "r1c1 38, r2c4 34",
        "Of the circles r1c1 and r2c4, r2c4 cannot be the lesser: the between line would have no "
        "room. So r1c1 is less than all cells of the line, and r2c4 more. That takes 3 and 8 out "
        "of r1c1; and 3 and 4 out of r2c4.",
    )


@pytest.mark.parametrize("size", [4, 6, 9])
def test_how_many_ways_to_fill_one(size):
    """On free cells, two between: the squares (hi - lo - 1)^2 over all ordered pairs of ends."""
    part = KIND.read(["r1c1 r2c2 r3c3 r4c4"], grid_of(size))[0]
    ways = 0
    for number in range(size**4):
        values = [1] * size**2
        for k, cell in enumerate(part.cells):
            values[cell] = number // size**k % size + 1
        ways += part.holds(tuple(values), size)
    assert ways == 2 * sum((size - gap) * (gap - 1) ** 2 for gap in range(1, size))


def test_two_different_digits_have_room_between_four():
    assert KIND.read(["r1c1 r1c2 r1c3 r1c4"], grid_of(4))


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (
            ["r1c2 r2c1 r2c2 r2c3 r1c4"],
            "3 different digits of row 2 would lie between the ends of this line, and a grid of 4 "
            "digits has 2 between its least and its greatest; make the line shorter, or bend it",
        ),
        (["r1c1 r1c2"], "'r1c1 r1c2' names 2 cells; name at least 3"),
        (["r1c1 r1c2 r1c1"], "r1c1 is named twice; name each cell once"),
    ],
)
def test_faults(value, sentence):
    assert refusal("between-lines", value, 4) == (sentence, (0,))


def test_a_line_through_the_circle_of_another_is_told():
    parts = KIND.read(["r1c1 r1c2 r1c3", "r2c1 r1c2 r2c3 r2c4", "r1c2 r2c2 r3c2"], grid_of(9))
    assert KIND.warnings(parts, 9) == [
        (
            "a between line runs through the circle at r1c2, where a reader may think that it ends",
            (0, 1, 2),
        ),
        (
            "a between line runs through the circle at r1c2, where a reader may think that it ends",
            (9, 1, 11, 12),
        ),
    ]
