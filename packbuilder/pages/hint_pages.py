"""Hints in three sections, so that turning to one never shows the next.

First where to look, then which idea, then the step itself. Each section goes in rounds, the first
hint of every puzzle and then the second ones: so a puzzle's later hint does not stand beside its
earlier one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from typing import NamedTuple

from packbuilder.book.book import Book, Entry
from packbuilder.ladder.hints import Hint
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.flow import rows_paged
from packbuilder.pages.hint_legend import key, signs
from packbuilder.pages.hint_steps import beside_bands, columns, step_blocks
from packbuilder.pages.how_to_play import ideas
from packbuilder.pages.page_design import ASCENT, UNKNOWN, PageDesign
from packbuilder.pages.prose import Source, checked, cut
from packbuilder.plan.items import Destination, Item, Reference, Tag, Text
from packbuilder.typography.typeface import face_for, width

_WIDEST = 4  # times the usual gap between rows of third hints, where pages have room for it
_ROW_GAP = 6.5 * MM
SECTIONS = ("First hints", "Second hints", "Third hints")
_LEADS = (
    "Where to look, and no more. Read only the hint of your own puzzle.",
    "Which idea will help. Each first hint has its second under the same number.",
    "The step, and of the grid what it rests on. A hint speaks in these signs.",
)


class _One(NamedTuple):
    """A hint: the ``k``-th of its puzzle, from 0."""

    entry: Entry
    k: int

    @property
    def hint(self) -> Hint:
        return self.entry.hints[self.k]

    @property
    def number(self) -> str:
        """``12``, or ``12.2`` where the puzzle has several hints."""
        return f"{self.entry.number}.{self.k + 1}" if len(self.entry.hints) > 1 else self.name

    @property
    def name(self) -> str:
        """``12`` for its puzzle's first hint, ``12.2`` for the second."""
        return f"{self.entry.number}.{self.k + 1}" if self.k else str(self.entry.number)

    def gives_away(self, other: _One) -> bool:
        """Whether its picture shows what another hint of its puzzle leads to."""
        if self.entry is not other.entry or self.k == other.k:
            return False
        found = (*other.hint.step.places, *other.hint.gives)
        return any(self.hint.pictured[cell] == digit for cell, digit in found)


def hints(draft: Draft, book: Book) -> None:
    """Plan the three sections, each from a new page on; nothing where no puzzle has a hint."""
    ones = _rounds(book)
    if not ones:
        return
    sheet = draft.sheet
    for tier, told in ((1, _where), (2, _idea)):
        if tier > 1:
            draft.turn_over()  # a tier never faces the one before it
        draft.begin(SECTIONS[tier - 1], _LEADS[tier - 1])
        count = sheet.text_columns(sheet.layout.hints.gap * MM)
        blocks = [_words(sheet, one, tier, told, count) for one in ones]
        draft.columns(blocks, count, (sheet.layout.hints.gap * MM, 4.5 * MM))
    ideas(draft, book)  # between second hints and third ones, which so never face one another
    draft.begin(SECTIONS[2], _LEADS[2])
    used = signs([(one.hint, one.entry.puzzle.geometry) for one in ones])
    draft.place(stack([key(sheet, used, sheet.measure), gap(4 * MM)]))
    _third(draft, ones)


def _rounds(book: Book) -> list[_One]:
    """The first hints of all puzzles, then the second ones, and so on."""
    ones = [_One(entry, k) for entry in book.entries for k in range(len(entry.hints))]
    return sorted(ones, key=lambda one: one.k)


def _where(hint: Hint) -> str:
    return hint.where


def _idea(hint: Hint) -> str:
    return hint.idea


# --- the first two tiers -------------------------------------------------------------------------


def _words(
    sheet: PageDesign, one: _One, tier: int, told: Callable[[Hint], str], count: int
) -> Block:
    """A hint in one of the first two tiers, and the way to the next tier."""
    puzzle, size = one.entry.puzzle, sheet.type.prose
    between = sheet.layout.hints.gap * MM
    measure = (sheet.measure - (count - 1) * between) / count - (count > 1) * sheet.apart(between)
    measure, indent = min(measure, 118 * MM * sheet.scale), 9 * MM * sheet.scale
    source = Source.of(puzzle, f"hint {one.k + 1}")
    text = checked(told(one.hint), sheet.faces.prose, source)
    body = paragraph(text, sheet.faces.prose, size, measure - indent, quoted=True)
    ways = _ways(sheet, one, tier)
    return stack([
        _mark(one, tier, 8),
        _heading(sheet, one, one.number, measure, indent),
        _indented(body, indent),
        gap(1),
        _indented(_in_lines(sheet, ways, measure - indent), indent),
    ])  # fmt: skip


def _mark(one: _One, tier: int, above: float) -> Block:
    name = f"hint-{one.name}-{tier}"
    return Block(0, lambda x, top: [Destination(name, x, top + above)])


def _heading(sheet: PageDesign, one: _One, label: str, measure: float, indent: float = 0) -> Block:
    puzzle, size = one.entry.puzzle, sheet.type.prose + 0.5
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    strong, face = sheet.faces.strong, face_for(title, sheet.faces.title)
    offset = max(indent, width(label, strong, size) + size * 0.5)
    title, tag = cut(title, face, size, measure - offset), Tag("H2")

    def draw(x: float, top: float) -> list[Item]:
        y = top - ASCENT * size
        return [
            Text(x, y, label, strong, size, tag=tag),
            Text(x + offset, y, title, face, size, tag=tag, quoted=True),
        ]

    return Block(size * 1.5, draw, keep=True)


def _indented(block: Block, indent: float) -> Block:
    return Block(block.height, lambda x, top: block.draw(x + indent, top))


def _ways(sheet: PageDesign, one: _One, tier: int) -> list[tuple[str, str]]:
    """Where to go on: words, and the name of a place.

    After a third hint, to the first tier of the puzzle's next one, or to its answer.
    """
    after = _One(one.entry, one.k + 1)
    last = ("Answer", f"answer-{one.entry.number}")
    if after.k < len(one.entry.hints):
        last = ("Stuck again", f"hint-{after.name}-1")
    onward = [("Second hint", f"hint-{one.name}-2"), ("Third hint", f"hint-{one.name}-3"), last]
    return [onward[tier - 1], ("Puzzle", f"puzzle-{one.entry.number}")]


def _in_lines(sheet: PageDesign, ways: Sequence[tuple[str, str]], measure: float) -> Block:
    """Ways on, as many in a line as there is room for."""
    size, face = sheet.type.label, sheet.faces.label
    between = max(12.0, 1.5 * size)
    spots: list[tuple[float, int, str, str]] = []
    x, line = 0.0, 0
    for label, name in ways:
        told = f"{label}: page "
        wide = width(f"{told}{UNKNOWN}", face, size)
        if spots and x + wide > measure:
            x, line = 0.0, line + 1
        spots.append((x, line, told, name))
        x += wide + between

    def draw(left: float, top: float) -> list[Item]:
        y = top - ASCENT * size
        return [
            Reference(left + x, y - line * size * 1.4, told, name, face, size)
            for x, line, told, name in spots
        ]

    return Block(size * 1.4 * (line + 1), draw)


# --- the third tier ------------------------------------------------------------------------------


def _third(draft: Draft, ones: Sequence[_One]) -> None:
    """The third hints in rows, each on another opening than what it would give away."""
    sheet = draft.sheet
    count, _ = columns(sheet)
    rows = list(_in_rows(sheet, ones, count))
    heights = [max(block.height for _, block in row) for row in rows]
    across = sheet.layout.hints.gap * MM
    step = (sheet.measure + across) / count
    down = _widest_gap(heights, draft.rooms, _ROW_GAP)
    left = iter(zip(rows, heights, strict=True))
    here: list[_One] = []  # on the open page, and on the one that faces it
    for k, taken in enumerate(rows_paged(heights, draft.rooms, down, draft.too_high)):
        if k:
            draft.turn()
            here = here if draft.folio % 2 else []
        for row, height in islice(left, taken):
            new = [one for one, _ in row]
            if any(a.gives_away(b) or b.gives_away(a) for a in new for b in (*here, *new)):
                draft.turn()
                if draft.folio % 2:
                    draft.turn()
                here = []
            here += new
            column = 0
            for _, block in row:
                draft.add(block.draw(draft.left + column * step, draft.y))
                column += block.columns
            draft.y -= height + down


def _in_rows(
    sheet: PageDesign, ones: Sequence[_One], count: int
) -> Iterator[list[tuple[_One, Block]]]:
    """Rows of blocks. One that takes all columns goes before a row that is not full yet."""
    row: list[tuple[_One, Block]] = []
    for one in ones:
        for block in _step(sheet, one):
            if block.columns == count:
                yield [(one, block)]
                continue
            row.append((one, block))
            if len(row) == count:
                yield row
                row = []
    if row:
        yield row


def _step(sheet: PageDesign, one: _One) -> list[Block]:
    ways = _ways(sheet, one, 3)
    _, cell = columns(sheet)
    wide = min(9 * cell, beside_bands(sheet, one.entry, one.hint))
    head = [_mark(one, 3, 6), _heading(sheet, one, f"Hint {one.number}", wide), gap(3)]
    both = [_in_lines(sheet, ways, wide), _in_lines(sheet, ways, 0)]
    return step_blocks(sheet, one.entry, one.k, head, both)


def _widest_gap(heights: Sequence[float], rooms: tuple[float, float], least: float) -> float:
    """The widest gap between rows that needs no more pages than the least one.

    ``rooms`` are the heights of the first page and of every later one.
    """

    def pages(gap: float) -> int:
        needed, room = 1, rooms[0]
        for height in heights:
            if height > room + 0.01:
                needed, room = needed + 1, rooms[1]
            room -= height + gap
        return needed

    fewest = pages(least)
    wider = (least * (1 + k / 4) for k in range(_WIDEST * 4, 0, -1))
    return next((gap for gap in wider if pages(gap) == fewest), least)
