"""The rules of a pack, one by one: what each means, what is right by it and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.book.book import Book
from packbuilder.book.how_to_play import RULES, RULES_LEAD, RuleEntry, puzzles_told, rule_entries
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack, text_line
from packbuilder.pages.case_pictures import case, usual_cell, width_of
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import HOUSE
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign, right_text
from packbuilder.pages.pairs import note
from packbuilder.pages.prose import checked
from packbuilder.plan.items import Destination, Item, Strokes, Tag
from packbuilder.rules.cases import Choices
from packbuilder.typography.typeface import face_for, width

_MOST = 3  # columns
_NARROWEST = 13.0  # type sizes of a picture's words: a column
_GUTTER = 2.2  # in type sizes of a picture's words
_BETWEEN = (3.0, 2.4, 1.9, 1.5)  # white between two entries, in the same
_SHARES = (1.0, 0.92, 0.84, 0.76)  # of their usual size that pictures may have, to save a page
_BARE = 0.3  # of a page


def rules(draft: Draft, book: Book) -> None:
    """Plan the section; nothing where no puzzle has a rule."""
    entries = rule_entries(book, "page")
    if not entries:
        return
    draft.begin(RULES, RULES_LEAD)
    ways = [_paged(draft, entries, share, white) for white in _BETWEEN for share in _SHARES]
    pages = next(way for way in ways if len(way) == min(map(len, ways)))
    for k, page in enumerate(pages):
        if k:
            draft.turn()
        for block in page:
            draft.place(block)


@dataclass(frozen=True)
class _Told:
    """A rule: its name and words, its pictures row by row, and what stands above those that go on
    on another page."""

    above: Block
    rows: tuple[Block, ...]
    on: Block

    @property
    def height(self) -> float:
        """Of all of it."""
        return self.above.height + sum(row.height for row in self.rows)


def _paged(
    draft: Draft, entries: Sequence[RuleEntry], share: float, white: float
) -> list[list[Block]]:
    """The rules on pages, with pictures of a share of their usual size and so much white between
    rules. A rule goes on on another page only where it must, or on the one that faces it, where a
    page would else be bare for more than `_BARE`."""
    sheet, apart = draft.sheet, gap(white * draft.sheet.type.label)
    pages: list[list[Block]] = [[]]
    left, depth = draft.rooms

    def turn() -> None:
        nonlocal left
        pages.append([])
        left = depth

    def put(block: Block) -> None:
        nonlocal left
        if block.height > depth + 0.01:
            raise draft.too_high(block.height)
        pages[-1].append(block)
        left -= block.height

    for one in (_entry(sheet, entry, share) for entry in entries):
        opened = not draft.edition.facing or (draft.folio + len(pages)) % 2
        parted = one.above.height <= left and (
            one.height > depth or (opened and left > _BARE * depth)
        )
        if one.height > left + 0.01 and not parted and (pages[-1] or len(pages) == 1):
            turn()
        put(one.above)
        for row in one.rows:
            if row.height > left + 0.01:
                turn()
                put(one.on)
            put(row)
        put(apart)
    return pages


def _entry(sheet: PageDesign, entry: RuleEntry, share: float) -> _Told:
    """A rule under a line of its own: its name, its words, its pictures side by side.

    Words that leave room for both pictures beside them stand there, if that takes less height.
    """
    head = _head(sheet, entry)
    count, wide = _columns(sheet)
    cell = usual_cell(sheet, entry.pictures, wide, share)
    shown = [
        (case(sheet, picture, cell, max(wide, width_of(sheet, picture, cell))),
         width_of(sheet, picture, cell))
        for picture in entry.pictures
    ]  # fmt: skip
    if entry.choices:
        shown.insert(0, (_table(sheet, entry.choices), wide))
    size = sheet.type.label
    on = text_line(f"{entry.kind.title}, continued", sheet.faces.label, size, 1.8 * size, "quiet")
    whole = stack([head, _words(sheet, entry, sheet.measure), gap(0.9 * size)])
    ways = [_Told(whole, tuple(_rows(sheet, shown)), on)]
    if (len(shown) + 1) % count == 0:  # they fill the rows, right beside wrong
        first, *rest = _rows(sheet, [(_words(sheet, entry, wide), wide), *shown])
        ways.append(_Told(stack([head, first]), tuple(rest), on))
    return min(ways, key=lambda way: way.height)


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
