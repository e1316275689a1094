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
from packbuilder.pages.faults import Source
from packbuilder.pages.flow import openings
from packbuilder.pages.hint_legend import key, signs
from packbuilder.pages.hint_steps import beside_bands, columns, room_for, step_blocks
from packbuilder.pages.how_to_play import ideas
from packbuilder.pages.leads import in_lines
from packbuilder.pages.page_design import ASCENT, PageDesign
from packbuilder.pages.prose import checked, cut
from packbuilder.plan.items import Destination, Item, Tag, Text
from packbuilder.typography.typeface import face_for, width

_ROW_GAPS = 3.5 * MM, 26.0 * MM  # between rows of third hints: the least white, and the most
_HALF_LINE = 1.2  # points: so far at most the lower line of a grid reaches below the grid
SECTIONS = ("First hints", "Second hints", "Third hints")
_LEADS = (
    "Where to look, and no more. Of 2.1, 2.2 and so on the first that is new to you is yours.",
    "Which idea will help. Each first hint has its second under the same number.",
    "The step, and what it rests on. Digits found by then are not bold. It speaks in these signs.",
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
    draft.y += 2.5 * MM  # the signs stand close to the words that speak of them
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
        _indented(in_lines(sheet, ways, measure - indent), indent),
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


# --- the third tier ------------------------------------------------------------------------------


def _third(draft: Draft, ones: Sequence[_One]) -> None:
    """The third hints in rows, each on another opening than what it would give away."""
    sheet = draft.sheet
    count, _ = columns(sheet)
    rows = list(_in_rows(sheet, ones, count, draft.room))
    heights = [max(block.height for _, block in row) for row in rows]
    across = sheet.layout.hints.gap * MM
    step = (sheet.measure + across) / count

    def apart(a: int, b: int) -> bool:
        shown, others = ([one for one, _ in rows[k]] for k in (a, b))
        return any(x.gives_away(y) or y.gives_away(x) for x in shown for y in others)

    left = iter(zip(rows, heights, strict=True))
    counts = openings(heights, draft.rooms, _ROW_GAPS[0], draft.too_high, draft.folio, apart)
    for k, taken in enumerate(counts):
        if k and taken:
            draft.turn()
        elif k:
            draft.turn_bare()
        here = list(islice(left, taken))
        white = draft.room - _HALF_LINE - sum(height for _, height in here)
        down = min(white / max(taken - 1, 1), _ROW_GAPS[1])
        for row, height in here:
            column = 0
            for _, block in row:
                draft.add(block.draw(draft.left + column * step, draft.y))
                column += block.columns
            draft.y -= height + down


def _in_rows(
    sheet: PageDesign, ones: Sequence[_One], count: int, first: float
) -> Iterator[list[tuple[_One, Block]]]:
    """Rows of blocks. One that takes all columns goes before a row that is not full yet. The very
    first block is no higher than the room of the ``first`` page, if it can be."""
    row: list[tuple[_One, Block]] = []
    for one in ones:
        for block in _step(sheet, one, sheet.depth if one is not ones[0] else first):
            if block.columns == count:
                yield [(one, block)]
                continue
            row.append((one, block))
            if len(row) == count:
                yield row
                row = []
    if row:
        yield row


def _step(sheet: PageDesign, one: _One, high: float) -> list[Block]:
    ways = _ways(sheet, one, 3)
    _, cell = columns(sheet)
    wide = min(9 * cell, beside_bands(sheet, one.entry, room_for(sheet, one.entry, one.hint)))
    head = [_mark(one, 3, 6), _heading(sheet, one, f"Hint {one.number}", wide), gap(3)]
    both = [in_lines(sheet, ways, wide), in_lines(sheet, ways, 0)]
    return step_blocks(sheet, one.entry, one.k, head, both, high)
