"""Contents: every puzzle with its setter, its grade and its pages; then the other sections."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from packbuilder.book.book import Book, Entry
from packbuilder.layouts.checks import CLEAR
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, stack, text_line
from packbuilder.pages.draft import NOTES, Draft
from packbuilder.pages.faults import Source
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import UNKNOWN, PageDesign, left_text, right_text
from packbuilder.pages.prose import break_lines, checked, fit_size
from packbuilder.plan.items import Item, Reference, Strokes, Tag, Text
from packbuilder.typography.typeface import face_for, width

OTHERS = ("Foreword", "How to play", "Primer", NOTES, "The rules", "First hints", "Second hints",
          "Ideas in the hints", "Third hints", "Answers", "The full pack", "Credits")  # fmt: skip
_TOGETHER = 3
_INDENT = 10 * MM
_PAGES = ("Page", "Hints", "Answer")


def contents(draft: Draft, book: Book) -> None:
    """Plan the contents, over as many pages as they need."""
    draft.begin("Contents", "")
    head, others = _head(draft), stack([gap(4 * MM), _others(draft, book)])
    style = _stacked if draft.sheet.stacked else _tall
    rows = [_row(draft, entry, style) for entry in book.entries]
    if style is _tall and sum(block.height for block in (head, *rows, others)) > draft.room:
        rows = [_row(draft, entry, _short) for entry in book.entries]
    # The last rows stay with the list of sections, which would look lost on a page of its own.
    first = max(0, len(rows) - _TOGETHER)
    most = draft.sheet.depth - head.height - others.height
    while sum(block.height for block in rows[first:]) > most and first < len(rows):
        first += 1
    end = stack([*rows[first:], others])
    draft.place(head)
    for block in (*rows[:first], end):
        if block.height > draft.room:
            draft.turn()
            draft.place(head)
        draft.place(block)


def _pitch(draft: Draft) -> float:
    """Distance between the right edges of the page columns."""
    sheet = draft.sheet
    usual = 15 * MM if sheet.measure > 140 * MM else 12.5 * MM
    word = width(_PAGES[-1], sheet.faces.label, sheet.type.label) * 1.25
    return max(usual, word, width(UNKNOWN, sheet.faces.label, _row_size(sheet)) * 1.5)


def _before_figures(draft: Draft) -> float:
    """What a title leaves free at the left of the first column's right edge, for its number."""
    size = _row_size(draft.sheet)
    number = width(UNKNOWN, draft.sheet.faces.label, size)
    return max(_pitch(draft) * 0.8, number + CLEAR * size)


def _row_size(sheet: PageDesign) -> float:
    return sheet.type.prose + 1


def _figures(draft: Draft) -> list[float]:
    """Right edges of the three page columns, from the left of the text."""
    pitch = _pitch(draft)
    return [draft.sheet.measure - pitch * k for k in (2, 1, 0)]


def _head(draft: Draft) -> Block:
    sheet = draft.sheet
    face, size = sheet.faces.label, sheet.type.label
    rights = _figures(draft)

    def draw(x: float, top: float) -> list[Item]:
        y = top - size
        items: list[Item] = [
            right_text(x + right, y, label, face, size, "quiet")
            for label, right in zip(_PAGES, rights, strict=True)
        ]
        return [*items, _hairline(draft, x, top - size * 1.7)]

    return Block(size * 1.7, draw)


def _hairline(draft: Draft, x: float, y: float) -> Strokes:
    return Strokes(0.5, ((x, y, x + draft.sheet.measure, y),), "rule")


@dataclass(frozen=True)
class _Row:
    """What a row says, fitted: its title may take two lines."""

    entry: Entry
    title: str
    title_face: str
    setter: str
    setter_face: str
    size: float
    measure: float
    grade_width: float


def _row(draft: Draft, entry: Entry, style: Callable[[Draft, _Row], Block]) -> Block:
    sheet, puzzle = draft.sheet, entry.puzzle
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    setter = checked(puzzle.setter, sheet.faces.italic, Source.of(puzzle, "setter"))
    row = _Row(
        entry,
        title,
        face_for(title, sheet.faces.title),
        setter,
        face_for(setter, sheet.faces.italic),
        size=_row_size(sheet),
        measure=_figures(draft)[0] - _before_figures(draft) - _INDENT,
        grade_width=graded_width(sheet, entry.grade, sheet.type.label),
    )
    return style(draft, row)


def _tall(draft: Draft, row: _Row) -> Block:
    """Title over setter and grade; as ``_stacked`` where a long name leaves no room for both."""
    sheet, puzzle, size = draft.sheet, row.entry.puzzle, row.size
    titles = break_lines(row.title, row.title_face, size, row.measure)
    sizes, room = (sheet.type.small, sheet.type.label), row.measure - row.grade_width - 6 * MM
    if width(row.setter, row.setter_face, sheet.type.label) > room:
        return _stacked(draft, row)
    small = fit_size(row.setter, row.setter_face, sizes, room, Source.of(puzzle, "setter"))
    step = size * 1.22
    deep = max(sheet.type.small * 1.3 + 3.5, 0.8 * size + 0.3 * small + 2)
    height = 3 + step * len(titles) + deep

    def draw(x: float, top: float) -> list[Item]:
        y = top - 3 - size * 0.85
        items = _numbers(draft, row, x, y)
        for k, line in enumerate(titles):
            items.append(Text(x + _INDENT, y - k * step, line, row.title_face, size, quoted=True))
        y -= step * len(titles) - size * 0.05
        items.append(left_text(x + _INDENT, y, row.setter, row.setter_face, small, quoted=True))
        items += _grade(draft, row, x, y)
        return [*_one_paragraph(items), _hairline(draft, x, top - height)]

    return Block(height, draw)


def _short(draft: Draft, row: _Row) -> Block:
    """All on one line, for many puzzles; as ``_tall`` where that is too long."""
    size, small = row.size, draft.sheet.type.small
    after = width(row.title, row.title_face, size) + size * 0.7
    if after + width(row.setter, row.setter_face, small) + 6 * MM + row.grade_width > row.measure:
        return _tall(draft, row)
    height = size * 1.2 + 8

    def draw(x: float, top: float) -> list[Item]:
        y = top - 4 - size * 0.9
        items = _numbers(draft, row, x, y)
        items.append(Text(x + _INDENT, y, row.title, row.title_face, size, quoted=True))
        items.append(Text(x + _INDENT + after, y, row.setter, row.setter_face, small, quoted=True))
        items += _grade(draft, row, x, y)
        return [*_one_paragraph(items), _hairline(draft, x, top - height)]

    return Block(height, draw)


def _one_paragraph(items: Iterable[Item]) -> list[Item]:
    """The items of a row as one paragraph to a screen reader, its pages last."""
    tag = Tag("P")
    words: list[Item] = []
    pages: list[Item] = []
    for item in items:
        if isinstance(item, Reference):
            pages.append(replace(item, within=tag))
        else:
            words.append(replace(item, tag=tag) if isinstance(item, Text) else item)
    return words + pages


def _stacked(draft: Draft, row: _Row) -> Block:
    """Title, setter and grade under one another, for narrow pages and large type."""
    sheet, label = draft.sheet, draft.sheet.type.label
    wide = sheet.measure - _INDENT
    titles = break_lines(row.title, row.title_face, row.size, row.measure)
    setters = break_lines(row.setter, row.setter_face, sheet.type.small, wide)
    lines = [(line, row.title_face, row.size) for line in titles]
    lines += [(line, row.setter_face, sheet.type.small) for line in setters]
    height = 8 + sum(size * 1.24 for _, _, size in lines) + label * 1.4

    def draw(x: float, top: float) -> list[Item]:
        y = top - 2
        items: list[Item] = []
        for k, (line, face, size) in enumerate(lines):
            y -= size * 1.24
            if not k:
                items += _numbers(draft, row, x, y)
            items.append(Text(x + _INDENT, y, line, face, size, quoted=True))
        items += graded(sheet, x + _INDENT, y - label * 1.35, row.entry.grade, label)
        return [*items, _hairline(draft, x, top - height)]

    return Block(height, draw)


def _numbers(draft: Draft, row: _Row, x: float, y: float) -> list[Item]:
    """The puzzle's number at the head of a row, and its pages at the end, live."""
    faces, n = draft.sheet.faces, row.entry.number
    items: list[Item] = [left_text(x, y, str(n), faces.strong, row.size)]
    names = (f"puzzle-{n}", f"hint-{n}-1", f"answer-{n}")
    for name, right in zip(names, _figures(draft), strict=True):
        if row.entry.hints or not name.startswith("hint"):
            items.append(Reference(x + right, y, "", name, faces.label, row.size, right=True))
    return items


def _grade(draft: Draft, row: _Row, x: float, y: float) -> list[Item]:
    start = x + _INDENT + row.measure - row.grade_width
    return graded(draft.sheet, start, y, row.entry.grade, draft.sheet.type.label)


def _present(section: str, book: Book, draft: Draft) -> bool:
    """Whether a book has a section."""
    if section.endswith("hints"):
        return any(entry.hints for entry in book.entries)
    optional = {
        "Foreword": book.pack.foreword.strip(),
        "Primer": book.lessons,
        "The rules": any(entry.puzzle.rule_names for entry in book.entries),
        "The full pack": book.whole,
        NOTES: draft.noted,
    }
    return bool(optional.get(section, True))


def _others(draft: Draft, book: Book) -> Block:
    sheet, size = draft.sheet, draft.sheet.type.prose
    across = next(n for n in (3, 2, 1) if n == 1 or sheet.measure >= n * 11.5 * size)
    pitch = (sheet.measure + 8 * MM) / across
    right = pitch - 8 * MM

    def line(section: str, name: str) -> Block:
        def draw(x: float, top: float) -> list[Item]:
            y = top - size
            figure = Reference(x + right, y, "", name, sheet.faces.label, size, right=True)
            return _one_paragraph([left_text(x, y, section, sheet.faces.prose, size), figure])

        return Block(size * 1.5, draw)

    rows = [
        line(section, "section-" + section.lower().replace(" ", "-"))
        for section in OTHERS
        if _present(section, book, draft)
    ]
    down = -(-len(rows) // across)
    table = stack(rows[:down])
    for k in range(1, across):
        table = beside(table, stack(rows[k * down : (k + 1) * down]), k * pitch)
    return stack(
        [
            text_line(
                "Also in this pack", sheet.faces.strong, sheet.type.label, sheet.type.label * 1.78
            ),
            table,
        ]
    )
