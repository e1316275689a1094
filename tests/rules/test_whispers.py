"""Whisper lines: deductions and faults by hand. What all lines are held to: `test_lines_alike`."""

from __future__ import annotations

import pytest

from packbuilder.rules.whispers import difference
from tests.rules.random_lines import KINDS, grid_of, refusal, told

KIND = KINDS["whispers"]
FOUR = ["r1c1 r1c2 r1c3 r2c4"]
NO_FIVE = dict.fromkeys(("r1c1", "r1c2", "r1c3", "r2c4"), "12346789")


# 5 on a 9x9: common practice, no source. Half the size, rounded up, on others: our own rule.
@pytest.mark.parametrize(
    ("size", "gap"), [(4, 2), (5, 3), (6, 3), (7, 4), (8, 4), (9, 5), (10, 5), (15, 8), (16, 8)]
)
def test_the_difference_is_half_the_size_rounded_up(size, gap):
    assert difference(size) == gap
    part = KIND.read(["r1c1 r1c2"], grid_of(size))[0]
    values = [1] * size**2
    values[1] = 1 + gap
    assert part.holds(tuple(values), size)
    values[1] = gap
    assert not part.holds(tuple(values), size)


def test_no_five():
    assert told("whispers", FOUR)[0] == (
        "whisper-middle",
        "r1c1 5, r1c2 5, r1c3 5, r2c4 5",
        "Neighbours on the whisper line from r1c1 to r2c4 differ by at least 5, and no digit is "
        "that far from 5, so 5 is nowhere on it.",
    )
    assert not any(t == "whisper-middle" for t, _, _ in told("whispers", FOUR, 6))


def test_beside_a_known_digit():
    assert told("whispers", FOUR, given=NO_FIVE | {"r1c2": "7"})[0] == (
        "whisper-beside",
        "r1c1 346789, r1c3 346789",
        "r1c2 is 7. Its neighbours on the whisper line differ by at least 5 from it, so r1c1 and "
        "r1c3 are at most 2.",
    )
    assert told("whispers", ["r1c1 r1c2"], given={"r1c1": "4", "r1c2": "12346789"})[0][1:] == (
        "r1c2 1234678",
        "r1c1 is 4. Its neighbours on the whisper line differ by at least 5 from it, so r1c2 is 9.",
    )


def test_low_and_high_take_turns():
    found = told("whispers", FOUR, given=NO_FIVE | {"r1c3": "6789"})
    assert found[0] == (
        "whisper-sides",
        "r1c1 1234, r1c2 6789, r2c4 6789",
        "Low and high digits take turns along the whisper line from r1c1 to r2c4. r1c3 is high, so "
        "r1c2 and r2c4 are low (1 to 4) and r1c1 is high (6 to 9).",
    )
    found = told("whispers", FOUR, 6, {"r1c1": "123"})
    assert found[0][1:] == (
        "r1c2 123, r1c3 456, r2c4 123",
        "Low and high digits take turns along the whisper line from r1c1 to r2c4. r1c1 is low, so "
        "r1c3 is low (1 to 3) and r1c2 and r2c4 are high (4 to 6).",
    )


def test_a_bound_goes_one_step():
    held = {"r1c1": "234", "r1c2": "6789"}
    assert told("whispers", ["r1c1 r1c2"], given=held) == [
        (
            "whisper-step",
            "r1c2 6",
            "r1c1 is from 2 to 4. Its neighbours on the whisper line differ by at least 5 from it, "
            "so r1c2 is at least 7.",
        )
    ]
    held = {"r1c1": "3478", "r1c2": "12346789"}
    assert told("whispers", ["r1c1 r1c2"], given=held) == [
        (
            "whisper-step",
            "r1c2 467",
            "r1c1 is from 3 to 8. Its neighbours on the whisper line differ by at least 5 from it, "
            "so r1c2 is at most 3 or at least 8.",
        )
    ]


def test_a_cell_between_neighbours_that_see_each_other():
    found = told("whispers", ["r1c1 r1c2 r1c3"], given=NO_FIVE)
    assert found == [
        (
            "whisper-squeeze",
            "r1c2 4",
            "With 4 in r1c2, both its neighbours on the whisper line, r1c1 and r1c3, would be 9; "
            "but both lie in row 1. So r1c2 is not 4.",
        ),
        (
            "whisper-squeeze",
            "r1c2 6",
            "With 6 in r1c2, both its neighbours on the whisper line, r1c1 and r1c3, would be 1; "
            "but both lie in row 1. So r1c2 is not 6.",
        ),
    ]
    bent = {"r1c3": "12346789", "r2c4": "12346789", "r3c3": "12346789"}
    assert [g for _, g, _ in told("whispers", ["r1c3 r2c4 r3c3"], given=bent)] == [
        "r2c4 4",
        "r2c4 6",
    ]
    apart = {"r3c3": "12346789", "r4c4": "12346789", "r5c5": "12346789"}
    assert told("whispers", ["r3c3 r4c4 r5c5"], given=apart) == []


def test_faults():
    assert refusal("whispers", ["r1c1 r1c2", "r1c1"]) == (
        "'r1c1' names 1 cell; name at least 2",
        (1,),
    )
    assert refusal("whispers", ["r1c1 r2c3"]) == (
        "r1c1 and r2c3 do not touch; name the cells of a line in order, each beside or diagonally "
        "beside the last",
        (0,),
    )
