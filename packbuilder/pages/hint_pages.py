"""Hints in three sections, so that turning to one never shows the next.

First where to look, then which idea, then the step itself with the grid as it stands.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from packbuilder.book.book import Book, Entry
from packbuilder.ladder.hints import Hint
from packbuilder.layouts.fitting import bands
from packbuilder.layouts.model import LEAST_SMALL
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, moved, paragraph, split, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import candidate_size, crowd_of, hint_grid
from packbuilder.pages.hint_legend import legend
from packbuilder.pages.page_design import ASCENT, UNKNOWN, PageDesign, left_text
from packbuilder.pages.prose import Source, checked, cut
from packbuilder.plan.items import Destination, Item, Reference, Table, Tag, Text
from packbuilder.typography.typeface import face_for, width

_WIDEST = 4  # times the usual gap between rows of third hints, where pages have room for it
SECTIONS = ("First hints", "Second hints", "Third hints")
_NARROWEST = 9.0  # ems: a column of words beside a grid
_LEADS = (
    "Where to look, and no more. Read only the hint of your own puzzle.",
    "Which idea will help. Each first hint has its second under the same number.",
    "The step, in the grid as it stands just before.",
)


def hints(draft: Draft, book: Book) -> None:
    """Plan the three sections, each from a new page on; nothing where no puzzle has a hint."""
    entries = [entry for entry in book.entries if entry.hints]
    if not entries:
        return
    for tier, told in ((1, _where), (2, _idea)):
        if tier > 1:
            draft.turn_over()  # a tier never faces the one before it
        draft.begin(SECTIONS[tier - 1], _LEADS[tier - 1])
        count = draft.sheet.text_columns(draft.sheet.layout.hints.gap * MM)
        blocks = [_words(draft, entry, tier, told, count) for entry in entries]
        draft.columns(blocks, count, (draft.sheet.layout.hints.gap * MM, 5 * MM))
    count, cell = columns(draft.sheet)
    draft.turn_over()
    draft.begin(SECTIONS[2], f"{_LEADS[2]} {legend(draft.sheet, entries, cell)}")
    drawn = [
        block
        for entry in entries
        for k, hint in enumerate(entry.hints)
        for block in _step(draft, entry, k, hint)
    ]
    down = _widest_gap(drawn, count, (draft.room, draft.sheet.depth), 6.5 * MM)
    draft.rows(drawn, count, (draft.sheet.layout.hints.gap * MM, down))


def _widest_gap(
    blocks: Sequence[Block], count: int, rooms: tuple[float, float], least: float
) -> float:
    """The widest gap between rows that needs no more pages than the least one.

    ``rooms`` are the heights of the first page and of every later one.
    """
    heights: list[float] = []
    taken = count
    for block in blocks:
        if taken + block.columns > count:
            heights.append(0.0)
            taken = 0
        heights[-1] = max(heights[-1], block.height)
        taken += block.columns

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


def columns(sheet: PageDesign) -> tuple[int, float]:
    """How many hint grids stand side by side, and the cell size of a grid up to 9x9."""
    wanted = sheet.layout.hints
    count = max(1, int((sheet.measure + wanted.gap * MM) / ((9 * wanted.cell + wanted.gap) * MM)))
    wide = (sheet.measure - (count - 1) * wanted.gap * MM) / count
    return count, min(wide / 9, wanted.cell * MM * (1.05 if count > 1 else 1))


def number(entry: Entry, k: int) -> str:
    """``12``, or ``12.2`` where the puzzle has several hints."""
    return f"{entry.number}.{k + 1}" if len(entry.hints) > 1 else str(entry.number)


def _where(hint: Hint) -> str:
    return hint.where


def _idea(hint: Hint) -> str:
    return hint.idea


def _words(draft: Draft, entry: Entry, tier: int, told: Callable[[Hint], str], count: int) -> Block:
    """All hints of one puzzle in one of the first two tiers, and the way to the next tier."""
    sheet, puzzle = draft.sheet, entry.puzzle
    size = sheet.type.prose
    measure = (sheet.measure - (count - 1) * sheet.layout.hints.gap * MM) / count
    measure, indent = min(measure, 118 * MM * sheet.scale), 9 * MM * sheet.scale
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    blocks = [
        Block(0, lambda x, top: [Destination(f"hint-{entry.number}-{tier}", x, top + 8)]),
        _heading(sheet, str(entry.number), title, measure, indent),
    ]
    several = len(entry.hints) > 1
    for k, hint in enumerate(entry.hints):
        source = Source.of(puzzle, f"hint {k + 1}")
        text = checked(told(hint), sheet.faces.prose, source)
        body = paragraph(text, sheet.faces.prose, size, measure - indent, quoted=True)
        blocks.append(_numbered(sheet, number(entry, k) if several else "", body, indent))
    blocks += [gap(1), _numbered(sheet, "", _onward(draft, entry, tier), indent)]
    return stack(blocks)


def _heading(sheet: PageDesign, label: str, title: str, measure: float, indent: float = 0) -> Block:
    size = sheet.type.prose + 0.5
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


def _numbered(sheet: PageDesign, label: str, body: Block, indent: float) -> Block:
    def draw(x: float, top: float) -> list[Item]:
        items = body.draw(x + indent, top)
        if label:
            size = sheet.type.label
            y = top - ASCENT * sheet.type.prose
            items.append(left_text(x, y, label, sheet.faces.label, size))
        return items

    return Block(body.height, draw)


def _onward(draft: Draft, entry: Entry, tier: int, under: bool = False) -> Block:
    """``Second hint: page 31``; after the last tier, the way to the answer; the way back."""
    sheet, size = draft.sheet, draft.sheet.type.label
    n = entry.number
    steps = {
        1: (("Second hint", f"hint-{n}-2"), ("Puzzle", f"puzzle-{n}")),
        2: (("Third hint", f"hint-{n}-3"), ("Puzzle", f"puzzle-{n}")),
        3: (("Answer", f"answer-{n}"), ("Puzzle", f"puzzle-{n}")),
    }[tier]

    def draw(x: float, top: float) -> list[Item]:
        items: list[Item] = []
        for label, name in steps:
            told = f"{label}: page "
            y = top - ASCENT * size
            items.append(Reference(x, y, told, name, sheet.faces.label, size))
            if under:
                top -= size * 1.4
            else:
                x += width(f"{told}{UNKNOWN}", sheet.faces.label, size) + max(14, 1.8 * size)
        return items

    return Block(size * 1.4 * (len(steps) if under else 1), draw)


@dataclass(frozen=True)
class _Room:
    """Where the grid of a third hint stands: its cells, the columns that it takes, their width."""

    cell: float
    spans: int
    wide: float


def _room(sheet: PageDesign, entry: Entry, hint: Hint) -> _Room:
    """Room for a hint's grid: as many columns as its candidates need to be read.

    Raises CannotSet where all of them are too few.
    """
    count, cell = columns(sheet)
    puzzle, n, gap_x = entry.puzzle, entry.puzzle.size, sheet.layout.hints.gap * MM
    wide = (sheet.measure - (count - 1) * gap_x) / count
    shapes = shapes_of(puzzle)
    crowd, across = crowd_of(shapes), n + bands(shapes, n).across
    if n <= 9:  # small grids may be larger
        cell = max(min(cell, wide / across), cell * min(1.25, 9 / across))
    if n > 9 or hint.shown:
        least = sheet.least.small if hint.shown else LEAST_SMALL
        while candidate_size(cell, n, crowd) < least:
            cell *= 1.02
    spans = min(count, int((across * cell + gap_x) / (wide + gap_x) - 0.001) + 1)
    cell = min(cell, (spans * wide + (spans - 1) * gap_x) / across)
    if hint.shown and candidate_size(cell, n, crowd) < sheet.least.small:
        size = candidate_size(cell, n, crowd)
        raise Source.of(puzzle, "hints").fault(
            f"candidates would be {size:.1f} pt, and {sheet.layout.name} on {sheet.paper} has "
            f"{sheet.least.small:g} or more",
            "give smaller margins at the sides, take larger paper, or leave the hints out with "
            "`hints: []`",
        )
    return _Room(cell, spans, spans * wide + (spans - 1) * gap_x)


def _step(draft: Draft, entry: Entry, k: int, hint: Hint) -> list[Block]:
    """The third hint: a caption, the position, the step in words, and where to go on.

    It is one block, or two where the words are too long for one page.
    """
    sheet, puzzle, n = draft.sheet, entry.puzzle, entry.puzzle.size
    shapes, room = shapes_of(puzzle), _room(sheet, entry, hint)
    band, cell = bands(shapes, n), room.cell
    aside = band.left * cell  # all but the clues in the band stands right of it
    measure = room.wide - aside
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    text = checked(hint.told, sheet.faces.prose, Source.of(puzzle, f"hint {k + 1}"))

    def position(x: float, top: float) -> list[Item]:
        place = GridPlace(x, top - band.top * cell, cell, n)
        drawn = hint_grid(sheet, puzzle.geometry, place, puzzle.clues, hint, shapes)
        return [Table(n, summary(entry, "Hint for puzzle"), tuple(drawn))]

    mark = Block(0, lambda x, top: [] if k else [Destination(f"hint-{entry.number}-3", x, top + 6)])
    label = f"Hint {number(entry, k)}"
    head = [mark, _heading(sheet, label, title, n * cell), gap(3)]
    drawn = Block((n + band.down) * cell, position)
    size, face = sheet.type.prose, sheet.faces.prose
    count, usual = columns(sheet)
    beside_it = room.wide - max(9 * usual, (n + band.across) * cell) - 5 * MM
    if count == 1 and n <= 9 and beside_it > _NARROWEST * size:  # on small paper that saves a page
        told = paragraph(text, face, size, beside_it, quoted=True)
        words = stack([told, gap(4), _onward(draft, entry, 3, True)])
        return [moved(stack([*head, beside(drawn, words, measure - beside_it)]), aside)]
    words = paragraph(text, face, size, min(measure, 118 * MM * sheet.scale), quoted=True)
    above, onward = stack([*head, drawn, gap(7 * sheet.scale)]), [gap(3), _onward(draft, entry, 3)]
    whole = stack([above, words, *onward], columns=room.spans)
    parts = split(words, sheet.depth - above.height) if whole.height > sheet.depth else None
    if parts is None:
        return [moved(whole, aside)]
    rest = stack([parts[1], *onward])
    # a page of its own, so that no other hint's caption stands below words that are not its own
    rest = Block(sheet.depth, rest.draw, columns=room.spans)
    return [moved(stack([above, parts[0]], columns=room.spans), aside), moved(rest, aside)]
