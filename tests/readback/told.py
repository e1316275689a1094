"""Asking for a finding: what each act of sabotage must be told by."""

from __future__ import annotations

from packbuilder.book.book import Book
from packbuilder.readback import CODES, Finding, read

_last: list[tuple[bytes, Book, tuple[Finding, ...]]] = []


def _read(data: bytes, book: Book) -> tuple[Finding, ...]:
    """What is found, read once for questions that follow each other about one print."""
    if not _last or _last[0][0] != data or _last[0][1] is not book:
        _last[:] = [(data, book, read(data, book).findings)]
    return _last[0][2]


def told(
    data: bytes,
    book: Book,
    code: str,
    words: str = "",
    *,
    page: int | None = None,
    number: int | None = None,
    cell: str | None = None,
) -> Finding:
    """The first finding of a code in a print that must be refused, with these words in it."""
    assert code in CODES
    findings = _read(data, book)
    for f in findings:
        if (
            f.code == code
            and words in f.message
            and page in (None, f.page)
            and number in (None, f.number)
            and (cell is None or cell in f.cells)
        ):
            return f
    raise AssertionError(
        f"no {code} {words!r} at page {page}, {number}, {cell}; told were:\n"
        + "\n".join(f.words() for f in findings)
    )
