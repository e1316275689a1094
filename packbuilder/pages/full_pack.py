"""The full pack: what a sampler's reader would find in it, and what of that the sampler holds."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block
from packbuilder.pages.draft import Draft
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import left_text, right_text
from packbuilder.pages.prose import Source, break_lines, checked, fit_size, tidy
from packbuilder.plan.items import Item, Strokes, Tag, Text
from packbuilder.typography.typeface import face_for, width

_INDENT = 10 * MM
_HERE = "in this sampler"


def full_pack(draft: Draft, book: Book) -> None:
    """Plan the pages that name every puzzle of the full pack; nothing but in a sampler."""
    if not book.whole:
        return
    held, total = len(book.entries), len(book.whole)
    title = tidy(book.pack.title)
    kinds = "puzzle" if held == 1 else "puzzles"
    said = (
        f"This sampler holds {held} {kinds} of {total}, with hints and answers. The full pack, "
        f"{title}, has them all."
    )
    if held == total:
        all_of = "the one puzzle" if held == 1 else f"all {held} puzzles"
        said = f"This sampler holds {all_of} of the full pack, {title}, with hints and answers."
    draft.begin("The full pack", said)
    numbers = {entry.number for entry in book.entries}
    draft.flow([_row(draft, entry, here=entry.number in numbers) for entry in book.whole])


def _row(draft: Draft, entry: Entry, *, here: bool) -> Block:
    """Number, title, setter, grade; and whether the sampler has it."""
    sheet, puzzle, size = draft.sheet, entry.puzzle, draft.sheet.type.prose + 1
    measure, label, tag = sheet.measure - _INDENT, sheet.type.label, Tag("P")
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    face = face_for(title, sheet.faces.title)
    aside = width(_HERE, sheet.faces.label, label) + 6 * MM if here else 0.0
    titles = break_lines(title, face, size, measure - aside)
    setter = checked(puzzle.setter, sheet.faces.italic, Source.of(puzzle, "setter"))
    grade_wide = graded_width(sheet, entry.grade, label)
    room = measure - grade_wide - 6 * MM
    small = fit_size(setter, face_for(setter, sheet.faces.italic), (sheet.type.small, label), room,
                     Source.of(puzzle, "setter"))  # fmt: skip
    step, italic = size * 1.22, sheet.faces.italic
    height = 3 + step * len(titles) + sheet.type.small * 1.3 + 3.5

    def draw(x: float, top: float) -> list[Item]:
        y = top - 3 - size * 0.85
        right = x + sheet.measure
        items: list[Item] = [left_text(x, y, str(entry.number), sheet.faces.strong, size, tag=tag)]
        for k, line in enumerate(titles):
            items.append(Text(x + _INDENT, y - k * step, line, face, size, tag=tag, quoted=True))
        if here:
            items.append(right_text(right, y, _HERE, sheet.faces.label, label, "quiet", tag))
        y -= step * len(titles) - size * 0.05
        items.append(left_text(x + _INDENT, y, setter, italic, small, tag=tag, quoted=True))
        items += graded(sheet, right - grade_wide, y, entry.grade, label)
        rule = (x, top - height, right, top - height)
        return [*items, Strokes(0.5, (rule,), "rule")]

    return Block(height, draw)
