"""Prints of the real press are the book: with their plan in hand and without, in every edition."""

from __future__ import annotations

import pytest

from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS, Edition
from packbuilder.readback import as_json, read
from packbuilder.rules import kinds
from tests.readback import books
from tests.readback.altering import planned, printed

PDFS = [one for one in EDITIONS.values() if one.suffix == ".pdf"]


@pytest.mark.parametrize("edition", PDFS, ids=lambda e: e.name)
@pytest.mark.parametrize("name", ["plain", "mixed", "rules", "outside"])
def test_every_edition_is_read_without_a_finding(name: str, edition: Edition) -> None:
    whole = books.ruled(*kinds()) if name == "rules" else getattr(books, name)()
    book = book_of(whole, edition)
    plan = planned(book)
    for known in (plan, None):
        seen = read(printed(plan), book, known)
        assert seen.findings == ()
        grids = sum(2 + len(entry.hints) for entry in book.entries)
        assert seen.grids == grids


def test_the_json_of_a_good_print() -> None:
    book = books.plain()
    told = as_json(read(printed(planned(book)), book))
    assert (told["verdict"], told["findings"]) == ("pass", [])
