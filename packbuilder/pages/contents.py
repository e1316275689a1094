"""Contents: every puzzle with its setter, its grade and its pages; then the other sections."""

from __future__ import annotations

from packbuilder.book import Book, Entry
from packbuilder.pages.blocks import Block, beside, gap, stack, text_line
from packbuilder.pages.draft import Draft
from packbuilder.pages.items import Item, Strokes, Text
from packbuilder.pages.layout import MM
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.prose import Source, checked, fit_lines, fit_size
from packbuilder.pages.sheet import left_text, live, right_text
from packbuilder.pages.typeface import face_for

OTHERS = ("Foreword", "How to play", "First hints", "Second hints", "Third hints", "Answers",
          "Credits")  # fmt: skip
_TOGETHER = 3
_PAGES = ("Page", "Hints", "Answer")


def contents(draft: Draft, book: Book) -> None:
    """Plan the contents, over as many pages as they need."""
    draft.begin("Contents", "")
    head = _head(draft)
    blocks = [_row(draft, entry) for entry in book.entries]
    # The last rows stay with the list of sections, which would look lost on a page of its own.
    alone, last = blocks[:-_TOGETHER], blocks[-_TOGETHER:]
    end = stack([*last, gap(4 * MM), _others(draft)])
    draft.place(head)
    for block in (*alone, end):
        if block.height > draft.room:
            draft.turn()
            draft.place(head)
        draft.place(block)


def _pitch(draft: Draft) -> float:
    """Distance between the right edges of the page columns."""
    return 15 * MM if draft.sheet.measure > 140 * MM else 12.5 * MM


def _figures(draft: Draft) -> list[float]:
    """Right edges of the three page columns, from the left of the text."""
    pitch = _pitch(draft)
    return [draft.sheet.measure - pitch * k for k in (2, 1, 0)]


def _head(draft: Draft) -> Block:
    sheet = draft.sheet
    face, size, grey = sheet.faces.label, sheet.type.label, sheet.greys.quiet
    rights = _figures(draft)

    def draw(x: float, top: float) -> list[Item]:
        y = top - size
        items: list[Item] = [
            right_text(x + right, y, label, face, size, grey)
            for label, right in zip(_PAGES, rights, strict=True)
        ]
        return [*items, _hairline(draft, x, top - size * 1.7)]

    return Block(size * 1.7, draw)


def _hairline(draft: Draft, x: float, y: float) -> Strokes:
    grey = draft.sheet.greys.rule
    return Strokes(0.5, ((x, y, x + draft.sheet.measure, y),), grey)


def _row(draft: Draft, entry: Entry) -> Block:
    sheet, puzzle = draft.sheet, entry.puzzle
    size, small = sheet.type.prose + 1, sheet.type.small
    indent, rights = 10 * MM, _figures(draft)
    wide = graded_width(sheet, entry.grade, sheet.type.label)
    measure = rights[0] - _pitch(draft) * 0.8 - indent
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    face = face_for(title, sheet.faces.title)
    titles = fit_lines(title, face, size, measure, 2, Source.of(puzzle, "title"))
    setter = checked(puzzle.setter, sheet.faces.italic, Source.of(puzzle, "setter"))
    setter_face = face_for(setter, sheet.faces.italic)
    least = (small, sheet.type.label)
    setter_size = fit_size(setter, setter_face, least, measure - wide - 6 * MM,
                           Source.of(puzzle, "setter"))  # fmt: skip
    names = (f"puzzle-{entry.number}", f"hint-{entry.number}-1", f"answer-{entry.number}")
    step = size * 1.22
    height = 3 + step * len(titles) + small * 1.3 + 3.5

    def draw(x: float, top: float) -> list[Item]:
        y = top - 3 - size * 0.85
        number = str(entry.number)
        items: list[Item] = [left_text(x, y, number, sheet.faces.strong, size)]
        for k, line in enumerate(titles):
            items.append(Text(x + indent, y - k * step, line, face, size))
        for name, right in zip(names, rights, strict=True):
            if draft.has(name):
                figure = right_text(x + right, y, draft.page_of(name), sheet.faces.label, size)
                items += live(figure, name)
        y -= step * len(titles) - size * 0.05
        items.append(left_text(x + indent, y, setter, setter_face, setter_size))
        end = x + indent + measure
        items += graded(sheet, end - wide, y, entry.grade, sheet.type.label)
        return [*items, _hairline(draft, x, top - height)]

    return Block(height, draw)


def _others(draft: Draft) -> Block:
    sheet, size = draft.sheet, draft.sheet.type.prose
    across = 3 if sheet.measure > 140 * MM else 2
    pitch = (sheet.measure + 8 * MM) / across
    right = pitch - 8 * MM

    def line(section: str, name: str) -> Block:
        def draw(x: float, top: float) -> list[Item]:
            y = top - size
            figure = right_text(x + right, y, draft.page_of(name), sheet.faces.label, size)
            return [left_text(x, y, section, sheet.faces.prose, size), *live(figure, name)]

        return Block(size * 1.5, draw)

    rows = [
        line(section, name)
        for section in OTHERS
        if draft.has(name := "section-" + section.lower().replace(" ", "-"))
    ]
    down = -(-len(rows) // across)
    table = stack(rows[:down])
    for k in range(1, across):
        table = beside(table, stack(rows[k * down : (k + 1) * down]), k * pitch)
    return stack([text_line("Also in this pack", sheet.faces.strong, sheet.type.label, 16), table])
