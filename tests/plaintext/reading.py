"""A text edition read back against a book and its outline."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from packbuilder import readback
from packbuilder.book import Book
from packbuilder.plaintext import outline_of
from packbuilder.readback import ReadBack


def read_text(data: Path | bytes, book: Book, **ways: Any) -> ReadBack:
    """`readback.read_text` with the outline of the book."""
    return readback.read_text(data, book, outline_of(book), **ways)
