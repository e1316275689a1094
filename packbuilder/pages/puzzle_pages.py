"""Puzzle pages: one, two, four or more grids to a page, each with its notes."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from packbuilder.book.book import Book, Entry
from packbuilder.layouts import fitting
from packbuilder.layouts.checks import above_grid
from packbuilder.layouts.fitting import NEAR, Bands, Slot, bands, cell_size
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, stack
from packbuilder.pages.cards import card, card_foot, guides
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import digit_fields, grid, notes_fields
from packbuilder.pages.notes import column_notes, narrow_notes, ruled_lines, told_in, wide_notes
from packbuilder.pages.opener import opener
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.prose import Source, checked, fit_size, tidy
from packbuilder.plan.items import Destination, Item, Point, Table, Tag, Text
from packbuilder.typography.typeface import face_for, width

_WIDE = 29
"""From this width on, in ems of running text, notes below a grid stand in two columns."""

_SPARE = 0.85
"""The least share of its size that a grid keeps for what its rules mean to stand below it."""

_FAIR = 55 * MM
"""The height of a grid on a card that leaves cells of 6 mm to one of 9x9."""

_PLENTY = 1e5
"""Points: room without end, to see how much notes would take."""

Foot = Callable[[float], Block] | None
"""What stands at the foot of a card, in a measure."""


def puzzles(draft: Draft, book: Book) -> None:
    """Plan the puzzle pages. A puzzle never breaks over a page."""
    sheet, grids = draft.sheet, draft.sheet.layout.grids
    slot, cards = fitting.slot(sheet.layout, sheet.paper), sheet.layout.cards
    pad, ribbon = (cards.padding * MM, cards.ribbon * MM) if cards else (0.0, 0.0)
    wide, high = slot.width + 2 * pad, slot.height + 2 * pad + ribbon
    per_page = grids.across * grids.down
    alike = 0.0
    if cards:
        draft.begin("Puzzles")
        alike = min(_card_height(draft, book, entry, slot) for entry in book.entries)
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
            foot = _card_foot(draft, book, entry) if cards else None
            where = x + pad, top - pad - ribbon
            draft.add(_puzzle(draft, entry, slot, where, high=alike, foot=foot))
            name = f"{entry.number}  {tidy(entry.puzzle.title)}"
            draft.bookmark(name, f"puzzle-{entry.number}", 1)
        if cards and cards.guides:
            draft.add(guides(boxes))


def _puzzle(
    draft: Draft, entry: Entry, slot: Slot, where: Point, *, high: float = 0.0, foot: Foot = None
) -> list[Item]:
    """A puzzle with all that belongs to it. ``high`` is the height of its grid and of its clues
    outside where it is on a card: there they are all alike, and grids in the middle."""
    sheet, puzzle, (x, top) = draft.sheet, entry.puzzle, where
    shapes = shapes_of(puzzle)
    room = bands(shapes, puzzle.size)
    cell = cell_size(sheet.layout, sheet.paper, puzzle)
    if high:
        cell = max(high / (puzzle.size + room.down), fitting.least_cell(sheet.layout, puzzle))
    elif sheet.layout.grids.notes == "below":
        cell = _spared(draft, entry, slot, cell)
    # Caption and notes keep to the grid's own left edge; a band of clues stands out from it.
    left = (slot.width - puzzle.size * cell) / 2 if high else room.left * cell
    x, slot = x + left, Slot(slot.width - left, slot.height)
    wide, deep = cell * (puzzle.size + room.right), cell * (puzzle.size + room.down)
    caption = sheet.layout.grids.caption * MM
    band_top = top - caption
    near = min(above_grid(sheet.type.title), NEAR - room.top * cell)
    items = _caption(sheet, entry, slot, wide, x, band_top + near)
    place = GridPlace(x, band_top - room.top * cell, cell, puzzle.size)
    drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes,
                 letters=entry.lettered)  # fmt: skip
    fields = digit_fields(place, puzzle.clues) if draft.edition.fields else ()
    items.append(
        Table(puzzle.size, summary(entry, "Puzzle", whole=True), tuple(drawn), entry.number, fields)
    )
    items += notes_fields(place, puzzle.clues, entry.number) if fields else ()
    if sheet.layout.grids.notes == "beside":
        notes, start = _notes_beside(draft, entry, slot, wide, deep)
        return items + notes.draw(x + start, band_top)
    left = slot.height - caption - deep
    if foot:
        last = foot(slot.width)
        items += last.draw(x, top - slot.height + last.height)
        left -= last.height
    notes, below = _notes_below(draft, entry, slot, cell, left, rules=True, card=bool(foot))
    measure, left = _caption_end(sheet, slot, wide), left - below - notes.height
    notes = stack([notes, ruled_lines(sheet, measure, left)])
    return items + notes.draw(x, band_top - deep - below)


def _card_foot(draft: Draft, book: Book, entry: Entry) -> Foot:
    """The foot of a card, with the answer to the one before; None where there is no other."""
    if len(book.entries) < 2:
        return None
    k = book.entries.index(entry)
    after = book.entries[(k + 1) % len(book.entries)]
    return partial(card_foot, draft, book.entries[k - 1], after)


def _card_height(draft: Draft, book: Book, entry: Entry, slot: Slot) -> float:
    """The height of the largest grid, with its clues outside, that a card has room for beside all
    that must stand on it: also what its rules mean, if that leaves it `_FAIR`."""
    sheet, puzzle, foot = draft.sheet, entry.puzzle, _card_foot(draft, book, entry)
    n, room = puzzle.size, bands(shapes_of(puzzle), puzzle.size)
    most = slot.width * (n + room.down) / (n + 2 * max(room.left, room.right))
    for rules in (True, False):
        high = most
        for _ in range(4):  # beside a smaller grid its notes have a narrower column
            cell = high / (n + room.down)
            inside = Slot((slot.width + n * cell) / 2, slot.height)
            notes, below = _notes_below(
                draft, entry, inside, cell, _PLENTY, rules=rules, card=bool(foot)
            )
            taken = below + notes.height + (foot(inside.width).height if foot else 0.0)
            high = min(high, slot.height - sheet.layout.grids.caption * MM - taken)
        if high >= _FAIR:
            break
    return high


def _spared(draft: Draft, entry: Entry, slot: Slot, cell: float) -> float:
    """The cell of a grid that leaves its notes the room that it can spare.

    A long intro may have it; so may what the rules mean, of a grid that has its page to itself:
    elsewhere it would make the grids of a page unlike.
    """
    sheet, puzzle, grids = draft.sheet, entry.puzzle, draft.sheet.layout.grids
    room = bands(shapes_of(puzzle), puzzle.size)

    def with_notes(cell: float, rules: bool) -> tuple[float, float]:
        """The cell, and the height that caption, grid and notes would take."""
        inside = _inside(slot, room, cell)
        notes, below = _notes_below(draft, entry, inside, cell, _PLENTY, rules=rules)
        less = cell_size(sheet.layout, sheet.paper, puzzle, notes.height + below)
        high = grids.caption * MM + less * (puzzle.size + room.down) + below + notes.height
        return less, high

    less = cell
    while grids.across * grids.down == 1 and less >= _SPARE * cell:
        wanted, high = with_notes(less, True)  # under a smaller grid they may have more lines
        if wanted > less - 0.01 and high <= slot.height + 0.01:
            return less
        less = min(wanted, less * 0.99)
    return with_notes(cell, False)[0]


def _inside(slot: Slot, room: Bands, cell: float) -> Slot:
    """A slot without the band of clues at its left."""
    return Slot(slot.width - room.left * cell, slot.height)


def _notes_below(
    draft: Draft,
    entry: Entry,
    slot: Slot,
    cell: float,
    left: float,
    *,
    rules: bool,
    card: bool = False,
) -> tuple[Block, float]:
    """The notes below a grid, and the white between; ``left`` is the height for both.

    They say what its ``rules`` mean where there is room.
    """
    sheet, puzzle = draft.sheet, entry.puzzle
    wide = cell * (puzzle.size + bands(shapes_of(puzzle), puzzle.size).right)
    below = (5 if _is_wide(sheet, slot) else 2.8 * sheet.scale) * MM
    arrange = wide_notes if _is_wide(sheet, slot) else partial(narrow_notes, card=card)
    notes = partial(arrange, draft, entry, _caption_end(sheet, slot, wide), left - below)
    return told_in(left - below, notes) if rules else notes(False), below


def _notes_beside(
    draft: Draft, entry: Entry, slot: Slot, wide: float, high: float
) -> tuple[Block, float]:
    """The notes beside a grid, and how far from its left edge; they follow a small grid."""
    sheet, grids = draft.sheet, draft.sheet.layout.grids
    start = min(wide + grids.gap_across * MM, slot.width - grids.notes_room * MM)
    measure = min(slot.width - start, grids.notes_room * MM * 1.25)
    height = slot.height - grids.caption * MM
    if not sheet.layout.writing.ruled:
        height = min(height, max(high, 70 * MM))
    return told_in(height, partial(column_notes, draft, entry, measure, height)), start


def _caption(
    sheet: PageDesign, entry: Entry, slot: Slot, side: float, x: float, baseline: float
) -> list[Item]:
    """Number and title right above the grid; in a wide slot the grade stands at their end."""
    puzzle, strong = entry.puzzle, sheet.faces.strong
    title = checked(puzzle.title, sheet.faces.title, Source.of(puzzle, "title"))
    face = face_for(title, sheet.faces.title)
    number = str(entry.number)
    ratio = 0.45  # of the type size, between number and title
    ends = _caption_end(sheet, slot, side)
    room = ends - (graded_width(sheet, entry.grade, sheet.type.label) + 14
                   if _grade_above(sheet, slot) else 0)  # fmt: skip
    sizes = (sheet.type.title, sheet.type.title_least)
    share = 1 + (width(number, strong, 1) + ratio) / max(width(title, face, 1), 0.01)
    size = fit_size(title, face, sizes, room / share, Source.of(puzzle, "title"))
    title_x = x + width(number, strong, size) + ratio * size
    tag = Tag("H2")
    items: list[Item] = [
        Destination(f"puzzle-{entry.number}", x, baseline + sheet.type.title * 1.2),
        Text(x, baseline, number, strong, size, tag=tag),
        Text(title_x, baseline, title, face, size, tag=tag, quoted=True),
    ]
    if _grade_above(sheet, slot):
        wide = graded_width(sheet, entry.grade, sheet.type.label)
        items += graded(sheet, x + ends - wide, baseline, entry.grade, sheet.type.label)
    return items


def _caption_end(sheet: PageDesign, slot: Slot, side: float) -> float:
    """How far a caption may reach: over its own grid, if that is not too small."""
    if sheet.layout.grids.notes == "beside":
        return slot.width
    return max(side, slot.width * 0.75) if _is_wide(sheet, slot) else slot.width


def _is_wide(sheet: PageDesign, slot: Slot) -> bool:
    return slot.width >= _WIDE * sheet.type.prose


def _grade_above(sheet: PageDesign, slot: Slot) -> bool:
    return sheet.layout.grids.notes == "below" and _is_wide(sheet, slot)
