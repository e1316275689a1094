"""Pages: a book goes in, a PDF comes out.

Planning and drawing are apart. The planning files (cover, contents, reading, puzzle_pages,
hint_pages, answer_pages, colophon, led by plan) decide what stands where and give plain values
(items); draw turns those into PDF operators and decides nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

if TYPE_CHECKING:
    from packbuilder.book.book import Book


def print_book(
    book: Book,
    out: BinaryIO,
    *,
    layouts_folder: Path | None = None,
    floors: Mapping[str, int] | None = None,
) -> None:
    """Write the book as a PDF, in the paper and layout of its pack and the form of its edition.

    The same book gives the same bytes, in any process, time zone or hash seed. ``layouts_folder``
    is where layouts are looked for first: by default the pack's own folder of layouts, if it has
    one; the shipped layouts are always found. ``floors`` are the least numbers of pages of
    sections, by their names: a shorter section is filled up with bare pages, so that what follows
    stays where it was. Raises InputError, naming the puzzle and the field, for a text that does not
    fit its place or that the type has no letters for, and for a layout that is faulty or cannot
    hold the pack's grids.
    """
    from packbuilder.pages.layout import load
    from packbuilder.pages.plan import plan
    from packbuilder.press.writing import write_pdf

    layout = load(book.pack.layout, layouts_folder or book.pack.layouts_folder)
    write_pdf(plan(book, layout, floors), out)
