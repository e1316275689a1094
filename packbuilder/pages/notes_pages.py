"""Notes: what is said of puzzles beside whose grids it had no room."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, stack
from packbuilder.pages.draft import NOTES, Draft
from packbuilder.pages.faults import Source
from packbuilder.pages.leads import lead
from packbuilder.pages.notes import said_of
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign
from packbuilder.pages.prose import checked, cut
from packbuilder.plan.items import Destination, Item, Tag, Text
from packbuilder.typography.typeface import face_for, width

_LEAD = "What had no room beside its puzzle."


def notes(draft: Draft, book: Book) -> None:
    """Plan the pages of notes; nothing where all had room."""
    entries = [entry for entry in book.entries if entry.number in draft.noted]
    if not entries:
        return
    draft.begin(NOTES, _LEAD)
    draft.flow([part for entry in entries for part in (_note(draft, entry), gap(6 * MM))])


def _note(draft: Draft, entry: Entry) -> Block:
    """Number and title, all that is said of it, and the way back."""
    sheet, number = draft.sheet, entry.number
    size, measure = sheet.type.prose, min(sheet.measure, 118 * MM * sheet.scale)
    head = _heading(sheet, entry, measure)
    mark = Block(0, lambda x, top: [Destination(f"note-{number}", x, top + 8)])
    said = said_of(draft, entry, measure, (size, 18 * MM))
    return stack([mark, head, said, gap(2), lead(sheet, "Puzzle", f"puzzle-{number}")])


def _heading(sheet: PageDesign, entry: Entry, measure: float) -> Block:
    """Number and title on one line, where need be cut."""
    size, tag, number = sheet.type.prose + 0.5, Tag("H2"), str(entry.number)
    title = checked(entry.puzzle.title, sheet.faces.title, Source.of(entry.puzzle, "title"))
    strong, face = sheet.faces.strong, face_for(title, sheet.faces.title)
    start = width(number, strong, size) + 0.6 * size
    title = cut(title, face, size, measure - start)

    def draw(x: float, top: float) -> list[Item]:
        y = top - ASCENT * size
        return [
            Text(x, y, number, strong, size, tag=tag),
            Text(x + start, y, title, face, size, tag=tag, quoted=True),
        ]

    return Block(size * LEADING, draw)
