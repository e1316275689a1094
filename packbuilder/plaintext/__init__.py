"""Plain text: the whole book as a text file, for screen readers and braille displays.

What such a file promises its reader is written down in DEVELOPERS.md, "What the text edition
promises". This room draws nothing: what a sighted solver sees, it tells in words.
"""

from __future__ import annotations

from typing import BinaryIO

from packbuilder.book.book import Book
from packbuilder.plaintext import back, front, hint_list, how_to_play, primer, puzzle_list
from packbuilder.plaintext.lines import encoded

__all__ = ["write_text"]


def write_text(book: Book, out: BinaryIO) -> None:
    """Write a book as UTF-8 text, to a file that is open for bytes. The same book: the same bytes.

    Raises InputError for words that would be taken for a heading of the file, with the place in the
    manifest.
    """
    sections = [
        *front.sections(book),
        how_to_play.section(book),
        *primer.sections(book),
        puzzle_list.section(book),
        *hint_list.sections(book),
        back.answers(book),
        back.credits(book),
        back.end(),
    ]
    out.write(encoded([front.title(book), *(section.lines() for section in sections)]))
