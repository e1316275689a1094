"""Pages: what a month's book costs to print, against bare scripts of lines and digits only."""

from __future__ import annotations

import io
import subprocess
import sys
from functools import partial

import pypdf

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS, PRINT
from tests.benchmarks import ROOT, Row, best_in_turn
from tests.benchmarks.bare import naive, tuned
from tests.benchmarks.month import month
from tests.printing import print_book

FIRST = """
import io, time
from packbuilder.book.assembling import book_of
from packbuilder.editions import PRINT
from tests.benchmarks.month import month
book = book_of(month(), PRINT)
start = time.perf_counter()
from tests.printing import print_book
print_book(book, io.BytesIO())
print(time.perf_counter() - start)
"""


def rows() -> list[Row]:
    """The print edition of a month's pack against both scripts, then every edition of it."""
    book = book_of(month(), PRINT)
    pdf, bare = _printed(book), naive(book)
    pages, drawn = _count(pdf), _count(bare)
    ours, first, second = best_in_turn(
        [partial(_printed, book), partial(naive, book), partial(tuned, book)], rounds=9
    )
    what = f"pages: print edition, {len(book.entries)} puzzles, {pages} pages"
    alike = f"lines and digits of the same grids, {drawn} pages"
    return [
        Row(f"{what}: first in a process", f"{_first():.2f} s", "< 1 s"),
        Row(f"{what}: warm", f"{ours * 1000:.0f} ms", ""),
        Row("pages: pages a second, warm", f"{pages / ours:.0f}", "500"),
        Row("pages: bytes of the file", f"{len(pdf) / 1000:.0f} kB", "< 1 MB"),
        Row(f"pages: time against bare reportlab ({alike})", f"{ours / first:.2f} times", "< 3"),
        Row("pages: against a script that batches both", f"{ours / second:.1f} times", ""),
        *_editions(),
    ]


def _editions() -> list[Row]:
    found = []
    for one in EDITIONS.values():
        if one.suffix != ".pdf" or one == PRINT:
            continue
        book = book_of(month(), one)
        pdf = _printed(book)
        (time,) = best_in_turn([partial(_printed, book)], rounds=5)
        pages = _count(pdf)
        told = f"{time * 1000:.0f} ms, {pages / time:.0f} pages a second, {len(pdf) / 1000:.0f} kB"
        found.append(Row(f"pages: {one.name} edition, {pages} pages", told, ""))
    return found


def _printed(book: Book) -> bytes:
    out = io.BytesIO()
    print_book(book, out)
    return out.getvalue()


def _count(pdf: bytes) -> int:
    return len(pypdf.PdfReader(io.BytesIO(pdf)).pages)


def _first() -> float:
    """Seconds of the first print in a process of its own, what it loads included."""
    done = subprocess.run(
        [sys.executable, "-c", FIRST], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return float(done.stdout)
