"""Prints without fault pass without a word, whatever the geometry and the way of drawing."""

from __future__ import annotations

import pytest

from packbuilder.book.book import Book
from packbuilder.readback import CODES, as_json, read
from tests.readback import books
from tests.readback.tiny_press import STYLES, Press


@pytest.mark.parametrize("style", STYLES)
def test_every_way_of_drawing_lines_reads_alike(book: Book, style: str) -> None:
    seen = read(Press(book, style).print(), book)
    assert seen.findings == ()
    assert (seen.pages, seen.grids, seen.ok) == (11, 9, True)


def test_small_irregular_and_latin_grids_pass() -> None:
    book = books.mixed()  # two hints each, so hints have parts
    seen = read(Press(book).print(), book)
    assert seen.findings == ()
    assert seen.grids == 5 * 4


def test_letters_past_nine_pass() -> None:
    book = books.large()
    assert read(Press(book, "naive").print(), book).findings == ()


def test_a_book_without_hints_passes() -> None:
    book = books.single()
    assert read(Press(book).print(), book).findings == ()


def test_what_was_read_as_json(good: bytes, book: Book) -> None:
    seen = as_json(read(good, book))
    assert seen == {"verdict": "pass", "pages": 11, "grids": 9, "findings": []}
    told = as_json(read(good, books.single()))
    assert told["verdict"] == "mismatch"
    for finding in told["findings"]:
        assert set(finding) == {"code", "message", "page", "line", "cells", "number", "puzzle"}
        assert finding["code"] in CODES


def test_the_print_of_another_book_is_refused(good: bytes) -> None:
    other = books.book([(books.blocks(3, 3), 30)] * 3)  # the same titles, more clues
    codes = {f.code for f in read(good, other).findings}
    assert {"digit-missing", "ink-missing"} <= codes
