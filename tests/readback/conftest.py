"""Good prints, made once: what every fault is tried on."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from packbuilder.book.book import Book
from packbuilder.readback import Finding, read
from tests.readback import books
from tests.readback.tiny_press import Press


@pytest.fixture(scope="session")
def book() -> Book:
    return books.plain()


@pytest.fixture(scope="session")
def good(book: Book) -> bytes:
    """A print without fault."""
    data = Press(book).print()
    assert read(data, book).findings == ()
    return data


Refused = Callable[..., Finding]


@pytest.fixture
def refused(book: Book) -> Refused:
    """Read a print that must be refused; give the finding with a code (and what else is asked)."""

    def check(data: bytes, code: str, page: int | None = None, cell: str | None = None,
              number: int | None = None) -> Finding:  # fmt: skip
        seen = read(data, book)
        assert not seen.ok
        for f in seen.findings:
            if (
                f.code == code
                and (page is None or f.page == page)
                and (cell is None or cell in f.cells)
                and (number is None or f.number == number)
            ):
                return f
        told = "\n".join(f.words() for f in seen.findings)
        raise AssertionError(f"no {code} at page {page}, {cell}; told were:\n{told}")

    return check
