"""Phrases: what is left over is counted, one or many."""

from packbuilder.phrases import first_few


def test_what_is_left_over_is_counted() -> None:
    assert first_few("abc", 3, noun="cell") == "a, b and c"
    assert first_few("abcd", 3, noun="cell") == "a, b, c and 1 more cell"
    assert first_few("abcde", 3, noun="cell") == "a, b, c and 2 more cells"
    assert first_few("abcd", 3) == "a, b, c and 1 more"
    assert first_few("abcd", 3, "; ") == "a; b; c; and 1 more"
