"""The back cover of a booklet: what is in it, where it is to be had, and how it is folded."""

from __future__ import annotations

from packbuilder.book.book import Book
from packbuilder.book.cover import FOLDING, count_told, grades_told
from packbuilder.book.how_to_play import puzzles_told
from packbuilder.book.wording import month_name
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.full_pack import where_to_get
from packbuilder.pages.opener import by_grade
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign
from packbuilder.pages.prose import checked
from packbuilder.plan.items import Destination, Strokes
from packbuilder.puzzle import BEYOND, Grade

_HERE = "Where this pack is to be had:"


def back_cover(draft: Draft, book: Book) -> None:
    """Plan the last page of a booklet, after as many bare ones as its sheets need."""
    while (draft.folio + 1) % 4:
        draft.turn_bare()
    draft.bare("Back cover")
    sheet, pack = draft.sheet, book.pack
    draft.add([Destination("section-back-cover", 0, sheet.height)])
    draft.bookmark("Back cover", "section-back-cover")
    top = min(sheet.top + 6 * MM, sheet.height - SAFE * MM - 1.1)
    draft.add([Strokes(2.2, ((draft.left, top, draft.left + sheet.measure, top),))])
    folding = paragraph(checked(FOLDING, sheet.faces.label, HOUSE), sheet.faces.label,
                        max(9.0, sheet.least.text), sheet.measure, "quiet")  # fmt: skip
    foot = sheet.bottom  # the stamp stands below
    draft.y = top - 5 * MM
    room = draft.y - foot - folding.height - 5 * MM
    size, prose = sheet.type.section * 0.8, sheet.type.prose
    title = checked(pack.title, sheet.faces.title, Source("pack: title"))
    month = checked(month_name(pack.issue), sheet.faces.strong, Source("pack: issue"))
    byline = checked(pack.byline, sheet.faces.italic, Source("pack: byline"))
    told = f"{count_told(book)}, {grades_told(book)}"
    parts = [
        paragraph(title, sheet.faces.title, size, sheet.measure, leading=size * 1.1, role="H1",
                  quoted=True),
        gap(2 * MM),
        paragraph(byline, sheet.faces.italic, prose + 1, sheet.measure, quoted=True),
        gap(5 * MM),
        paragraph(f"{month}: {told}", sheet.faces.label, prose, sheet.measure, quoted=True),
        gap(2 * MM),
    ]  # fmt: skip
    link = [gap(6 * MM), where_to_get(sheet, pack.link, sheet.measure, _HERE)] if pack.link else []
    for more in ([_grades(sheet, book), *link], link, [_grades(sheet, book)], []):
        whole = stack([*parts, *more])
        if whole.height <= room or not more:
            draft.place(whole)
            break
    draft.y = foot + folding.height
    draft.place(folding)


def _grades(sheet: PageDesign, book: Book) -> Block:
    """A line for each grade: its lozenges, and the numbers of its puzzles."""
    size, rows = sheet.type.label, list[Block]()
    offset = graded_width(sheet, BEYOND, size) + 5 * MM

    def sign(grade: Grade) -> Block:
        return Block(
            size * LEADING, lambda x, top: graded(sheet, x, top - ASCENT * size, grade, size)
        )

    for grade, entries in by_grade(book):
        told = puzzles_told([entry.number for entry in entries], "page")
        words = paragraph(told, sheet.faces.label, size, sheet.measure - offset)
        rows += [beside(sign(grade), words, offset), gap(size * 0.4)]
    return stack(rows)
