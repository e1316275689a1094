"""The opener of the puzzles: how many there are, how hard they are, where to begin."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.book.cover import looks
from packbuilder.book.how_to_play import puzzles_told
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import Source
from packbuilder.pages.ornaments import graded, picture
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign
from packbuilder.pages.pairs import pair
from packbuilder.pages.prose import NO_BREAK, checked
from packbuilder.plan.items import Figure, Item, Tag
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.typography.typeface import face_for, width

_WORDS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten",
          "Eleven", "Twelve")  # fmt: skip
_NAMED = 24  # titles in a row; of more puzzles the numbers are enough
_LEAST_PICTURE = 45 * MM
_FOOT = 5 * MM  # of white between the picture and the footer


def opener(draft: Draft, book: Book) -> None:
    """Plan the first page of the puzzles: a line, the puzzles by grade, a picture of clues."""
    draft.begin("Puzzles", _lead(book))
    blocks: list[Block] = []
    for grade, entries in by_grade(book):
        blocks += [_row(draft.sheet, grade, entries), gap(5 * MM)]
    draft.flow(blocks)
    _picture(draft, book)


def _lead(book: Book) -> str:
    count = len(book.entries)
    told = _WORDS[count] if count < len(_WORDS) else str(count)
    grades = [grade for grade, _ in by_grade(book) if grade != BEYOND]
    kind = "puzzle" if count == 1 else "puzzles"
    if not grades:
        return f"{told} {kind}."
    if len(grades) == 1:
        return f"{told} {kind} of grade {grades[0]}."
    easy, hard = grades[0], grades[-1]
    return (
        f"{told} {kind}, from grade {easy} to grade {hard}. Begin with the lowest if this is new."
    )


def by_grade(book: Book) -> list[tuple[Grade, list[Entry]]]:
    """The grades of a book, from the gentlest, each with its puzzles."""
    found: dict[Grade, list[Entry]] = {}
    for entry in book.entries:
        found.setdefault(entry.grade, []).append(entry)
    return sorted(found.items(), key=lambda pair: float("inf") if pair[0] == BEYOND else pair[0])


def _row(sheet: PageDesign, grade: Grade, entries: list[Entry]) -> Block:
    """The grade, and its puzzles by number and title; a line ends in a title where one is long."""
    size = sheet.type.label
    high = sheet.type.prose * LEADING

    def sign(x: float, top: float) -> list[Item]:
        return graded(sheet, x, top - ASCENT * sheet.type.prose, grade, size, sheet.side)

    names = []
    for entry in entries:
        title = checked(entry.puzzle.title, sheet.faces.prose, Source.of(entry.puzzle, "title"))
        name = f"{entry.number} {title}"
        whole = width(f"{name};", face_for(name, sheet.faces.prose), sheet.type.prose) <= sheet.main
        names.append(name.replace(" ", NO_BREAK, -1 if whole else 1))
    numbers = puzzles_told([e.number for e in entries], "page")
    told = "; ".join(names) if len(names) <= _NAMED else numbers
    words = paragraph(told, sheet.faces.prose, sheet.type.prose, sheet.main, quoted=True)
    return pair(sheet, Block(high, sign), words)


def _picture(draft: Draft, book: Book) -> None:
    """The second-best picture of clues, large and pale, where the page has room for it."""
    if len(book.entries) < 2:
        return
    sheet = draft.sheet
    chosen = sorted(book.entries, key=looks)[-2].puzzle
    foot = max(sheet.bottom, sheet.foot + ASCENT * (sheet.type.furniture + 1) + _FOOT)
    side = min(sheet.measure * 0.66, draft.y - foot - 8 * MM)
    if side < _LEAST_PICTURE:
        return
    right = draft.left + sheet.measure
    drawn = picture(chosen.clues, chosen.size, right - side, foot, side, "faint")
    alt = "The clues of one of the puzzles as a picture of squares, large for high digits."
    draft.add([Figure(Tag("Figure", alt=alt), tuple(drawn))])
