"""Asking for a finding: what each act of sabotage must be told by."""

from __future__ import annotations

from packbuilder.book import Book
from packbuilder.readback import CODES, Finding, read


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
    findings = read(data, book).findings
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
