"""The cover: issue, title, theme, a picture taken from the pack itself, and the byline."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import month_name
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.pages.draft import Draft
from packbuilder.pages.ornaments import picture
from packbuilder.pages.page_design import LEADING, left_text, right_text, spaced_text
from packbuilder.pages.prose import Source, break_lines, checked, fit_lines
from packbuilder.plan.items import Destination, Figure, Item, Strokes, Tag, Text
from packbuilder.typography.typeface import face_for, width

_TITLE_LINES, _THEME_LINES = 3, 4


def cover(draft: Draft, book: Book) -> None:
    """Plan the cover."""
    sheet, pack = draft.sheet, book.pack
    draft.bare("Cover")
    draft.add([Destination("section-cover", 0, sheet.height)])
    draft.bookmark("Cover", "section-cover")
    left, right = draft.left, draft.left + sheet.measure

    month = month_name(pack.issue) + (" · Sampler" if book.whole else "")
    issue = checked(month, sheet.faces.strong, Source("pack: issue"))
    top = min(sheet.top + 6 * MM, sheet.height - SAFE * MM - 1.1)
    small, large = max(9.5, sheet.least.text), max(14.0, sheet.least.text)
    draft.add([Strokes(2.2, ((left, top, right, top),))])
    y = top - 7.5 - small
    eyebrow = spaced_text(left, y, issue, sheet.faces.strong, small)
    draft.add([eyebrow])
    count, face = _count(book), sheet.faces.label
    taken = width(eyebrow.text, eyebrow.face, small) + len(eyebrow.text) * eyebrow.spacing
    if taken + small + width(count, face, small) <= sheet.measure:
        draft.add([right_text(right, y, count, face, small)])
    else:
        y -= small * LEADING
        draft.add([left_text(left, y, count, face, small)])

    y -= 9 * MM
    y = _title(draft, book, y)
    y = _theme(draft, book, y)

    foot = max(sheet.bottom - 4 * MM, sheet.cover_foot + 0.3 * large)
    byline = checked(pack.byline, sheet.faces.italic, Source("pack: byline"))
    fit_lines(byline, face_for(byline, sheet.faces.italic), large, sheet.measure, 1,
              Source("pack: byline"))  # fmt: skip
    draft.add([left_text(left, foot, byline, sheet.faces.italic, large, quoted=True)])

    chosen = emblem(book)
    bottom = foot + 11 * MM
    side = min(sheet.measure, y - 9 * MM - bottom)
    if side > 30 * MM:
        drawn = picture(chosen.puzzle.clues, chosen.puzzle.size, right - side, bottom, side)
        alt = f"The clues of puzzle {chosen.number} as a picture of squares, large for high digits."
        draft.add([Figure(Tag("Figure", alt=alt), tuple(drawn))])


def emblem(book: Book) -> Entry:
    """The entry whose clues make the cover: the first large one that is the same upside down."""
    return max(book.entries, key=looks)


def looks(entry: Entry) -> tuple[bool, int, int]:
    """How good a picture the clues of a puzzle make: more is better."""
    given = [bool(clue) for clue in entry.puzzle.clues]
    return (given == given[::-1], min(entry.puzzle.size, 9), -entry.number)


def _count(book: Book) -> str:
    count = len(book.entries)
    if book.whole:
        return f"{count} of {len(book.whole)} puzzles"
    return f"{count} puzzles" if count != 1 else "1 puzzle"


def _title(draft: Draft, book: Book, y: float) -> float:
    """The title as large as it goes; gives the y below it."""
    sheet, face = draft.sheet, draft.sheet.faces.title
    source = Source("pack: title")
    title = checked(book.pack.title, face, source)
    face = face_for(title, face)
    size = sheet.type.cover * min(1.0, sheet.measure / (160 * MM))
    least = 20.0

    def fits(size: float) -> bool:
        longest = max(width(word, face, size) for word in title.split(" "))
        return (
            longest <= sheet.measure
            and len(break_lines(title, face, size, sheet.measure)) <= _TITLE_LINES
        )

    while size > least and not fits(size):
        size = max(least, size - 2)
    lines = fit_lines(title, face, size, sheet.measure, _TITLE_LINES, source)
    items: list[Item] = []
    tag = Tag("H1")
    for k, line in enumerate(lines):
        optical = size * 0.012  # round and stemmed capitals hang in by their side bearing
        baseline = y - size * (0.72 + k * 1.02)
        x = draft.left - optical
        items.append(Text(x, baseline, line, face, size, tag=tag, quoted=True))
    draft.add(items)
    return y - size * (0.72 + (len(lines) - 1) * 1.02 + 0.25)


def _theme(draft: Draft, book: Book, y: float) -> float:
    sheet, face = draft.sheet, draft.sheet.faces.italic
    source = Source("pack: theme")
    theme = checked(book.pack.theme, face, source)
    if not theme:
        return y
    face = face_for(theme, face)
    size = max(15.5 if sheet.measure > 130 * MM else 12.5, sheet.least.text)
    measure = min(sheet.measure, 120 * MM * sheet.scale)
    lines = fit_lines(theme, face, size, measure, _THEME_LINES, source)
    y -= 3 * MM
    for line in lines:
        y -= size * LEADING
        draft.add([left_text(draft.left, y + size * 0.4, line, face, size, quoted=True)])
    return y
