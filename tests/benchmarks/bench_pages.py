"""Pages: what a book costs to print, against a bare script that draws lines and digits only."""

from __future__ import annotations

import io

from packbuilder.book import Book
from packbuilder.grid import SYMBOLS
from packbuilder.pages import print_book
from tests.benchmarks import Row, best, best_in_turn


def rows() -> list[Row]:
    """Time for a book of 16 puzzles, pages a second, size, and the ratio to the bare script."""
    from tests.pages.sample_book import sample_book

    book = sample_book()
    first = best(lambda: _printed(book), rounds=1)
    pdf = _printed(book)
    pages = pdf.count(b"/Type /Page\n") or pdf.count(b"/Type /Page ")
    full, bare = best_in_turn([lambda: _printed(book), lambda: _bare(book)], rounds=7)
    return [
        Row("pages: 16 puzzles, first in a process", f"{first:.2f} s", "< 1 s"),
        Row(f"pages: the same, warm, {pages} pages", f"{full * 1000:.0f} ms", ""),
        Row("pages: pages a second, warm", f"{pages / full:.0f}", "500"),
        Row("pages: bytes of a page", f"{len(pdf) / pages / 1000:.1f} kB", "< 17 kB"),
        Row("pages: time against bare reportlab", f"{full / bare:.1f} times", "< 3 times"),
    ]


def _printed(book: Book) -> bytes:
    out = io.BytesIO()
    print_book(book, out)
    return out.getvalue()


def _bare(book: Book) -> bytes:
    """Every grid of the book, one call a line and a digit: puzzles, positions and answers."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    from packbuilder.fonts import font_file

    face = "SourceSansPro-Semibold"
    pdfmetrics.registerFont(TTFont(face, str(font_file(face))))
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1)
    for entry in book.entries:
        positions = [hint.position for hint in entry.hints]
        for values in (entry.puzzle.clues, *positions, entry.solution):
            n = entry.puzzle.size
            cell = 400 / n
            for k in range(n + 1):
                canvas.line(90, 200 + k * cell, 490, 200 + k * cell)
                canvas.line(90 + k * cell, 200, 90 + k * cell, 600)
            canvas.setFont(face, cell * 0.6)
            for i, value in enumerate(values):
                if value:
                    x, y = 90 + (i % n + 0.5) * cell, 600 - (i // n + 0.7) * cell
                    canvas.drawCentredString(x, y, SYMBOLS[value])
            canvas.showPage()
    canvas.save()
    return out.getvalue()
