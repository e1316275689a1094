"""Errata: a slip for readers of the old print, which says what is different and where."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import month_name, numerals
from packbuilder.editions import EDITIONS
from packbuilder.issuing.changes import Changes, FileChange, PuzzleChange
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import Source
from packbuilder.pages.leaflet import leaflet, puzzle_grid
from packbuilder.pages.pairs import pair
from packbuilder.pages.prose import checked
from packbuilder.plan.items import Plan

_CELL = 7.5 * MM


def errata(book: Book, changes: Changes, reason: str) -> Plan:
    """The slip for a book as it is now."""
    pack = book.pack
    entries = {entry.puzzle.id: entry for entry in book.entries}

    def draw(draft: Draft) -> None:
        draft.begin("Errata", checked(f"{pack.title}, {month_name(pack.issue)}",
                                      draft.sheet.faces.italic, Source("pack: title")))  # fmt: skip
        blocks = [*_part(draft, "What was wrong", [reason])]
        if changes.words:
            blocks += _part(draft, "The pack", [" ".join(changes.words)])
        for one in changes.puzzles:
            blocks += _puzzle(draft, one, entries.get(one.id))
        for file in changes.files:
            blocks += _part(draft, f"The {file.edition} edition", _told(file))
        draft.flow(blocks)

    return leaflet(pack, f"Errata: {pack.title}", draw)


def _part(draft: Draft, heading: str, told: list[str], *more: Block) -> Iterator[Block]:
    sheet = draft.sheet
    label = paragraph(heading, sheet.faces.strong, sheet.type.prose, sheet.side, role="H2",
                      quoted=True)  # fmt: skip
    source, face, size = Source("errata"), sheet.faces.prose, sheet.type.prose
    lines = [paragraph(checked(words, face, source), face, size, sheet.main, quoted=True)
             for words in told]  # fmt: skip
    yield pair(sheet, label, stack([*lines, *more]), whole=True)
    yield gap(6 * MM)


def _puzzle(draft: Draft, change: PuzzleChange, entry: Entry | None) -> Iterator[Block]:
    title = checked(change.title, draft.sheet.faces.strong, Source("errata"))
    drawn = []
    if entry and change.redrawn:
        drawn = [gap(3 * MM), puzzle_grid(draft.sheet, entry, draft.sheet.main, _CELL)]
    yield from _part(draft, f"{change.number} {title}", list(change.words), *drawn)


def _told(file: FileChange) -> list[str]:
    if EDITIONS[file.edition].suffix != ".pdf":
        return ["Take the new file in the place of the old one."]
    what = "Page" if len(file.pages) == 1 else "Pages"
    pages = f"{what} {numerals(file.pages)} of the new file differ" + "s" * (len(file.pages) == 1)
    return [f"{pages}."] if file.pages else ["No page looks different."]
