"""The rules of a pack, one by one: what each means, what is right by it and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from packbuilder.book.book import Book
from packbuilder.book.how_to_play import RULES, RULES_LEAD, RuleEntry, puzzles_told, rule_entries
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack, text_line
from packbuilder.pages.case_pictures import case, usual_cell, width_of
from packbuilder.pages.draft import Draft
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign, right_text
from packbuilder.pages.pairs import note
from packbuilder.pages.prose import HOUSE, checked
from packbuilder.plan.items import Destination, Item, Strokes, Tag
from packbuilder.rules.cases import Choices
from packbuilder.typography.typeface import face_for, width

_MOST = 3  # columns
_NARROWEST = 13.0  # type sizes of a picture's words: a column
_GUTTER = 2.2  # in type sizes of a picture's words
_BETWEEN = (3.0, 2.4, 1.9, 1.5)  # white between two entries, in the same


def rules(draft: Draft, book: Book) -> None:
    """Plan the section; nothing where no puzzle has a rule."""
    entries = rule_entries(book, "page")
    if not entries:
        return
    draft.begin(RULES, RULES_LEAD)
    told = [_entry(draft.sheet, entry) for entry in entries]

    def spaced(white: float) -> list[Block]:
        apart = gap(white * draft.sheet.type.label)
        return [part for blocks in told for part in (*blocks, apart)]

    # the widest white that needs no more pages than the least
    pages = {white: draft.pages_for(spaced(white)) for white in _BETWEEN}
    draft.flow(spaced(next(w for w in _BETWEEN if pages[w] == min(pages.values()))))


def _entry(sheet: PageDesign, entry: RuleEntry) -> list[Block]:
    """A rule under a line of its own: its name, its words, its pictures side by side.

    Words that leave room for both pictures beside them stand there, if that takes less height. It
    is one block, or where that is higher than a page, a block for each row of pictures.
    """
    head = _head(sheet, entry)
    count, wide = _columns(sheet)
    cell = usual_cell(sheet, entry.pictures, wide)
    shown = [
        (case(sheet, picture, cell, max(wide, width_of(sheet, picture, cell))),
         width_of(sheet, picture, cell))
        for picture in entry.pictures
    ]  # fmt: skip
    if entry.choices:
        shown.insert(0, (_table(sheet, entry.choices), wide))
    whole = [_words(sheet, entry, sheet.measure), gap(0.9 * sheet.type.label)]
    first, *rest = _rows(sheet, shown)
    ways = [[stack([head, *whole, first]), *rest]]
    if (len(shown) + 1) % count == 0:  # they fill the rows, right beside wrong
        first, *rest = _rows(sheet, [(_words(sheet, entry, wide), wide), *shown])
        ways.append([stack([head, first]), *rest])
    blocks = min(ways, key=lambda way: sum(block.height for block in way))
    together = stack(blocks)
    return [together] if together.height <= sheet.depth else blocks


def _columns(sheet: PageDesign) -> tuple[int, float]:
    """How many columns pictures stand in, and how wide they are."""
    size = sheet.type.label
    for count in range(_MOST, 1, -1):
        wide = (sheet.measure - (count - 1) * _GUTTER * size) / count
        if wide >= _NARROWEST * size:
            return count, wide
    return 1, sheet.measure


def _rows(sheet: PageDesign, shown: Sequence[tuple[Block, float]]) -> list[Block]:
    """Blocks of some widths in rows of columns; one that is too wide takes several."""
    count, wide = _columns(sheet)
    step = wide + _GUTTER * sheet.type.label
    rows: list[list[tuple[Block, int]]] = [[]]
    taken = 0
    for block, across in shown:
        span = min(count, 1 + int((across - wide) / step + 0.999)) if across > wide else 1
        if taken + span > count:
            rows.append([])
            taken = 0
        rows[-1].append((block, taken))
        taken += span
    first, *rest = [_side_by_side(row, step) for row in rows]
    return [first, *(stack([gap(sheet.type.label), row]) for row in rest)]


def _side_by_side(row: Sequence[tuple[Block, int]], step: float) -> Block:
    """Blocks at the columns in which they begin."""
    whole = row[0][0]
    for block, column in row[1:]:
        whole = beside(whole, block, column * step)
    return whole


def _head(sheet: PageDesign, entry: RuleEntry) -> Block:
    """A line across, the rule's name, and at its end the puzzles that have it."""
    size, label = sheet.type.prose * 1.5, sheet.type.label
    face, small = face_for(entry.kind.title, sheet.faces.title), sheet.faces.label
    numbers = _beside(sheet, entry)
    tag = Tag("P")

    def draw(x: float, top: float) -> list[Item]:
        y = top - 0.45 * size - ASCENT * size
        line = Strokes(1.2, ((x, top, x + sheet.measure, top),))
        items: list[Item] = [Destination(f"rule-{entry.kind.slug}", x, top + 8), line]
        items += text_line(entry.kind.title, face, size, size, tag=Tag("H2")).draw(
            x, y + ASCENT * size
        )
        if numbers:
            right = x + sheet.measure
            items.append(right_text(right, y, numbers, small, label, "quiet", tag))
        return items

    return Block(size * 1.75, draw)


def _beside(sheet: PageDesign, entry: RuleEntry) -> str:
    """The numbers of a rule's puzzles, if they have room on the line of its name."""
    numbers, size = puzzles_told(entry.numbers, "page"), sheet.type.prose * 1.5
    face, small = face_for(entry.kind.title, sheet.faces.title), sheet.faces.label
    taken = width(entry.kind.title, face, size) + 2 * sheet.type.label
    return numbers if width(numbers, small, sheet.type.label) + taken <= sheet.measure else ""


def _words(sheet: PageDesign, entry: RuleEntry, measure: float) -> Block:
    face, size = sheet.faces.prose, sheet.type.prose
    told = [
        paragraph(checked(words, face, HOUSE), face_for(words, face), size, measure)
        for words in entry.told
    ]
    if not _beside(sheet, entry):
        told.append(note(sheet, puzzles_told(entry.numbers, "page")))
    return stack([part for block in told for part in (block, gap(size * 0.2))])


def _table(sheet: PageDesign, choices: Choices) -> Block:
    """What may go together, a row each, under its heads."""
    strong, face, size = sheet.faces.strong, sheet.faces.label, sheet.type.label
    columns = []
    for k, head in enumerate(choices.heads):
        rows = [text_line(row[k], face, size, size * LEADING) for row in choices.rows]
        columns.append(stack([text_line(head, strong, size, size * LEADING), *rows]))
    offset = width(choices.heads[0], strong, size) + 2 * size
    return beside(columns[0], columns[1], offset) if len(columns) > 1 else columns[0]
