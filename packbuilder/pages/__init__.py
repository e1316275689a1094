"""Pages: a book goes in, a plan comes out: all that stands on every page, as plain values.

A file a section (cover, contents, how_to_play, puzzle_pages, hint_pages, answer_pages, colophon,
led by `plan`) decides what stands where.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from packbuilder.book.book import Book
    from packbuilder.plan.items import Plan


def plan_book(
    book: Book, *, layouts_folder: Path | None = None, floors: Mapping[str, int] | None = None
) -> Plan:
    """Plan the book in the paper and layout of its pack and the form of its edition.

    ``layouts_folder`` is where layouts are looked for first: by default the pack's own folder of
    layouts, if it has one; the shipped layouts are always found. ``floors`` are the least numbers
    of pages of sections, by their names: a shorter section is filled up with bare pages, so that
    what follows stays where it was. Raises InputError, naming the puzzle and the field, for a text
    that does not fit its place or that the type has no letters for, and for a layout that is faulty
    or cannot hold the pack's grids.
    """
    from packbuilder.layouts.loading import load
    from packbuilder.pages.plan import plan

    return plan(book, load(book.pack.layout, layouts_folder or book.pack.layouts_folder), floors)
