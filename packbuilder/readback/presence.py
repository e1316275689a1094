"""Whether each puzzle, hint and answer of the book is printed exactly once, and no other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.book import Book
from packbuilder.readback.report import Finding
from packbuilder.reader.pages import SeenItem
from packbuilder.reader.text import ANSWERS, PRIMER, PUZZLES, TIERS


def check_presence(items: Sequence[SeenItem], book: Book) -> Iterator[Finding]:
    """``items`` are those of all pages that have a match in the book, without the primer's."""
    found: dict[tuple[str, int, int], list[SeenItem]] = {}
    for item in items:
        if item.section != PRIMER and item.number is not None:
            found.setdefault((item.section, item.number, item.part or 1), []).append(item)
    for entry in book.entries:
        wanted = [(PUZZLES, 1), (ANSWERS, 1)]
        wanted += [(tier, k + 1) for tier in TIERS for k in range(len(entry.hints))]
        for section, part in wanted:
            ones = found.get((section, entry.number, part), [])
            name = f"{section}, {'hint ' if section in TIERS else ''}{entry.number}"
            name += f".{part}" if len(entry.hints) > 1 and section in TIERS else ""
            if not ones:
                told = f"{name} is not printed"
                yield Finding("grid-missing", told, None, (), entry.number, entry.puzzle.id)
            for again in ones[1:]:
                told = f"{name} is printed on page {ones[0].page} too"
                yield Finding("grid-doubled", told, again.page, (), entry.number, entry.puzzle.id)
