"""What reading a month's pack back costs: both proofs, in every edition, and how it grows.

Seconds of this process alone, the best of a few runs.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from time import process_time
from typing import Any

from packbuilder.book import Book
from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS, PRINT
from packbuilder.pages import plan_book
from packbuilder.press import write_pdf
from packbuilder.readback import read
from tests.benchmarks.month import month

Row = tuple[str, str, str]

RUNS = 3


def rows() -> list[Row]:
    """(what, figure, target): a month's pack in every edition; then more and more puzzles."""
    found = [_row(book_of(month(), one), one.name) for one in EDITIONS.values()
             if one.suffix == ".pdf"]  # fmt: skip
    return found + [_row(_times(month(), k), f"print, {k} months in one") for k in (2, 4, 8)]


def _row(book: Book, name: str) -> Row:
    plan, out = plan_book(book), io.BytesIO()
    write_pdf(plan, out)
    data = out.getvalue()
    seen = read(data, book, plan)
    assert seen.ok, seen.findings[:3]
    what = f"read back: {name}, {seen.pages} pages, {seen.grids} grids, both proofs"
    target = "1.9 s" if name == PRINT.name else ""
    return what, _seconds(lambda: read(data, book, plan)), target


def _times(book: Book, k: int) -> Book:
    """A book with all its puzzles so many times over."""
    entries = [e for _ in range(k) for e in book.entries]
    return replace(book, entries=tuple(replace(e, number=n) for n, e in enumerate(entries, 1)))


def _seconds(part: Callable[[], Any]) -> str:
    best = float("inf")
    for _ in range(RUNS):
        start = process_time()
        part()
        best = min(best, process_time() - start)
    return f"{best:.2f} s"
