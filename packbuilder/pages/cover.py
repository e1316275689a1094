"""The cover: issue, how many and how hard, title, maker, a picture, the theme, and a riddle."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.book.book import Book
from packbuilder.book.cover import CoverPicture, count_told, cover_picture, grades_told
from packbuilder.book.wording import month_name
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.pages.blocks import Block, gap, paragraph, stack
from packbuilder.pages.cover_designs import designed
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.page_design import (
    LEADING,
    PageDesign,
    left_text,
    right_text,
    spaced_text,
)
from packbuilder.pages.prose import break_lines, checked, fit_lines
from packbuilder.plan.items import Destination, Figure, Item, Strokes, Tag, Text
from packbuilder.typography.typeface import face_for, width

_TITLE_LINES, _LEAST_TITLE, _MAKER_LINES, _THEME_LINES = 3, 20.0, 3, 7
_WANTED, _LEAST = 0.7, 28 * MM
"""The picture's side: the share of the measure for which a title gives way, and the least."""


def cover(draft: Draft, book: Book) -> None:
    """Plan the cover. Raises CannotSet where the texts leave no room for its picture."""
    sheet = draft.sheet
    draft.bare("Cover")
    draft.add([Destination("section-cover", 0, sheet.height)])
    draft.bookmark("Cover", "section-cover")
    masthead = _masthead(draft, book)
    picture = cover_picture(book)
    below = _below(sheet, book, picture)
    foot = max(sheet.bottom - 6 * MM, sheet.cover_foot)
    room = masthead - foot - below.height - 6 * MM
    wide = picture.drawing.width if picture and picture.drawing else 1.0
    high = picture.drawing.height if picture and picture.drawing else 1.0

    def scale(title: Block) -> float:
        return min(sheet.measure / wide, (room - title.height) / high)

    titles = list(_titles(sheet, book))
    enough = (title for title in titles if scale(title) >= _WANTED * sheet.measure)
    title = next(enough, titles[-1]) if picture else titles[0]
    draft.y = masthead
    draft.place(title)
    if picture:
        side = scale(title)
        if side * min(wide, high) < _LEAST:
            raise Source("pack: cover").fault(
                f"title, theme and riddle leave {max(side, 0) / MM:.0f} mm for the picture on "
                f"{sheet.paper} pages, and it needs {_LEAST / MM:.0f}",
                "shorten the theme, or write `cover: plain`",
                (_LEAST - side) / MM,
            )
        spare = room - title.height - side * high
        draft.place(gap(6 * MM + min(0.3 * spare, 40 * MM)))
        place = draft.left, draft.y - side * high
        drawn = designed(sheet, picture, *place, side)
        alt = f"{picture.about} {picture.in_words}".rstrip()
        draft.add([Figure(Tag("Figure", alt=alt), tuple(drawn))])
        draft.y -= side * high
    draft.place(below)


def _masthead(draft: Draft, book: Book) -> float:
    """A rule, the month, how many puzzles and how hard they are; gives the y below them."""
    sheet = draft.sheet
    left, right = draft.left, draft.left + sheet.measure
    month = month_name(book.pack.issue) + (" · Sampler" if book.whole else "")
    issue = checked(month, sheet.faces.strong, Source("pack: issue"))
    top = min(sheet.top + 6 * MM, sheet.height - SAFE * MM - 1.1)
    small = max(9.5, sheet.least.text)
    draft.add([Strokes(2.2, ((left, top, right, top),))])
    y = top - 7.5 - small
    eyebrow = spaced_text(left, y, issue, sheet.faces.strong, small)
    draft.add([eyebrow])
    told, face = f"{count_told(book)}, {grades_told(book)}", sheet.faces.label
    taken = width(eyebrow.text, eyebrow.face, small) + len(eyebrow.text) * eyebrow.spacing
    if taken + small + width(told, face, small) <= sheet.measure:
        draft.add([right_text(right, y, told, face, small)])
    else:
        y -= small * LEADING
        draft.add([left_text(left, y, told, face, small)])
    return y - 0.4 * small


def _titles(sheet: PageDesign, book: Book) -> Iterator[Block]:
    """The title and its maker, as large as the title goes, and then smaller and smaller."""
    face, source = sheet.faces.title, Source("pack: title")
    title = checked(book.pack.title, face, source)
    face = face_for(title, face)
    italic, by = sheet.faces.italic, Source("pack: byline")
    byline = checked(book.pack.byline, italic, by)
    small = max(14.0, sheet.least.text)
    fit_lines(byline, face_for(byline, italic), small, sheet.measure, _MAKER_LINES, by)
    lines_by = paragraph(byline, italic, small, sheet.measure, leading=1.2 * small, quoted=True)
    maker = Block(lines_by.height, lambda x, top: lines_by.draw(x, top - 0.15 * small))
    size = sheet.type.cover * min(1.0, sheet.measure / (160 * MM))
    while size >= _LEAST_TITLE:
        longest = max(width(word, face, size) for word in title.split(" "))
        lines = break_lines(title, face, size, sheet.measure)
        if (longest <= sheet.measure and len(lines) <= _TITLE_LINES) or size == _LEAST_TITLE:
            lines = fit_lines(title, face, size, sheet.measure, _TITLE_LINES, source)
            yield _title(lines, face, size, maker)
        if size == _LEAST_TITLE:
            return
        size = max(_LEAST_TITLE, size - 2)


def _title(lines: tuple[str, ...], face: str, size: float, maker: Block) -> Block:
    """Title and maker under one another."""
    deep = size * (1.15 + (len(lines) - 1) * 1.02)  # the last line has descenders

    def draw(x: float, top: float) -> list[Item]:
        tag = Tag("H1")
        left = x - size * 0.012  # round and stemmed capitals hang in by their side bearing
        items: list[Item] = [
            Text(left, top - size * (0.9 + k * 1.02), line, face, size, tag=tag, quoted=True)
            for k, line in enumerate(lines)
        ]
        return [*items, *maker.draw(x, top - deep)]

    return Block(deep + maker.height, draw)


def _below(sheet: PageDesign, book: Book, picture: CoverPicture | None) -> Block:
    """What stands under the picture: the theme, the line that explains it, and its riddle."""
    wide, least = sheet.measure > 130 * MM, sheet.least.text
    parts: list[Block] = [gap(5 * MM)]
    italic, source = sheet.faces.italic, Source("pack: theme")
    if theme := checked(book.pack.theme, italic, source):
        size = max(15.5 if wide else 12.5, least)
        fit_lines(theme, face_for(theme, italic), size, sheet.measure, _THEME_LINES, source)
        parts.append(paragraph(theme, italic, size, sheet.measure, quoted=True))
        parts.append(gap(1.5 * MM))
    if picture:
        face, size = sheet.faces.label, max(11.0 if wide else 9.5, least)
        said = Source("pack: cover") if picture.design == "own" else HOUSE
        for words in (picture.about, picture.riddle):
            words = checked(words, face, said)
            parts.append(paragraph(words, face, size, sheet.measure, quoted=said is not HOUSE))
    return stack(parts)
