"""Words made fit for print, and broken into lines."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont, features

from packbuilder.book.wording import month_name, numerals
from packbuilder.pages.prose import break_lines, cut, tidy
from packbuilder.typography.fonts import font_file
from packbuilder.typography.typeface import face_for, typeface, width

FACE = "SourceSerifPro-Regular"


@pytest.mark.parametrize(
    ("typed", "set_"),
    [
        # usual English typography, common practice, no source
        ("It's \"so\" -- or 'not'", "It’s “so” – or ‘not’"),
        ("a - b", "a – b"),
        ("well-known", "well-known"),
        ("the '90s", "the ’90s"),
        ("(\"yes\")", "(“yes”)"),
        ("wait...", "wait…"),
        ("  one\n two\tthree ", "one two three"),
        ("soft\u00adhy\u200bphen", "softhyphen"),
        ("e\u0301", "é"),
        ("5\u00a0mm", "5\u00a0mm"),
    ],
)  # fmt: skip
def test_tidy(typed: str, set_: str) -> None:
    assert tidy(typed) == set_


@given(st.lists(st.sampled_from(["a", "tide", "harbour", "of", "lanterns,"]), max_size=7),
       st.integers(50, 160))  # fmt: skip
def test_lines_hold_all_words_within_the_measure(words: list[str], measure: int) -> None:
    lines = break_lines(" ".join(words), FACE, 10, measure)
    assert " ".join(lines).split() == words
    assert all(width(line, FACE, 10) <= measure + 0.01 for line in lines)


@given(st.lists(st.sampled_from(["a", "tide", "harbour", "of", "lanterns,"]), min_size=2,
                max_size=7))  # fmt: skip
def test_no_other_breaking_has_fewer_lines(words: list[str]) -> None:
    measure, text = 90, " ".join(words)
    lines = break_lines(text, FACE, 10, measure)
    fewest = min(  # every way to break, tried
        len(cuts) + 1
        for k in range(len(words))
        for cuts in itertools.combinations(range(1, len(words)), k)
        if all(
            width(" ".join(words[a:b]), FACE, 10) <= measure
            for a, b in itertools.pairwise((0, *cuts, len(words)))
        )
    )
    assert len(lines) <= fewest + 1  # one more is allowed, to keep a last line from being a stub


def test_a_last_line_is_no_stub() -> None:
    text = "Pointing: one digit of a block is held to a line."
    assert break_lines(text, FACE, 10.5, 185)[-1] == "held to a line."


def test_a_word_longer_than_the_line_is_broken() -> None:
    link = "https://example.org/a/rather/long/path"
    assert break_lines(link, FACE, 10, 110) == ("https://example.org/a/", "rather/long/path")
    for measure in range(40, 120, 5):
        lines = break_lines(f"see {link}", FACE, 10, measure)
        assert "".join(lines).replace("see ", "see") == f"see{link}"
        assert all(width(line, FACE, 10) <= measure for line in lines)


def test_cut_ends_after_a_word() -> None:
    assert cut("The Long Pier at Night", FACE, 10, 80) == "The Long Pier…"
    assert cut("Short", FACE, 10, 80) == "Short"


def test_numerals_and_months() -> None:
    assert numerals([1, 2, 3, 5, 7, 8]) == "1–3, 5, 7, 8"
    assert month_name("2026-12") == "December 2026"
    assert month_name("2026-13") == "2026-13"


def test_italics_without_the_letters_become_upright() -> None:
    assert face_for("harbour", "SourceSerifPro-It") == "SourceSerifPro-It"
    assert face_for("гавань", "SourceSerifPro-It") == "SourceSerifPro-Regular"


@pytest.mark.skipif(not features.check("raqm"), reason="Pillow without a shaping engine")
@pytest.mark.parametrize("face", ["SourceSerifPro-Semibold", "SourceSansPro-Regular",
                                  "SourceSerifPro-It"])  # fmt: skip
@pytest.mark.parametrize("text", ["AV", "To", "Ty", "L’", "P.", "Harbour Lights", "Vol. 12",
                                  "Огни Тут"])  # fmt: skip
def test_widths_agree_with_a_shaping_engine(face: str, text: str) -> None:
    # HarfBuzz, through Pillow, is the judge of our reading of the kerning table
    if typeface(face).lacks(text):
        pytest.skip("letters that the face has not")
    font = ImageFont.truetype(str(font_file(face)), 1000, layout_engine=ImageFont.Layout.RAQM)
    shaped = font.getlength(text, features=["kern", "-liga", "-clig"])
    assert width(text, face, 1000) == pytest.approx(shaped, abs=len(text))
