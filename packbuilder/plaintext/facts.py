"""Facts of a puzzle in words, and the headings of its parts, to which references lead."""

from __future__ import annotations

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import entry_words, promises, small
from packbuilder.grid import Geometry
from packbuilder.plaintext.words import field_of, kept, own
from packbuilder.plan.outline import ANSWER, HINT, PUZZLE, Head
from packbuilder.puzzle import Puzzle

TIERS = ("first", "second", "third")


def title_of(puzzle: Puzzle) -> str:
    """Its title, as printed."""
    return own(puzzle.title, field_of(puzzle, "title"))


def setter_of(puzzle: Puzzle) -> str:
    """Its setter, as printed."""
    return own(puzzle.setter, field_of(puzzle, "setter"))


def kind_of_grid(geometry: Geometry) -> str:
    """``9 by 9; blocks 3 rows, 3 columns``."""
    n = geometry.size
    if geometry.shape:
        return f"{n} by {n}; blocks {geometry.shape[0]} rows, {geometry.shape[1]} columns"
    return f"{n} by {n}; {'no blocks' if geometry.regions is None else 'irregular regions'}"


def facts_of(entry: Entry, book: Book) -> list[str]:
    """Setter, kind of grid, grade, rules, promises."""
    puzzle = entry.puzzle
    titles = [rules.kinds()[slug].title for slug in puzzle.rule_names]
    return [
        f"Set by {setter_of(puzzle)}",
        f"Size {kind_of_grid(puzzle.geometry)}",
        f"Grade {entry.grade}",
        *([f"Rules: {', '.join(titles)}"] if titles else []),
        *([words] if (words := entry_words(entry)) else []),
        *promises(entry, book.pack),
    ]


def puzzle_head(entry: Entry) -> Head:
    """The heading of a puzzle."""
    if not entry.number:
        return PUZZLE, kept(_tried(entry))
    return PUZZLE, kept(f"{entry.number}: {title_of(entry.puzzle)}")


def hint_head(entry: Entry, k: int, tier: int) -> Head:
    """The heading of a hint in one of the three tiers (both from 0)."""
    number = f"{entry.number}.{k + 1}" if len(entry.hints) > 1 else str(entry.number)
    return HINT, kept(f"{number}: {TIERS[tier]} hint, {title_of(entry.puzzle)}")


def answer_head(entry: Entry) -> Head:
    """The heading of an answer."""
    if not entry.number:
        return ANSWER, kept(f"{_tried(entry)}: answer")
    return ANSWER, kept(f"{entry.number}: answer, {title_of(entry.puzzle)}")


def _tried(entry: Entry) -> str:
    """What a grid of the primer goes by, which has no number."""
    return f"To try, {small(title_of(entry.puzzle))}"
