"""Puzzle pages: one, two, four or more grids to a page, each with its notes."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import partial

from packbuilder.book.book import Book, Entry
from packbuilder.layouts import fitting
from packbuilder.layouts.fitting import NEAR, Slot, bands, cell_size, misfit
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, stack
from packbuilder.pages.captions import Caption, caption_end, is_wide
from packbuilder.pages.cards import card, card_foot, guides
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.faults import CannotSet, Source
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import digit_fields, grid, notes_fields
from packbuilder.pages.notes import (
    Way,
    card_ways,
    column_notes,
    fitted,
    narrow_notes,
    ruled_lines,
    scratch,
    too_much,
    ways,
    wide_notes,
)
from packbuilder.pages.opener import opener
from packbuilder.pages.prose import tidy
from packbuilder.plan.items import Item, Point, Table

_SPARE = 0.85
"""The least share of its size that a grid keeps for what its rules mean to stand below it."""


_UNDER = 2.8 * MM
"""Between a grid and narrow notes below it."""

_FAIR = 54 * MM
"""The height of a grid on a card that leaves cells of 6 mm to one of 9x9."""

Foot = Callable[[float], Block] | None
"""What stands at the foot of a card that is one of several, in a measure."""


def puzzles(draft: Draft, book: Book) -> None:
    """Plan the puzzle pages. A puzzle never breaks over a page."""
    sheet, grids = draft.sheet, draft.sheet.layout.grids
    slot, cards = fitting.slot(sheet.layout, sheet.paper), sheet.layout.cards
    pad, ribbon = (cards.padding * MM, cards.ribbon * MM) if cards else (0.0, 0.0)
    wide, high = slot.width + 2 * pad, slot.height + 2 * pad + ribbon
    per_page = grids.across * grids.down
    alike = 0.0

    def corner(k: int) -> tuple[float, float]:
        """Left edge and top of the k-th slot of the open page."""
        down, across = divmod(k, grids.across)
        x = draft.left + across * (wide + grids.gap_across * MM)
        return x, sheet.top - down * (high + grids.gap_down * MM)

    opened = not cards and not book.whole
    if cards:
        alike = _alike(draft, book, slot)
    if opened:
        opener(draft, book)
    else:
        draft.begin("Puzzles")
    for first in range(0, len(book.entries), per_page):
        if first or opened:
            draft.turn()
        boxes, here = [], book.entries[first : first + per_page]
        if len(here) > 1:  # one title would be told twice, right above itself
            draft.running(", ".join(f"{e.number} {tidy(e.puzzle.title)}" for e in here))
        for k, entry in enumerate(here):
            x, top = corner(k)
            boxes.append((x, top - high, x + wide, top))
            if cards:
                draft.add(card(sheet, boxes[-1], ribbon))
            with draft.going_on():
                foot = _card_foot(draft, book, entry) if cards else None
                where = x + pad, top - pad - ribbon
                draft.add(_puzzle(draft, entry, slot, where, high=alike, foot=foot))
            name = f"{entry.number}  {tidy(entry.puzzle.title)}"
            draft.bookmark(name, f"puzzle-{entry.number}", 1)
        for k in range(len(here), 0 if cards else per_page):
            x, top = corner(k)
            caption = grids.caption * MM
            draft.add(scratch(sheet, wide, high - caption).draw(x, top - caption))
        if cards and cards.guides:
            draft.add(guides(boxes))


def _puzzle(
    draft: Draft, entry: Entry, slot: Slot, where: Point, *, high: float = 0.0, foot: Foot = None
) -> list[Item]:
    """A puzzle with all that belongs to it. ``high`` is, on a card, the height of its grid and of
    its clues outside, the same on all cards; the grid stands in the middle."""
    sheet, puzzle, (x, top) = draft.sheet, entry.puzzle, where
    shapes, layout = shapes_of(puzzle), sheet.layout
    room = bands(shapes, puzzle.size)
    if trouble := misfit(layout, sheet.paper, puzzle):
        message = f"{layout.file.name}: {trouble.message}"
        raise Source.of(puzzle, "size").fault(message, trouble.mend)
    cell, band_top = cell_size(layout, sheet.paper, puzzle), top - layout.grids.caption * MM
    if high:
        cell = max(high / (puzzle.size + room.down), fitting.least_cell(layout, puzzle))
        x += (slot.width - puzzle.size * cell) / 2 - room.left * cell
    caption = None
    with draft.going_on():
        caption = Caption.of(sheet, entry, Slot(slot.width - (x - where[0]), slot.height))
    graded_below = not (caption and caption.graded)
    if high:
        below = cell * (puzzle.size + room.down) + _UNDER
        placed = _card_notes(draft, entry, slot, below, foot).draw(where[0], band_top - below)
    elif layout.grids.notes == "beside":
        notes, start = _notes_beside(draft, entry, slot, grade=graded_below)
        placed = notes.draw(x + start, band_top)
    else:
        cell, notes, below = _notes_below(draft, entry, slot, cell, grade=graded_below)
        placed = notes.draw(x, band_top - below)
    place = GridPlace(x + room.left * cell, band_top - room.top * cell, cell, puzzle.size)
    drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes,
                 letters=entry.lettered)  # fmt: skip
    fields = digit_fields(place, puzzle.clues) if draft.edition.fields else ()
    words = summary(entry, "Puzzle", whole=True)
    table = Table(puzzle.size, words, tuple(drawn), f"p{entry.number}", fields)
    notes_of = notes_fields(place, puzzle.clues, table) if fields else ()
    near = NEAR - room.top * cell
    return [*(caption.draw(x, band_top, near) if caption else ()), table, *notes_of, *placed]


def _card_foot(draft: Draft, book: Book, entry: Entry) -> Foot:
    """The foot of a card, with the answer to the one before; None where there is no other."""
    if len(book.entries) < 2:
        return None
    k = book.entries.index(entry)
    after = book.entries[(k + 1) % len(book.entries)]
    return partial(card_foot, draft, book.entries[k - 1], after)


def _on_card(draft: Draft, entry: Entry, foot: Foot) -> list[Way]:
    """The ways to set its notes: a card that is the only one leads to the pages of its book."""
    return card_ways(draft, entry) if foot else [*ways(draft, entry, grade=False)]


def _card_notes(draft: Draft, entry: Entry, slot: Slot, below: float, foot: Foot) -> Block:
    """What stands on a card so far below the top of its grid, down to the card's foot."""
    last, grids = foot(slot.width) if foot else gap(0), draft.sheet.layout.grids
    left, over = slot.height - grids.caption * MM - below - last.height, float("inf")
    for way in _on_card(draft, entry, foot):
        notes = narrow_notes(draft, entry, slot.width, way)
        if notes.height <= left + 0.01:
            if not way.said:
                draft.noted.add(entry.number)
            return stack([notes, gap(left - notes.height), last])
        over = min(over, notes.height - left)
    raise too_much(entry, over)


def _alike(draft: Draft, book: Book, slot: Slot) -> float:
    """The height of all grids on cards, with their clues outside, that each card has room for."""
    found = [slot.width]
    for entry in book.entries:
        with suppress(CannotSet):  # which is told where the card is set
            found.append(_card_height(draft, book, entry, slot))
    return min(found)


def _card_height(draft: Draft, book: Book, entry: Entry, slot: Slot) -> float:
    """That of the largest grid that a card has room for beside all that must stand on it: what is
    said of it, as far as any grid can spare that, and what its rules mean, if that leaves it
    `_FAIR`."""
    sheet, puzzle, foot = draft.sheet, entry.puzzle, _card_foot(draft, book, entry)
    n, room = puzzle.size, bands(shapes_of(puzzle), puzzle.size)
    high = most = slot.width * (n + room.down) / (n + 2 * max(room.left, room.right))
    least = fitting.least_cell(sheet.layout, puzzle) * (n + room.down)
    for way in _on_card(draft, entry, foot):
        notes = narrow_notes(draft, entry, slot.width, way).height
        taken = _UNDER + notes + (foot(slot.width).height if foot else 0.0)
        high = min(most, slot.height - sheet.layout.grids.caption * MM - taken)
        if high >= (_FAIR if way.rules else least):
            break
    return high


def _notes_beside(draft: Draft, entry: Entry, slot: Slot, *, grade: bool) -> tuple[Block, float]:
    """The notes beside a grid, and how far from its left edge: all in one column of the page."""
    grids = draft.sheet.layout.grids
    measure, height = grids.notes_room * MM, slot.height - grids.caption * MM
    arrange = partial(column_notes, draft, entry, measure, height)
    return fitted(draft, entry, height, arrange, grade=grade), slot.width - measure


def _notes_below(
    draft: Draft, entry: Entry, slot: Slot, cell: float, *, grade: bool
) -> tuple[float, Block, float]:
    """The notes below a grid, how far below its top, and its cell, which leaves them what it can
    spare.

    A long intro may have that; so may what the rules mean, of a grid that has its page to itself:
    elsewhere it would make the grids of a page unlike.
    """
    sheet, puzzle, grids = draft.sheet, entry.puzzle, draft.sheet.layout.grids
    room, wide = bands(shapes_of(puzzle), puzzle.size), is_wide(sheet, slot)
    arrange, white = (wide_notes, 5 * MM) if wide else (narrow_notes, _UNDER * sheet.scale)
    alone, over = grids.across * grids.down == 1, float("inf")
    for way in ways(draft, entry, grade=grade):
        less, least = cell, cell * (_SPARE if alone else 1) if way.rules else 0.0
        while less >= least - 0.01:
            measure = caption_end(sheet, slot, less * (puzzle.size + room.across))
            notes = arrange(draft, entry, measure, way)
            high = less * (puzzle.size + room.down) + white
            left = slot.height - grids.caption * MM - high - notes.height
            over = min(over, -left)
            wanted = cell_size(sheet.layout, sheet.paper, puzzle, notes.height + white)
            if left >= -0.01:
                if not way.said:
                    draft.noted.add(entry.number)
                return less, stack([notes, ruled_lines(sheet, measure, left)]), high
            if wanted > less - 0.01:
                break
            less = min(wanted, less * 0.99)  # under a smaller grid they may have more lines
    raise too_much(entry, over)
