"""Facts of a puzzle in print: the shapes and names of its rules, and what is promised of it."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.pages.prose import NO_BREAK
from packbuilder.puzzle import Puzzle
from packbuilder.rules.shapes import Corner, Outside, Shape


def shapes_of(puzzle: Puzzle) -> tuple[Shape, ...]:
    """How all its rules look, in the order of its parts."""
    return tuple(shape for part in puzzle.rules for shape in part.shapes())


def summary(entry: Entry, what: str, *, whole: bool = False) -> str:
    """What a grid is, in words, for those who do not see it: its kind, and its rules' parts.

    The ``whole`` of it tells every clue and every region cell by cell, as the text edition does.
    """
    puzzle = entry.puzzle
    parts = "; ".join(part.name(puzzle.size) for part in puzzle.rules)
    told = [f"{what} {entry.number}: {puzzle.geometry.name()}."]
    if parts:
        told.append(f"Rules: {parts}.")
    if whole:
        told += _cell_by_cell(puzzle)
    return " ".join(told)


def _cell_by_cell(puzzle: Puzzle) -> Iterator[str]:
    from packbuilder.plaintext.rows import region_rows  # late: most puzzles need neither
    from packbuilder.plaintext.rule_topics import puzzle_rules, rule_clues

    if puzzle.geometry.regions and not puzzle.geometry.shape:
        rows = [row for row in region_rows(puzzle.geometry) if row]
        yield f"Regions, a letter each: {'; '.join(rows)}."
    for kind, parts in puzzle_rules(puzzle.rule_names, puzzle.rules):
        clues = ""
        for line in rule_clues(kind, parts, puzzle.geometry):
            begins = ":" in line or (line[:1] == "r" and "  " in line)  # else it goes on
            clues += f"{'; ' if clues and begins else ' '}{line.strip()}"
        if clues:
            yield f"{kind.title}:{clues}."


def small_shapes_of(puzzle: Puzzle) -> tuple[Shape, ...]:
    """The shapes that can still be read on an answer page: all but those that are text."""
    return tuple(s for s in shapes_of(puzzle) if not isinstance(s, Corner | Outside))


def rule_line(puzzle: Puzzle) -> str:
    """``Rules: Thermometers, Little sums``; no line is broken inside a title."""
    titles = [rules.kinds()[slug].title.replace(" ", NO_BREAK) for slug in puzzle.rule_names]
    return f"Rules: {', '.join(titles)}" if titles else ""
