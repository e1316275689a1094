"""The real pages, held against the house style by a room that knows them by that text alone."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdf
import pytest

from packbuilder.book import Book
from packbuilder.grid import cell_name
from packbuilder.pages import print_book
from packbuilder.proof.verdict import Verdict
from packbuilder.readback import document, read
from packbuilder.readback.proofs import Prove
from packbuilder.readback.survey import survey
from tests.pages.sample_book import sample_book
from tests.readback.test_pages import edited, without_page


def printed(book: Book) -> bytes:
    out = io.BytesIO()
    print_book(book, out)
    return out.getvalue()


def believing(book: Book) -> Prove:
    """A proof that knows the book: the sample's largest grids are drawn, never proved."""
    known = {e.puzzle.clues: e.solution for e in book.entries}
    return lambda _, clues, __: Verdict(1, known[clues]) if clues in known else Verdict(0)


@pytest.mark.parametrize(
    "paper, layout, large",
    [
        ("a4", "two-up", False),
        ("letter", "four-up", False),
        ("a5", "one-up", False),
        ("a4", "one-up", True),
    ],
)
def test_the_pages_keep_the_house_style(paper: str, layout: str, large: bool) -> None:
    book = sample_book(paper, layout, large)
    seen = read(printed(book), book, prove=believing(book))
    assert seen.findings == ()
    assert seen.grids == sum(2 + len(e.hints) for e in book.entries)


def test_a_book_without_hints_or_foreword_keeps_it_too() -> None:
    whole = sample_book()
    entries = tuple(replace(e, hints=()) for e in whole.entries[:2])
    pack = replace(whole.pack, foreword="", puzzles=tuple(e.puzzle for e in entries))
    book = Book(pack, entries)
    assert read(printed(book), book).findings == ()


@pytest.fixture(scope="module")
def real() -> tuple[Book, bytes]:
    whole = sample_book(layout="two-up")
    entries = whole.entries[:4]
    book = Book(replace(whole.pack, puzzles=tuple(e.puzzle for e in entries)), entries)
    return book, printed(book)


def test_a_covered_digit_of_a_real_page_is_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    clues = book.entries[0].puzzle.clues
    cell = next(c for c, v in enumerate(clues) if v)
    leaf = next(x for x in map(survey, document.sheets(data)) if x.section == "Puzzles")
    x, y = leaf.grids[0][0].middle(cell)

    def cover(writer: pypdf.PdfWriter) -> None:
        page = writer.pages[leaf.number - 1]
        content = page.get_contents()
        assert content is not None
        content.set_data(content.get_data() + f"\n1 g {x - 8} {y - 8} 16 16 re f\n".encode())
        page.replace_contents(content)

    told = read(edited(data, cover), book).findings
    assert [(f.code, f.page, f.number, f.cells) for f in told] == [
        ("ink-missing", leaf.number, 1, (cell_name(cell, 9),))
    ]


def test_each_missing_page_of_a_real_book_is_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    count = len(pypdf.PdfReader(io.BytesIO(data)).pages)
    for number in (1, 2, count // 2, count):
        assert not read(edited(data, without_page(number)), book).ok


def test_words_of_the_pack_that_are_not_printed_are_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    foreword = book.pack.foreword + "\n\nAnd one more paragraph, which nobody printed."
    entry = book.entries[1]
    puzzle = replace(entry.puzzle, intro="An introduction that nobody printed.")
    asked = Book(
        replace(book.pack, foreword=foreword, theme="Another theme"),
        (book.entries[0], replace(entry, puzzle=puzzle), *book.entries[2:]),
    )
    told = {(f.code, f.number): f for f in read(data, asked).findings}
    assert set(told) == {("words", None), ("words", 2)}
    assert told["words", 2].message.startswith("words of its introduction are not printed: An")
    messages = [f.message for f in read(data, asked).findings]
    assert any("words of the theme are not printed: Another" in m for m in messages)
    assert any("words of the foreword are not printed: And" in m for m in messages)


def test_a_press_that_drops_or_changes_a_digit_is_told(real: tuple[Book, bytes]) -> None:
    book, _ = real
    entry = book.entries[3]
    cell = next(c for c, v in enumerate(entry.puzzle.clues) if not v)
    for value in (0, entry.solution[cell] % 9 + 1):
        solution = (*entry.solution[:cell], value, *entry.solution[cell + 1 :])
        entries = (*book.entries[:3], replace(entry, solution=solution))
        told = read(printed(replace(book, entries=entries)), book).findings
        assert {f.number for f in told} == {4}
        assert {"digit-missing" if not value else "digit-wrong"} <= {f.code for f in told}
        assert {c for f in told for c in f.cells} == {cell_name(cell, 9)}
