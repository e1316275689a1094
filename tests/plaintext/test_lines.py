"""Lines: words wrapped without loss, nothing that looks like a heading, references filled in."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.plaintext.words import item, kept, own, said, tidy
from packbuilder.plaintext.writing import encoded, filled
from packbuilder.plan.outline import (
    MARKS,
    SECTION,
    WIDTH,
    Node,
    Outline,
    Paragraph,
    Rows,
    To,
)

WORDS = st.lists(
    st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=12)
    | st.sampled_from([*MARKS, "r1", "r12", "Rules:", "r1c1", "=", "!"]),
    min_size=1,
    max_size=60,
)


def paragraph(text: str) -> list[str]:
    """The lines of a paragraph in the file."""
    return encoded(Outline((said(text),), ())).decode().splitlines()


@given(WORDS)
def test_words_are_kept_in_their_order(words: list[str]) -> None:
    assert " ".join(paragraph(" ".join(words))).split() == words


@given(WORDS)
def test_no_line_is_long_and_none_begins_as_a_heading_or_a_row(words: list[str]) -> None:
    first, *later = paragraph(" ".join(words))
    for line in later:
        start = line.split()[0]
        assert start not in MARKS
        assert not (start[0] == "r" and start[1:].isdecimal())
    for line in (first, *later):
        held = [w for w in line.split()[1:] if w in MARKS or (w[0] == "r" and w[1:].isdecimal())]
        assert len(line) <= WIDTH or held or " " not in line


def test_lines_are_as_full_as_they_can_be() -> None:
    # by hand: 40 signs are reached exactly, and the 41st begins a line
    assert paragraph(f"{'a' * 20} {'b' * 19} c") == [f"{'a' * 20} {'b' * 19}", "c"]
    assert paragraph(f"{'a' * 20} {'b' * 20}") == ["a" * 20, "b" * 20]


def test_a_long_word_stands_alone() -> None:
    address = "https://example.org/" + "x" * 50
    assert paragraph(f"see {address} now") == ["see", address, "now"]


@given(st.text(max_size=200))
def test_tidy_words_are_in_normal_form_and_printable(text: str) -> None:
    words = tidy(text)
    assert unicodedata.is_normalized("NFC", words)
    assert words.isprintable()
    assert tidy(words) == words
    words.encode("utf-8")


def test_tidy_keeps_what_was_typed() -> None:
    assert tidy(' a --  "b"\u00ad\n c\u200b...') == 'a -- "b" c...'
    assert tidy("Zoe\u0308") == "Zo\u00eb"


def test_own_words_may_not_begin_with_a_mark() -> None:
    assert own("a ## b", "title") == "a ## b"
    with pytest.raises(InputError, match="lamp: title: begins with '##'") as refused:
        own(" ## b", "lamp: title")
    assert "begin with another word" in str(refused.value)
    with pytest.raises(InputError, match="'r4', which is how the row of a grid begins"):
        own("r4 is where to look", "lamp: hint 1")
    assert own("r4c1 is where to look", "lamp: hint 1") == "r4c1 is where to look"


def test_own_words_that_no_short_lines_can_hold_are_refused() -> None:
    with pytest.raises(InputError, match=r"theme: .* cannot be set in lines of 40 signs"):
        own("stars " + "** " * 14, "theme")


def test_headings_and_items() -> None:
    assert filled(kept("## 12: The Lamp Room")) == ["## 12: The Lamp Room"]
    pairs = ["r1c1 r1c2,", "r2c1 r3c1,", "r4c4 r4c5,", "r5c5 r5c6"]
    items = (item("cage 15", ["r1c1", "r1c2"]), item("white", pairs))
    assert encoded(Outline((said(*items),), ())).decode() == (
        "cage 15: r1c1 r1c2\nwhite: r1c1 r1c2, r2c1 r3c1, r4c4 r4c5,\nr5c5 r5c6\n"
    )


def test_references_name_the_line_of_a_heading() -> None:
    there = (SECTION, "d")
    front = (said("a", To("b: line {}", (there,))), Rows(("r1  c", "", "r2  c")))
    data = encoded(Outline(front, (Node(SECTION, "d", (Paragraph(("e",)),)),)))
    assert data == b"a\nb: line 8\n\nr1  c\n\nr2  c\n\n== d\n\ne\n"
