"""Puzzle pages: one, two, four or more grids to a page, each with its notes."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.book import Book, Entry
from packbuilder.errors import InputError
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.grids import empty_cells, grid
from packbuilder.pages.items import Item, Mark, Table, Tag, Text
from packbuilder.pages.layout import MM, Cells
from packbuilder.pages.marks import Bands, bands
from packbuilder.pages.notes import column_notes, facts, narrow_notes, wide_notes
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.place import Place
from packbuilder.pages.prose import Source, checked, fit_size, tidy
from packbuilder.pages.sheet import Sheet
from packbuilder.pages.typeface import face_for, width

_WIDE = 100 * MM
"""From this width on, notes below a grid stand in two columns."""

_BANDED = 18 * MM
"""Largest cell of a grid with clues above it: its caption stands above them, and must be near."""


@dataclass(frozen=True)
class Slot:
    """The room that one puzzle has on a page: caption, grid and notes together."""

    width: float
    height: float


def puzzles(draft: Draft, book: Book) -> None:
    """Plan the puzzle pages. A puzzle never breaks over a page."""
    grids = draft.sheet.layout.grids
    per_page = grids.across * grids.down
    slot = _slot(draft.sheet)
    draft.begin("Puzzles")
    for k, entry in enumerate(book.entries):
        down, across = divmod(k % per_page, grids.across)
        if k and k % per_page == 0:
            draft.turn()
        x = draft.left + across * (slot.width + grids.gap_across * MM)
        top = draft.sheet.top - down * (slot.height + grids.gap_down * MM)
        draft.add(_puzzle(draft, entry, slot, x, top))
        draft.bookmark(f"{entry.number}  {tidy(entry.puzzle.title)}", f"puzzle-{entry.number}", 1)
        if down == across == 0:
            here = book.entries[k : k + per_page]
            draft.running(", ".join(f"{e.number} {tidy(e.puzzle.title)}" for e in here))


def cell_size(sheet: Sheet, entry: Entry, said: float = 0.0) -> float:
    """The size of a puzzle's cells in points. Notes below it that need ``said`` points more than
    usual have them where the grid can spare them.

    Raises InputError, naming the layout's field, where they would be under the minimum.
    """
    layout, size, slot = sheet.layout, entry.puzzle.size, _slot(sheet)
    room = bands(shapes_of(entry.puzzle), size)
    grids, (_, own), (k, rule) = layout.grids, layout.cell_rule(size), _least(sheet, size, room)
    across, down = slot.width, slot.height - grids.caption * MM
    if grids.notes == "beside":
        across -= (grids.notes_room + grids.gap_across) * MM
    else:
        down -= grids.notes_room * MM
    cell = min(own.aim * MM, across / (size + room.across), down / (size + room.down))
    cell = min(cell, _BANDED) if room.top else cell
    if said and grids.notes == "below":
        cell = min(cell, max((down - said) / (size + room.down), rule.minimum * MM))
    if cell < rule.minimum * MM - 0.01:
        raise InputError(
            f"{layout.file}: cells[{k}].minimum: on {sheet.paper} paper the {size}x{size} grid of "
            f"puzzle {entry.puzzle.id!r} gets cells of {cell / MM:.1f} mm, under the minimum of "
            f"{rule.minimum:g} mm; take a layout with fewer grids to a page, or larger paper"
        )
    return cell


def _least(sheet: Sheet, size: int, room: Bands) -> tuple[int, Cells]:
    """The layout's line for a grid's least cells: a band of outside clues is as a row more."""
    own = sheet.layout.cell_rule(size)
    larger = size + max((room.left > 0) + (room.right > 0), (room.top > 0) + (room.bottom > 0))
    return own if larger > sheet.layout.cells[-1].up_to else sheet.layout.cell_rule(larger)


def _slot(sheet: Sheet) -> Slot:
    grids = sheet.layout.grids
    return Slot(
        (sheet.measure - (grids.across - 1) * grids.gap_across * MM) / grids.across,
        (sheet.depth - (grids.down - 1) * grids.gap_down * MM) / grids.down,
    )


def _puzzle(draft: Draft, entry: Entry, slot: Slot, x: float, top: float) -> list[Item]:
    sheet, puzzle = draft.sheet, entry.puzzle
    grids = sheet.layout.grids
    said = facts(draft, entry, slot.width * 0.9, together=True).height if puzzle.intro else 0.0
    cell, shapes = cell_size(sheet, entry, said), shapes_of(puzzle)
    room = bands(shapes, puzzle.size)
    # Caption and notes keep to the grid's own left edge; a band of clues stands out from it.
    x, slot = x + room.left * cell, Slot(slot.width - room.left * cell, slot.height)
    wide = cell * (puzzle.size + room.right)
    band_top = top - grids.caption * MM
    grid_top = band_top - room.top * cell
    items = _caption(sheet, entry, slot, wide, x, band_top)
    place = Place(x, grid_top, cell, puzzle.size)
    drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes)
    fields = empty_cells(place, puzzle.clues) if draft.edition.fields else ()
    items.append(Table(puzzle.size, summary(entry, "Puzzle"), tuple(drawn), entry.number, fields))
    high = cell * (puzzle.size + room.down)
    if grids.notes == "beside":
        across = grids.notes_room * MM
        height = slot.height - grids.caption * MM
        notes = column_notes(draft, entry, across, min(height, max(high, 70 * MM)))
        return items + notes.draw(x + slot.width - across, band_top)
    below = 5 * MM if slot.width >= _WIDE else 2.8 * MM
    left = slot.height - grids.caption * MM - high - below
    arrange = wide_notes if slot.width >= _WIDE else narrow_notes
    measure = _caption_end(sheet, slot, wide)
    return items + arrange(draft, entry, measure, left).draw(x, band_top - high - below)


def _caption(
    sheet: Sheet, entry: Entry, slot: Slot, side: float, x: float, grid_top: float
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
    baseline = grid_top + max(6.0, sheet.type.title * 0.42)
    title_x = x + width(number, strong, size) + ratio * size
    tag = Tag("H2")
    items: list[Item] = [
        Mark(f"puzzle-{entry.number}", x, baseline + sheet.type.title * 1.2),
        Text(x, baseline, number, strong, size, tag=tag),
        Text(title_x, baseline, title, face, size, tag=tag),
    ]
    if _grade_above(sheet, slot):
        wide = graded_width(sheet, entry.grade, sheet.type.label)
        items += graded(sheet, x + ends - wide, baseline, entry.grade, sheet.type.label)
    return items


def _caption_end(sheet: Sheet, slot: Slot, side: float) -> float:
    """How far a caption may reach: over its own grid, if that is not too small."""
    if sheet.layout.grids.notes == "beside":
        return slot.width
    return max(side, slot.width * 0.75) if slot.width >= _WIDE else slot.width


def _grade_above(sheet: Sheet, slot: Slot) -> bool:
    return sheet.layout.grids.notes == "below" and slot.width >= _WIDE
