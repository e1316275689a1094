"""Letters by which solvers enter: each in its cell of the puzzle, told to all, and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS
from packbuilder.plan.items import Table, Text
from packbuilder.readback import read
from tests.plaintext.reading import read_text
from tests.plaintext.small_book import text_of
from tests.readback import books
from tests.readback.altering import altered, planned, printed, told

FACE = "SourceSansPro-Semibold"


@cache
def lettered(*, large: bool = False) -> Book:
    """Grids with letters in four empty cells each."""
    book = books.large() if large else books.mixed()
    entries = tuple(
        replace(one, letters=tuple(c for c, v in enumerate(one.puzzle.clues) if not v)[1:8:2])
        for one in book.entries
    )
    return replace(book, entries=entries)


def is_letter(item: object, letter: str = "B") -> bool:
    return isinstance(item, Text) and item.text == letter and item.face == FACE


@pytest.mark.parametrize("edition", [e for e in EDITIONS.values() if e.suffix == ".pdf"],
                         ids=lambda e: e.name)  # fmt: skip
def test_letters_are_read_in_every_edition(edition: object) -> None:
    whole = lettered()
    book = book_of(whole, edition)  # type: ignore[arg-type]
    plan = planned(book)
    for known in (plan, None):
        assert read(printed(plan), book, known).findings == ()


def test_letters_beside_digits_that_are_letters() -> None:
    """In a 16x16 grid the digits past 9 are A to G."""
    book = lettered(large=True)
    assert read(printed(planned(book)), book, planned(book)).findings == ()


CHANGES = {
    "gone": lambda item: None,
    "another": lambda item: replace(item, text="E"),
    "a digit": lambda item: replace(item, text="2"),
    "in another cell": lambda item: replace(item, x=item.x + 70),
    "off its corner": lambda item: replace(item, x=item.x + 4, y=item.y - 9),
    "too large": lambda item: replace(item, size=item.size * 2),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_letter_that_is_wrong_is_told(name: str) -> None:
    book = lettered()
    plan = altered(planned(book), "Puzzles", is_letter, CHANGES[name])
    told(plan, book, "entry-letter", number=1)


def test_letters_that_are_too_many_are_told() -> None:
    """Printed from a book with letters, read for one without."""
    plan = planned(lettered())
    told(plan, books.mixed(), "mark-stray", number=1)


def test_letters_in_an_answer_are_told() -> None:
    """The answers do not say which cells are the code."""
    book = lettered()
    grid = next(
        item for page in planned(book).pages if page.section == "Answers" for item in page.items
        if isinstance(item, Table)
    )  # fmt: skip
    cell = next(i for i in grid.items if hasattr(i, "places"))
    x, y, _ = cell.places[0]
    letter = Text(x - 4, y + 5, "A", FACE, 5.0)
    plan = altered(
        planned(book), "Answers", lambda item: isinstance(item, Table),
        lambda item: replace(item, items=(*item.items, letter)),
    )  # fmt: skip
    told(plan, book, "stray-text", "'A' in or over")
    answers = [t for page in planned(book).pages if page.section == "Answers" for t in page.items]
    assert not any(is_letter(i, letter) for table in answers if isinstance(table, Table)
                   for i in table.items for letter in "ABCD")  # fmt: skip


def test_what_a_screen_reader_is_told_of_them() -> None:
    book = lettered()
    plan = altered(
        planned(book), "Puzzles", lambda item: isinstance(item, Table),
        lambda item: replace(item, summary=item.summary.replace("B: ", "B: r9")),
    )  # fmt: skip
    told(plan, book, "tag", "letters to enter by", number=1)


def test_what_is_asked_for_beside_a_puzzle() -> None:
    book = lettered()
    plan = altered(
        planned(book), "Puzzles", lambda item: isinstance(item, Text) and "To enter" in item.text,
        lambda item: replace(item, text=item.text.replace("A to D", "A to C")),
    )  # fmt: skip
    told(plan, book, "entry-letter", "nothing beside it asks for", number=1)


def test_the_text_edition_tells_them() -> None:
    book = book_of(lettered(), EDITIONS["text"])
    text = text_of(book)
    assert read_text(text, book).findings == ()
    start = text.index(b"** Entry letters")
    line = text.index(b"\nB: r", start) + 1
    for new in (b"B: r4c4", b""):
        other = text[:line] + new + text[line + 7 :]
        codes = {one.code for one in read_text(other, book).findings}
        assert "entry-letter" in codes
