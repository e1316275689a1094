"""From a book to the outline of its text edition."""

from __future__ import annotations

from packbuilder.book.book import Book
from packbuilder.plaintext import back, front, hint_list, how_to_play, primer, puzzle_list
from packbuilder.plan.outline import SECTION, Outline


def outline_of(book: Book) -> Outline:
    """All that stands in the file.

    Raises InputError for words that would be taken for a heading of the file, with the place in the
    manifest.
    """
    main = [
        *how_to_play.section(book),
        *primer.sections(book),
        *puzzle_list.section(book),
        *how_to_play.rules(book),
        *hint_list.sections(book),
        *back.sections(book),
    ]
    heads = [node.head for node in main if node.mark == SECTION]
    return Outline(front.title(book), (*front.sections(book, heads[:-1]), *main))
