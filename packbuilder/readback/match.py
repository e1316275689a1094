"""What the book has for an item of the print, by the item's caption."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packbuilder.book.book import Book, Entry
from packbuilder.grid import Values, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.puzzle import Puzzle
from packbuilder.readback.primer import example_of
from packbuilder.readback.report import Fault, Finding
from packbuilder.readback.sections import ANSWERS, PRIMER, TIERS
from packbuilder.readback.survey import Item
from packbuilder.rules.shapes import Corner


def due(book: Book, item: Item) -> tuple[Entry, Hint | None] | None:
    """The entry (and the hint) that an item is; None where the book has none.

    Its caption says so, but for the examples of the primer, which are known by their digits.
    """
    if item.section == PRIMER:
        return example_of(book, item)
    for entry in book.entries:
        if entry.number == item.number:
            if item.section != TIERS[2]:
                return entry, None
            part = item.part or 1
            return (entry, entry.hints[part - 1]) if part <= len(entry.hints) else None
    return None


def values_due(item: Item, entry: Entry, hint: Hint | None) -> Values:
    """The digits that an item's grid must show, 0 for a cell without one."""
    if hint is not None:
        return hint.position
    return entry.solution if item.section == ANSWERS else entry.puzzle.clues


def findings_of(item: Item, entry: Entry, faults: Iterable[Fault]) -> Iterator[Finding]:
    """What a check of one grid found, with the grid's page and puzzle."""
    size = entry.puzzle.size
    for fault in faults:
        cells = tuple(cell_name(c, size) for c in fault.cells)
        yield Finding(fault.code, fault.message, item.page, cells, item.number, entry.puzzle.id)


def has_corners(puzzle: Puzzle) -> bool:
    """Whether rules of a puzzle write in the corners of its cells."""
    return any(isinstance(s, Corner) for part in puzzle.rules for s in part.shapes())
