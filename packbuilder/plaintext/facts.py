"""Facts of a puzzle in words: its kind of grid, its grade, what is promised of it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import numerals
from packbuilder.grid import Geometry
from packbuilder.plaintext.lines import field_of, own
from packbuilder.puzzle import Grade, Puzzle

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip


def month_of(issue: str) -> str:
    """``December 2026`` for ``2026-12``; other texts stay as they are."""
    found = re.fullmatch(r"(\d{4})-(0[1-9]|1[0-2])", issue.strip())
    return f"{MONTHS[int(found[2]) - 1]} {found[1]}" if found else issue


def title_of(puzzle: Puzzle) -> str:
    """Its title, as printed."""
    return own(puzzle.title, field_of(puzzle, "title"))


def setter_of(puzzle: Puzzle) -> str:
    """Its setter, as printed."""
    return own(puzzle.setter, field_of(puzzle, "setter"))


def grade_in_words(grade: Grade) -> str:
    """``Grade 3``; ``Grade beyond`` for a puzzle that the ladder cannot finish."""
    return f"Grade {grade}"


def kind_of_grid(geometry: Geometry) -> str:
    """``9 by 9; blocks 3 rows, 3 columns``."""
    n = geometry.size
    if geometry.shape:
        return f"{n} by {n}; blocks {geometry.shape[0]} rows, {geometry.shape[1]} columns"
    if geometry.regions is None:
        return f"{n} by {n}; no blocks"
    return f"{n} by {n}; irregular regions"


def rule_titles(puzzle: Puzzle) -> list[str]:
    """The titles of its rules, in the manifest's order."""
    return [rules.kinds()[slug].title for slug in puzzle.rule_names]


def puzzles_told(numbers: Iterable[int]) -> str:
    """``Puzzle 3``; ``Puzzles 1, 2, 5 to 7``."""
    told = numerals(numbers, to=" to ")
    return f"{'Puzzle' if told.isdecimal() else 'Puzzles'} {told}"


def hint_number(entry: Entry, k: int) -> str:
    """``12``, or ``12.2`` where the puzzle has several hints."""
    return f"{entry.number}.{k + 1}" if len(entry.hints) > 1 else str(entry.number)


def has_hints(book: Book) -> bool:
    """Whether any puzzle has a hint."""
    return any(entry.hints for entry in book.entries)


def puzzle_place(entry: Entry) -> str:
    """The place of a puzzle, for references."""
    return f"puzzle {entry.number}"


def hint_place(entry: Entry, k: int, tier: int) -> str:
    """The place of a hint in one of the three tiers (from 1)."""
    return f"hint {hint_number(entry, k)} tier {tier}"


def answer_place(entry: Entry) -> str:
    """The place of an answer."""
    return f"answer {entry.number}"
