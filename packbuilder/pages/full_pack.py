"""The full pack: what a sampler's reader would find in it, and where it is to be had."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import numerals
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.ornaments import graded, graded_width, quiet_zone
from packbuilder.pages.page_design import PageDesign, left_text
from packbuilder.pages.prose import break_lines, checked, fit_size, tidy
from packbuilder.pages.web_links import link_code, link_words
from packbuilder.plan.items import Item, Strokes, Tag, Text
from packbuilder.typography.typeface import face_for, width

_GET = "Scan this, or follow the link, to get the full pack."
_INDENT = 10 * MM
_CODE = 24 * MM


def full_pack(draft: Draft, book: Book) -> None:
    """Plan the pages that name every puzzle of the full pack, and lead there."""
    draft.begin("The full pack", _said(book))
    if url := book.pack.link:
        draft.flow([where_to_get(draft.sheet, url, draft.sheet.measure, _GET), gap(6 * MM)])
    draft.flow([_row(draft, entry) for entry in book.whole])


def _said(book: Book) -> str:
    held, total, title = len(book.entries), len(book.whole), tidy(book.pack.title)
    if held == total:
        all_of = "the one puzzle" if held == 1 else f"all {held} puzzles"
        return f"This sampler holds {all_of} of the full pack, {title}, with the answers."
    which = "puzzle" if held == 1 else "puzzles"
    *most, last = numerals(entry.number for entry in book.entries).split(", ")
    numbers = f"{', '.join(most)} and {last}" if most else last
    hinted = any(entry.hints for entry in book.whole)
    return (
        f"This sampler holds {which} {numbers} of {total}, with the answers. The full pack, "
        f"{title}, has them all" + (", with hints in three strengths." if hinted else ".")
    )


def where_to_get(sheet: PageDesign, url: str, measure: float, words: str) -> Block:
    """The address of the full pack, as a code for a telephone and in words."""
    around = quiet_zone(url, _CODE)
    offset = _CODE + around + 2 * MM
    said = stack([
        paragraph(checked(words, sheet.faces.prose, HOUSE), sheet.faces.prose, sheet.type.prose,
                  measure - offset - around),
        gap(3), link_words(sheet, url, measure - offset - around, Source("pack: link")),
    ])  # fmt: skip
    return stack([gap(around), beside(link_code(url, _CODE), said, offset), gap(around)])


def _row(draft: Draft, entry: Entry) -> Block:
    """Number, title, setter and grade, on one line if they fit there, else on two."""
    sheet, puzzle, size = draft.sheet, entry.puzzle, draft.sheet.type.prose + 1
    measure, label, tag = sheet.measure - _INDENT, sheet.type.label, Tag("P")
    source = Source.of(puzzle, "title"), Source.of(puzzle, "setter")
    title = checked(puzzle.title, sheet.faces.title, source[0])
    face = face_for(title, sheet.faces.title)
    setter = checked(puzzle.setter, sheet.faces.italic, source[1])
    italic = face_for(setter, sheet.faces.italic)
    grade_wide = graded_width(sheet, entry.grade, label)
    room, small = measure - grade_wide - 6 * MM, sheet.type.small
    start = width(title, face, size) + 4 * MM
    alone = start + width(setter, italic, small) > room
    titles = break_lines(title, face, size, measure if alone else room)
    if alone:
        small, start = fit_size(setter, italic, (small, label), room, source[1]), 0.0
    step = size * 1.22
    height = 2.5 + step * len(titles) + (small * 1.3 if alone else 0.0) + 3

    def draw(x: float, top: float) -> list[Item]:
        y = top - 2.5 - size * 0.85
        right = x + sheet.measure
        items: list[Item] = [left_text(x, y, str(entry.number), sheet.faces.strong, size, tag=tag)]
        for k, line in enumerate(titles):
            items.append(Text(x + _INDENT, y - k * step, line, face, size, tag=tag, quoted=True))
        y -= step * len(titles) - size * 0.05 if alone else 0.0
        items.append(left_text(x + _INDENT + start, y, setter, italic, small, tag=tag, quoted=True))
        items += graded(sheet, right - grade_wide, y, entry.grade, label)
        rule = (x, top - height, right, top - height)
        return [*items, Strokes(0.5, (rule,), "rule")]

    return Block(height, draw)
