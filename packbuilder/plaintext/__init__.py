"""Plain text: the whole book as a text file, for screen readers and braille displays.

What such a file promises its reader is written down in DEVELOPERS.md, "What the page promises the
reader", 20. This room draws nothing: what a sighted solver sees, it tells in words.
"""

from __future__ import annotations

from typing import BinaryIO

from packbuilder.book.book import Book

__all__ = ["write_text"]


def write_text(book: Book, out: BinaryIO) -> None:
    """Write a book as UTF-8 text, to a file that is open for bytes. The same book: the same bytes.

    Raises InputError for words that would be taken for a heading of the file, with the place in the
    manifest.
    """
    from packbuilder.plaintext.contents import outline_of
    from packbuilder.plaintext.writing import encoded  # late: who reads such files has no use of it

    out.write(encoded(outline_of(book)))
