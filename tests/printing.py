"""A book as a PDF: planned and written in one go."""

from __future__ import annotations

from typing import Any, BinaryIO

from packbuilder.book import Book
from packbuilder.pages import plan_book
from packbuilder.plaintext import outline_of, write_text
from packbuilder.press import write_pdf


def print_book(book: Book, out: BinaryIO, **ways: Any) -> None:
    """Plan and write a book; ``ways`` are those of `pages.plan_book`."""
    write_pdf(plan_book(book, **ways), out)


def tell_book(book: Book, out: BinaryIO) -> None:
    """Write a book's text edition."""
    write_text(outline_of(book), out)
