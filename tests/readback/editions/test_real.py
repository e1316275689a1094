"""The real pages of every edition, held against the house style; no file passes for another."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import pytest

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS
from packbuilder.readback import read
from packbuilder.rules import kinds
from tests.pages.sample_book import sample_book
from tests.printing import print_book
from tests.readback import books

PRINTED = [name for name, edition in EDITIONS.items() if edition.suffix == ".pdf"]


@cache
def whole() -> Book:
    """Two puzzles with hints; a sampler has one of them; a sheet is .2 mm thick."""
    book = sample_book()
    entries = book.entries[:2]
    pack = replace(book.pack, puzzles=tuple(e.puzzle for e in entries), sampler=1, creep=0.2)
    return Book(pack, entries)


@cache
def ruled() -> Book:
    """A puzzle of each rule that draws or writes in another way."""
    book = books.ruled("cages", "sandwich", "xv", "thermometers", "anti-knight")
    assert all(name in kinds() for e in book.entries for name in e.puzzle.rule_names)
    return book


def printed(book: Book) -> bytes:
    out = io.BytesIO()
    print_book(book, out)
    return out.getvalue()


@cache
def made(name: str) -> bytes:
    return printed(book_of(whole(), EDITIONS[name]))


@pytest.mark.parametrize("name", PRINTED)
def test_every_edition_keeps_the_house_style(name: str) -> None:
    book = book_of(whole(), EDITIONS[name])
    seen = read(made(name), book)
    assert seen.findings == ()
    assert seen.grids == sum(2 + len(e.hints) for e in book.entries)


@pytest.mark.parametrize("name", ["large-print", "booklet", "screen-dark", "print-shop"])
def test_every_edition_of_rules_keeps_it_too(name: str) -> None:
    book = book_of(ruled(), EDITIONS[name])
    found = read(printed(book), book).findings
    # the examples of rules, which are the puzzles here, stand solved on how to play
    assert [f for f in found if f.code != "answer-shown"] == []


@pytest.mark.parametrize("name", PRINTED)
def test_no_edition_passes_for_the_next_one(name: str) -> None:
    other = PRINTED[(PRINTED.index(name) + 1) % len(PRINTED)]
    assert not read(made(name), book_of(whole(), EDITIONS[other])).ok
