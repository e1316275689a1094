"""Text that does not fit or cannot be printed: the sentence that the user sees."""

from __future__ import annotations

import io

import pytest

from packbuilder.book.book import Book
from packbuilder.errors import InputError
from tests.pages.sample_book import sample_book, with_pack, with_puzzle
from tests.printing import print_book


def fault_of(book: Book) -> str:
    with pytest.raises(InputError) as caught:
        print_book(book, io.BytesIO())
    return str(caught.value)


def test_a_title_of_four_hundred_letters() -> None:
    told = fault_of(with_puzzle(sample_book(), 2, title="ferry " * 66 + "boat"))
    assert told == (
        "manifest.yaml:44: puzzle 'small-change': title: 400 letters take 7 lines of 110 mm, and "
        "there is room for 2; shorten it to about 114 letters, or take a layout with fewer grids "
        "to a page"
    )


def test_a_title_too_long_for_its_line_only() -> None:
    title = "The Lighthouse Keeper’s Long and Rather Windy Winter Night Watch"
    told = fault_of(with_puzzle(sample_book("a4", "four-up"), 2, title=title))
    assert "puzzle 'small-change': title: 64 letters do not fit on a line of 81 mm" in told
    assert "shorten it, or take a layout with fewer grids to a page" in told


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("A Lamp 💡", "'💡' (U+1F4A1, ELECTRIC LIGHT BULB)"),
        ("灯台", "'灯' (U+706F, CJK UNIFIED IDEOGRAPH-706F)"),
        ("منارة", "(U+0645, ARABIC LETTER MEEM)"),
    ],
)
@pytest.mark.parametrize("field", ["title", "setter", "intro"])
def test_a_letter_that_the_type_has_not(field: str, text: str, named: str) -> None:
    told = fault_of(with_puzzle(sample_book(), 4, **{field: text}))
    assert told.startswith(f"manifest.yaml:68: puzzle 'low-water': {field}: ")
    assert f"the type has no glyph for {named}" in told or named in told
    assert told.endswith("use Latin, Greek or Cyrillic letters and common signs")


@pytest.mark.parametrize("field", ["title", "theme", "byline", "foreword", "licence"])
def test_a_letter_that_the_type_has_not_in_the_pack(field: str) -> None:
    told = fault_of(with_pack(sample_book(), **{field: "Lamp 💡"}))
    assert told.startswith(f"pack: {field}: the type has no glyph for '💡'")


def test_an_intro_too_long_for_its_room() -> None:
    told = fault_of(with_puzzle(sample_book("letter", "four-up"), 1, intro="So it goes. " * 40))
    assert "puzzle 'the-rope-store': intro: 479 letters take " in told
    assert "shorten it to about" in told


def test_a_theme_too_long_for_the_cover() -> None:
    told = fault_of(with_pack(sample_book(), theme="So it goes. " * 40))
    assert told.startswith("pack: theme: 479 letters take ")


@pytest.mark.parametrize(
    "words",
    ["Příliš žluťoučký kůň", "Ένα φως στο λιμάνι", "Огни гавани", "Ærø & Łódź — “½” × 2"],
)
def test_latin_greek_and_cyrillic_are_printed(words: str) -> None:
    import pypdf

    book = with_puzzle(sample_book(), 0, title=words, setter=words, intro=words)
    book = with_pack(book, title=words, theme=words, byline=words)
    out = io.BytesIO()
    print_book(book, out)
    pages = [page.extract_text() for page in pypdf.PdfReader(out).pages]
    assert words in pages[0]
    assert any(f"Set by {words}" in page for page in pages)


def test_links_are_printed_letter_for_letter() -> None:
    import pypdf

    link = "https://example.org/a--b?c='d'&e=\"f\""
    out = io.BytesIO()
    print_book(with_puzzle(sample_book(), 0, link=link), out)
    pdf = pypdf.PdfReader(out)
    assert any(link in page.extract_text().replace("\n", "") for page in pdf.pages)
    found = {
        note.get_object()["/A"]["/URI"]
        for page in pdf.pages for note in page.get("/Annots", ()) if "/A" in note.get_object()
    }  # fmt: skip
    assert link in found
