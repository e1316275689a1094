"""Facts of a puzzle in print: the shapes and names of its rules, and what is promised of it."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.book.wording import (
    ENTRY_LETTERS,
    entry_cells,
    in_a_line,
    region_letters,
    rows_in_a_line,
    rule_titles,
    small,
)
from packbuilder.pages.prose import NO_BREAK
from packbuilder.puzzle import Puzzle
from packbuilder.rules.shapes import Corner, Shape


def shapes_of(puzzle: Puzzle) -> tuple[Shape, ...]:
    """How all its rules look, in the order of its parts."""
    return tuple(shape for part in puzzle.rules for shape in part.shapes())


def named(entry: Entry) -> str:
    """What an entry goes by: its number; a grid of the primer, which has none, by its technique."""
    return str(entry.number) if entry.number else f"to try, {small(entry.puzzle.title)}"


def summary(entry: Entry, what: str, *, whole: bool = False) -> str:
    """What a grid is, in words, for those who do not see it: its kind, and its rules' parts.

    The ``whole`` of it tells every clue and every region cell by cell, as the text edition does.
    """
    puzzle = entry.puzzle
    parts = "; ".join(part.name(puzzle.size) for part in puzzle.rules)
    told = [f"{what} {named(entry)}: {puzzle.geometry.name()}."]
    if parts:
        told.append(f"Rules: {parts}.")
    if whole:
        told += _cell_by_cell(puzzle)
        if letters := entry_cells(entry):
            told.append(f"{ENTRY_LETTERS}: {'; '.join(letters)}.")
    return " ".join(told)


def _cell_by_cell(puzzle: Puzzle) -> Iterator[str]:
    geometry = puzzle.geometry
    if letters := region_letters(geometry):
        yield f"Regions, a letter each: {rows_in_a_line(letters, geometry.size)}."
    for kind in (rules.kinds()[slug] for slug in dict.fromkeys(puzzle.rule_names)):
        if told := kind.write(rules.parts_of(kind, puzzle.rules), geometry):
            yield f"{kind.title}: {in_a_line(told, geometry.size)}."


def small_shapes_of(puzzle: Puzzle) -> tuple[Shape, ...]:
    """The shapes that can still be read on an answer page: all but text in corners of cells."""
    return tuple(s for s in shapes_of(puzzle) if not isinstance(s, Corner))


def rule_line(puzzle: Puzzle) -> str:
    """``Rules: Thermometers, Little sums``; no line is broken inside a title."""
    titles = [title.replace(" ", NO_BREAK) for title in rule_titles(puzzle)]
    return f"Rules: {', '.join(titles)}" if titles else ""
