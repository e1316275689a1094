"""What the book has for an item of the print, by the item's caption."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from packbuilder.book import Book, Entry
from packbuilder.grid import Values, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.puzzle import Puzzle
from packbuilder.readback.lessons import answer_of, example_of
from packbuilder.readback.report import Fault, Finding
from packbuilder.reader.pages import SeenGrid, SeenItem
from packbuilder.reader.text import ANSWERS, PRIMER, TIERS
from packbuilder.rules.shapes import Corner


@dataclass(frozen=True)
class Match:
    """An item of the print with what the book has for it: its entry and, for a hint, the hint."""

    item: SeenItem
    entry: Entry
    hint: Hint | None = None

    @property
    def grid(self) -> SeenGrid | None:
        """Its grid, if that is of the puzzle's size."""
        grid = self.item.grid
        return grid if grid and grid.lattice.size == self.entry.puzzle.size else None

    @property
    def values(self) -> Values:
        """The digits that its grid must show, 0 for a cell without one."""
        if self.hint is not None:
            return self.hint.pictured
        is_answer = self.item.section == ANSWERS
        return self.entry.solution if is_answer else self.entry.puzzle.clues

    def finding(self, code: str, message: str, cells: Iterable[int] = ()) -> Finding:
        """Something that is wrong with it."""
        puzzle = self.entry.puzzle
        names = tuple(cell_name(c, puzzle.size) for c in cells)
        return Finding(code, message, self.item.page, names, self.item.number, puzzle.id)

    def findings(self, faults: Iterable[Fault]) -> Iterator[Finding]:
        """What a check of its grid found, with its page and puzzle."""
        return (self.finding(*fault) for fault in faults)


def match(book: Book, item: SeenItem) -> Match | None:
    """What an item is, by its caption; None where the book has none.

    The grids of the primer are known by their digits, and by the numbers of their frames.
    """
    if item.section == PRIMER:
        example = example_of(book, item)
        return example and Match(item, *example)
    if item.number is None and item.section == ANSWERS:
        tried = answer_of(book, item)
        return Match(item, tried) if tried else None
    entry = next((e for e in book.entries if e.number == item.number), None)
    if entry is None:
        return None
    part = item.part or 1
    if item.section not in TIERS:
        return Match(item, entry)
    return Match(item, entry, entry.hints[part - 1]) if part <= len(entry.hints) else None


def has_corners(puzzle: Puzzle) -> bool:
    """Whether rules of a puzzle write in the corners of its cells."""
    return any(isinstance(s, Corner) for part in puzzle.rules for s in part.shapes())
