"""Lines that can be filled in few ways: by hand, for each rule that tries them."""

from __future__ import annotations

from packbuilder.rules.tools.fillings import MOST
from tests.rules.random_lines import told


def test_ways_are_told_along_the_line():
    # Row 1 holds r1c1 and r1c3, so they are 1 and 2; 6 in the middle would make both of them 1.
    held = {"r1c1": "12", "r1c2": "67", "r1c3": "12"}
    found = told("whispers", ["r1c1 r1c2 r1c3"], given=held, ways=True)
    assert found[0] == (
        "whisper-ways",
        "r1c2 6",
        "The whisper line from r1c1 to r1c3 can be filled in two ways: 1-7-2 or 2-7-1. That takes "
        "6 out of r1c2.",
    )


def test_a_digit_of_all_ways_goes_elsewhere():
    # 1-6, 1-7, 2-7: none of 1, 2, 6, 7 is in all of them. 1-6 and 1-7 and 6-1: 1 is.
    assert told("whispers", ["r1c1 r1c2"], given={"r1c1": "12", "r1c2": "67"}, ways=True) == []
    found = told("whispers", ["r3c3 r4c4"], given={"r3c3": "16", "r4c4": "16"}, ways=True)
    # r3c4 to r3c6 and so on see only one of the two; row 3 meets column 4 and block 5 in r3c4,
    # which sees both; so do r4c3 and the others where a house of the one meets one of the other.
    assert found == [
        (
            "whisper-ways",
            f"r3c4 {d}, r4c3 {d}",
            f"There are two ways to fill the whisper line from r3c3 to r4c4, and {d} is on it in "
            f"both; a cell that sees it each time cannot be {d}. That takes {d} out of r3c4 and "
            "r4c3.",
        )
        for d in (1, 6)
    ]


def test_two_pairs_of_a_palindrome():
    # r2c4 = r5c3 and r3c3 = r4c4, and r2c4 sees none of r3c3; r5c3 sees r3c3 in column 3. So one
    # pair is 1, the other 2.
    held = dict.fromkeys(("r2c4", "r3c3", "r4c4", "r5c3"), "12")
    found = told("palindromes", ["r2c4 r3c3 r4c4 r5c3"], given=held, ways=True)
    assert [technique for technique, _, _ in found] == ["palindrome-ways"] * 2
    # r3c4 sees r2c4 and r4c4 (column 4), of which one is 1.
    assert "r3c4 1" in found[0][1] and "r3c4 2" in found[1][1]
    assert "r9c9" not in found[0][1]


def test_a_renban_line():
    # 3 to 6 in three cells: 3-4-5, 3-5-4, 6-4-5, 6-5-4 and 6-5-7: 5 is in all of them.
    held = {"r1c1": "36", "r1c2": "45", "r1c3": "457"}
    (found,) = told("renban", ["r1c1 r1c2 r1c3"], given=held, ways=True)
    assert found[1].startswith("r1c4 5, r1c5 5")
    assert found[2].startswith(
        "There are five ways to fill the renban line from r1c1 to r1c3, and 5 is on it in all of "
        "them; a cell that sees it each time cannot be 5. That takes 5 out of r1c4, r1c5,"
    )


def test_an_arrow_and_a_between_line():
    held = {"r1c1": "9", "r1c2": "34", "r1c3": "45"}
    arrow = [{"circle": "r1c1", "shaft": "r1c2 r1c3 r2c4"}]
    assert told("arrows", arrow, given=held, ways=True)[0][2] == (
        "The arrow from r1c1 to r2c4 can be filled in two ways: 9-3-4-2 or 9-3-5-1. That takes 4 "
        "out of r1c2; and 3, 4, 5, 6, 7, 8 and 9 out of r2c4."
    )
    # Between 3 and 6 there is room for 4 and 5 in row 1; between 3 and 5 there is not.
    held = {"r1c1": "3", "r1c2": "45", "r1c3": "45", "r1c4": "56"}
    assert told("between-lines", ["r1c1 r1c2 r1c3 r1c4"], given=held, ways=True)[0][2] == (
        "The between line from r1c1 to r1c4 can be filled in two ways: 3-4-5-6 or 3-5-4-6. That "
        "takes 5 out of r1c4."
    )


def test_more_ways_than_a_person_tries_say_nothing():
    # 1-6, 1-7, 1-8, 1-9, 2-7, 2-8, 2-9, 3-8, 3-9 and 4-9 are ten; 6-1 and 7-1, 7-2 make 13.
    assert MOST == 12
    ten = {"r3c3": "1234", "r4c4": "56789"}
    assert [g for _, g, _ in told("whispers", ["r3c3 r4c4"], given=ten, ways=True)] == ["r4c4 5"]
    more = {"r3c3": "123467", "r4c4": "1256789"}
    assert told("whispers", ["r3c3 r4c4"], given=more, ways=True) == []
