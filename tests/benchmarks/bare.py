"""Bare scripts: lines and digits of a book's grids, and nothing else. What the press is held to.

No titles, words, links, tags, bookmarks or kinds of line; two faces, as the pages have. The grids
are those of the print edition, as many to a page: each puzzle by itself, the positions of hints six
together, the answers twelve.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from packbuilder.book.book import Book
from packbuilder.grid import SYMBOLS, Values
from packbuilder.typography.fonts import font_file

CLUES, FOUND = "SourceSansPro-Semibold", "SourceSansPro-Light"
"""The faces of given digits, and of those that the solver finds."""

Grid = tuple[Values, Values]
"""What is printed in each cell, and the clues among it."""

Draw = Callable[[Any, Grid, float, float, float], None]
"""Draws a grid on a canvas: its left and top edge and the side of a cell, in points."""


def naive(book: Book) -> bytes:
    """One call a line and a digit: what a first script does."""
    return _printed(book, _by_calls)


def tuned(book: Book) -> bytes:
    """All lines of a grid in one call, its digits in one text object: what a second one does."""
    return _printed(book, _by_batches)


def _by_calls(canvas: Any, grid: Grid, left: float, top: float, cell: float) -> None:
    values, clues = grid
    n = int(len(values) ** 0.5)
    for k in range(n + 1):
        canvas.line(left, top - k * cell, left + n * cell, top - k * cell)
        canvas.line(left + k * cell, top, left + k * cell, top - n * cell)
    for i, value in enumerate(values):
        if value:
            canvas.setFont(CLUES if clues[i] else FOUND, cell * 0.6)
            x, y = left + (i % n + 0.5) * cell, top - (i // n + 0.7) * cell
            canvas.drawCentredString(x, y, SYMBOLS[value])


def _by_batches(canvas: Any, grid: Grid, left: float, top: float, cell: float) -> None:
    values, clues = grid
    n = int(len(values) ** 0.5)
    level = [(left, top - k * cell, left + n * cell, top - k * cell) for k in range(n + 1)]
    upright = [(left + k * cell, top, left + k * cell, top - n * cell) for k in range(n + 1)]
    canvas.lines(level + upright)
    code = ["BT"]
    for face in (CLUES, FOUND):
        size = cell * 0.6
        digits = [(i, v) for i, v in enumerate(values) if v and bool(clues[i]) == (face == CLUES)]
        if digits:
            canvas.setFont(face, size)  # the font is known to the page
            subset, shown = _shown(canvas, face)
            code.append(f"{subset} {size:.2f} Tf")
            for i, value in digits:
                x, y = left + (i % n + 0.35) * cell, top - (i // n + 0.7) * cell
                code.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm ({shown[value]}) Tj")
    canvas._code.append(" ".join([*code, "ET"]))


def _shown(canvas: Any, face: str) -> tuple[str, list[str]]:
    """The font's name on the page, and each digit in its encoding."""
    from reportlab.pdfbase.pdfmetrics import getFont

    font = getFont(face)
    parts = font.splitString(SYMBOLS, canvas._doc)
    assert len(parts) == 1
    return font.getSubsetInternalName(parts[0][0], canvas._doc), [chr(c) for c in parts[0][1]]


def _printed(book: Book, draw: Draw) -> bytes:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for face in (CLUES, FOUND):
        registerFont(TTFont(face, str(font_file(face))))
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1)
    for grids, across, cell in _pages(book):
        for k, grid in enumerate(grids):
            draw(canvas, grid, 60 + k % across * 10 * cell, 780 - k // across * 11 * cell, cell)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _pages(book: Book) -> Iterator[tuple[Sequence[Grid], int, float]]:
    """Grids of a page, how many of them stand side by side, and the side of a cell."""
    for entry in book.entries:
        yield [(entry.puzzle.clues, entry.puzzle.clues)], 1, 50.0
    positions = [(h.position, e.puzzle.clues) for e in book.entries for h in e.hints]
    for some in _in_lots(positions, 6):
        yield some, 2, 22.0
    for some in _in_lots([(e.solution, e.puzzle.clues) for e in book.entries], 12):
        yield some, 3, 15.0


def _in_lots(grids: Sequence[Grid], size: int) -> Iterator[Sequence[Grid]]:
    for k in range(0, len(grids), size):
        yield grids[k : k + size]
