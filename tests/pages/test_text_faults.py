"""Text that does not fit or cannot be printed: the sentence that the user sees."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from packbuilder.book.book import Book
from packbuilder.errors import InputError
from packbuilder.layouts.loading import load
from packbuilder.pages import plan_book
from packbuilder.pages.plan import plan
from packbuilder.plan.items import Link, Text
from tests.pages.sample_book import sample_book, with_pack, with_puzzle
from tests.printing import print_book


def fault_of(book: Book) -> str:
    with pytest.raises(InputError) as caught:
        print_book(book, io.BytesIO())
    return str(caught.value)


def test_a_title_of_four_hundred_letters() -> None:
    told = fault_of(with_puzzle(sample_book(), 2, title="ferry " * 66 + "boat"))
    assert re.fullmatch(
        r"manifest.yaml:44: puzzle 'small-change': title: 400 letters take \d lines of \d+ mm "
        r"above the grid, and there is room for 2: \d+ letters too many; shorten it to about \d+ "
        r"letters, or take a layout with fewer grids to a page",
        told,
    )


def test_a_title_where_a_layout_has_room_for_one_line() -> None:
    layout = load("four-up")
    margins = {"a4": replace(layout.margins["a4"], top=15)}
    low = replace(layout, margins=margins, grids=replace(layout.grids, caption=7))
    with pytest.raises(InputError) as caught:
        plan(with_puzzle(sample_book("a4", "four-up"), 2, title="ferry " * 12 + "boat"), low)
    told = re.search(r"76 letters take 2 lines of \d+ mm above the grid, and there is room for 1: "
                     r"(\d+) letters too many; shorten it to about (\d+) letters",
                     str(caught.value))  # fmt: skip
    assert told
    assert sum(map(int, told.groups())) == 76


@pytest.mark.parametrize("paper", ["a4", "a5"])
def test_a_long_byline_is_broken_on_the_cover(paper: str) -> None:
    byline = "Wilhelmina Archibalda Featherstonehaugh of the Lower Marshes, and eleven friends"
    cover = plan_book(with_pack(sample_book(paper), byline=byline)).pages[0]
    lines = [
        t.text for t in cover.items if isinstance(t, Text) and t.text in byline and t.size > 13
    ]
    assert len(lines) > 1 or paper == "a4"
    assert " ".join(lines) == byline


@pytest.mark.parametrize("layout", ["one-up", "two-up", "four-up", "worksheet", "gift-card"])
def test_a_title_too_long_for_its_line_has_two(layout: str) -> None:
    title = "The Lighthouse Keeper’s Long and Rather Windy Winter Night Watch over the Water"
    plan = plan_book(with_puzzle(sample_book("a4", layout), 2, title=title))
    texts = [item for page in plan.pages for item in page.items if isinstance(item, Text)]
    lines = [t for t in texts if t.tag and t.tag.role == "H2" and t.text in title and t.size >= 9]
    assert any(f"{a.text} {b.text}" == title for a, b in pairwise(lines))


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


@pytest.mark.parametrize("layout", ["four-up", "gift-card"])
def test_an_intro_too_long_for_its_room_has_a_page_of_notes(layout: str) -> None:
    intro = " ".join(["So it goes."] * 33)
    plan = plan_book(with_puzzle(sample_book("letter", layout), 1, intro=intro))
    (page,) = (page for page in plan.pages if page.section == "Notes")
    told = " ".join(item.text for item in page.items if isinstance(item, Text))
    assert intro in told
    links = [(p.section, item.words) for p in plan.pages for item in p.items
             if isinstance(item, Link) and item.to == "note-2"]  # fmt: skip
    assert links == [("Puzzles", f"Notes: page {page.folio}")]


def test_all_faults_are_told_at_once() -> None:
    book = with_puzzle(sample_book("a4", "four-up"), 1, title="W" * 400)
    book = with_pack(with_puzzle(book, 2, title="M" * 400), byline="O" * 400)
    told = fault_of(book).splitlines()
    assert [("byline" in line, "W" in line, "title" in line) for line in told] == [
        (True, False, False), (False, False, True), (False, False, True)
    ]  # fmt: skip


def test_a_theme_too_long_for_the_cover() -> None:
    told = fault_of(with_pack(sample_book(), theme="So it goes. " * 70))
    assert told.startswith("pack: theme: 839 letters take ")


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
