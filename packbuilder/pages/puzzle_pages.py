"""Puzzle pages: one, two, four or more grids to a page, each with its notes."""

from __future__ import annotations

from functools import partial

from packbuilder.book.book import Book, Entry
from packbuilder.layouts import fitting
from packbuilder.layouts.fitting import NEAR, Slot, bands, cell_size, misfit
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, stack
from packbuilder.pages.captions import Caption, caption_end, is_wide
from packbuilder.pages.cards import card, guides
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.faults import Source
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import empty_cells, grid
from packbuilder.pages.notes import (
    column_notes,
    fitted,
    narrow_notes,
    ruled_lines,
    too_much,
    ways,
    wide_notes,
)
from packbuilder.pages.opener import opener
from packbuilder.pages.prose import tidy
from packbuilder.plan.items import Item, Table

_SPARE = 0.85
"""The least share of its size that a grid keeps for what its rules mean to stand below it."""


def puzzles(draft: Draft, book: Book) -> None:
    """Plan the puzzle pages. A puzzle never breaks over a page."""
    sheet, grids = draft.sheet, draft.sheet.layout.grids
    slot, cards = fitting.slot(sheet.layout, sheet.paper), sheet.layout.cards
    pad, ribbon = (cards.padding * MM, cards.ribbon * MM) if cards else (0.0, 0.0)
    wide, high = slot.width + 2 * pad, slot.height + 2 * pad + ribbon
    per_page = grids.across * grids.down
    if cards:
        draft.begin("Puzzles")
    else:
        opener(draft, book)
    for first in range(0, len(book.entries), per_page):
        if first or not cards:
            draft.turn()
        boxes, here = [], book.entries[first : first + per_page]
        if len(here) > 1:  # one title would be told twice, right above itself
            draft.running(", ".join(f"{e.number} {tidy(e.puzzle.title)}" for e in here))
        for k, entry in enumerate(here):
            down, across = divmod(k, grids.across)
            x = draft.left + across * (wide + grids.gap_across * MM)
            top = sheet.top - down * (high + grids.gap_down * MM)
            boxes.append((x, top - high, x + wide, top))
            if cards:
                draft.add(card(sheet, boxes[-1], ribbon))
            with draft.going_on():
                draft.add(_puzzle(draft, entry, slot, x + pad, top - pad - ribbon))
            name = f"{entry.number}  {tidy(entry.puzzle.title)}"
            draft.bookmark(name, f"puzzle-{entry.number}", 1)
        if cards and cards.guides:
            draft.add(guides(boxes))


def _puzzle(draft: Draft, entry: Entry, slot: Slot, x: float, top: float) -> list[Item]:
    sheet, puzzle = draft.sheet, entry.puzzle
    shapes, layout = shapes_of(puzzle), sheet.layout
    if trouble := misfit(layout, sheet.paper, puzzle):
        message = f"{layout.file.name}: {trouble.message}"
        raise Source.of(puzzle, "size").fault(message, trouble.mend)
    caption = None
    with draft.going_on():
        caption = Caption.of(sheet, entry, slot)
    graded_below = not (caption and caption.graded)
    cell, band_top = cell_size(layout, sheet.paper, puzzle), top - layout.grids.caption * MM
    if layout.grids.notes == "beside":
        notes, start = _notes_beside(draft, entry, slot, grade=graded_below)
        placed = notes.draw(x + start, band_top)
    else:
        cell, notes, below = _notes_below(draft, entry, slot, cell, grade=graded_below)
        placed = notes.draw(x, band_top - below)
    room = bands(shapes, puzzle.size)
    place = GridPlace(x + room.left * cell, band_top - room.top * cell, cell, puzzle.size)
    drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes,
                 letters=entry.lettered)  # fmt: skip
    fields = empty_cells(place, puzzle.clues) if draft.edition.fields else ()
    words = summary(entry, "Puzzle", whole=True)
    table = Table(puzzle.size, words, tuple(drawn), entry.number, fields)
    near = NEAR - room.top * cell
    return [*(caption.draw(x, band_top, near) if caption else ()), table, *placed]


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
    arrange, white = (wide_notes, 5 * MM) if wide else (narrow_notes, 2.8 * MM * sheet.scale)
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
