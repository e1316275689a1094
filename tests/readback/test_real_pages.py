"""The real pages, held against the house style by a room that knows them by that text alone."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdf
import pytest

from packbuilder.book.book import Book
from packbuilder.grid import cell_name
from packbuilder.proof.verdict import Verdict
from packbuilder.readback import Finding, document, read
from packbuilder.readback.proofs import Prove
from packbuilder.readback.survey import survey
from packbuilder.rules import kinds
from packbuilder.rules.contract import Part
from packbuilder.rules.shapes import Corner, Edge, Outside, Shape
from tests.pages.sample_book import sample_book
from tests.printing import print_book
from tests.readback import books
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
    leaves = map(survey, document.sheets(data))
    leaf = next(x for x in leaves if x.section == "Puzzles" and x.grids)
    x, y = leaf.grids[0][0].middle(cell)

    def cover(writer: pypdf.PdfWriter) -> None:
        page = writer.pages[leaf.number - 1]
        content = page.get_contents()
        assert content is not None
        box = f"\n/Artifact BMC 1 g {x - 8} {y - 8} 16 16 re f EMC\n"
        content.set_data(content.get_data() + box.encode())
        page.replace_contents(content)

    told = read(edited(data, cover), book).findings
    assert [(f.code, f.page, f.number, f.cells) for f in told] == [
        ("ink-missing", leaf.number, 1, (cell_name(cell, 9),))
    ]


def test_each_missing_page_of_a_real_book_is_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    count = len(pypdf.PdfReader(io.BytesIO(data)).pages)
    for number in (1, count // 2):
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
    assert set(told) == {("words", None), ("words", 2), ("metadata", None)}
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


# --- rules ---------------------------------------------------------------------------------------


def told_of(pages: Book, book: Book) -> list[Finding]:
    """What is told of a book's real pages; the examples of rules stand solved on how to play."""
    found = read(printed(pages), book).findings
    return [f for f in found if f.code != "answer-shown" or f.page is None or f.page > 12]


@pytest.mark.parametrize(
    "paper, layout", [("a4", "one-up"), ("a4", "two-up"), ("letter", "four-up"), ("a5", "one-up")]
)
def test_pages_with_every_rule_keep_the_house_style(paper: str, layout: str) -> None:
    book = books.ruled(*kinds())
    book = replace(book, pack=replace(book.pack, paper=paper, layout=layout))
    assert told_of(book, book) == []


def test_text_beside_a_grid_is_its_own_though_the_next_grid_stands_further_in() -> None:
    """Below a grid without bands stands one whose caption is a band to the right of its column."""
    book = books.ruled("dots", "sightlines")
    book = replace(book, pack=replace(book.pack, layout="two-up"))
    assert told_of(book, book) == []


@pytest.mark.parametrize("layout", ["one-up", "two-up"])
def test_pages_with_many_rules_in_one_grid_keep_it_too(layout: str) -> None:
    book = books.combined()
    book = replace(book, pack=replace(book.pack, layout=layout))
    assert told_of(book, book) == []


@pytest.mark.parametrize(
    "slug, old, new, words",
    [
        ("cages", Corner(0, "15"), Corner(0, "16"), "cage 15 at r1c1 is printed as cage 16"),
        ("dots", Edge((26, 27), "black"), Edge((26, 27), "white"), "is printed as white dot"),
        ("xv", Edge((15, 16), "X"), Edge((15, 16), "V"), "X at r3c4-r3c5 is printed as V"),
        ("sandwich", Outside("top", 1, "5"), Outside("top", 1, "6"), "sandwich 5 above column 2"),
    ],
)
def test_a_press_that_changes_a_mark_is_told(
    slug: str, old: Shape, new: Shape, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = books.ruled(slug)
    part = next(p for p in book.entries[0].puzzle.rules if old in p.shapes())
    shapes = type(part).shapes

    def changed(self: Part) -> tuple[Shape, ...]:
        return tuple(new if shape == old else shape for shape in shapes(self))

    monkeypatch.setattr(type(part), "shapes", changed)
    pages = printed(book)
    monkeypatch.undo()
    told = [f for f in read(pages, book).findings if f.code == "rule-wrong"]
    assert told
    assert all(words in f.message and f.number == 1 for f in told)
