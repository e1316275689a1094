"""Puzzles: what is said of each, its grid, its regions and the clues of its rules in words."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import promises
from packbuilder.plaintext.facts import (
    answer_place,
    grade_in_words,
    hint_place,
    kind_of_grid,
    puzzle_place,
    rule_titles,
    setter_of,
    title_of,
)
from packbuilder.plaintext.lines import (
    PUZZLE,
    TOPIC,
    At,
    Line,
    Section,
    To,
    apart,
    field_of,
    heading,
    own,
    paragraph,
)
from packbuilder.plaintext.rows import grid_rows, region_rows
from packbuilder.plaintext.rule_topics import puzzle_rules, rule_clues, rule_words
from packbuilder.puzzle import Puzzle
from packbuilder.text import tidy


def section(book: Book) -> Section:
    """All puzzles, in printing order."""
    return Section("Puzzles", tuple(_puzzle(entry, book) for entry in book.entries))


def _puzzle(entry: Entry, book: Book) -> list[Line]:
    puzzle = entry.puzzle
    title = f"{entry.number}: {title_of(puzzle)}"
    head: list[Line] = [At(puzzle_place(entry)), *heading(PUZZLE, title)]
    return apart(
        [
            head,
            _facts(entry, book),
            *_said(entry),
            *_grid(puzzle),
            *_rules(entry),
            _leads(entry),
        ]
    )


def _facts(entry: Entry, book: Book) -> list[str]:
    """A line or more each: setter, kind of grid, grade, rules, promises."""
    puzzle = entry.puzzle
    facts = [
        f"Set by {setter_of(puzzle)}",
        f"Size {kind_of_grid(puzzle.geometry)}",
        grade_in_words(entry.grade),
    ]
    if titles := rule_titles(puzzle):
        facts.append(f"Rules: {', '.join(titles)}")
    facts += promises(entry, book.pack)
    return [line for fact in facts for line in paragraph(fact)]


def _said(entry: Entry) -> Iterator[list[str]]:
    puzzle = entry.puzzle
    if puzzle.intro:
        yield paragraph(own(puzzle.intro, field_of(puzzle, "intro")))
    if puzzle.link:
        yield ["Link:", tidy(puzzle.link)]


def _grid(puzzle: Puzzle) -> Iterator[list[str]]:
    yield heading(TOPIC, "Grid")
    if not any(puzzle.clues):
        yield ["The grid is empty."]
    yield grid_rows(puzzle.clues, puzzle.geometry)
    if puzzle.geometry.regions and not puzzle.geometry.shape:
        yield heading(TOPIC, "Regions")
        yield region_rows(puzzle.geometry)


def _rules(entry: Entry) -> Iterator[list[Line]]:
    puzzle = entry.puzzle
    for kind, parts in puzzle_rules(puzzle.rule_names, puzzle.rules):
        words = rule_words(kind, parts, puzzle.geometry)
        clues = rule_clues(kind, parts, puzzle.geometry)
        yield apart([heading(TOPIC, kind.title), paragraph(words), clues])


def _leads(entry: Entry) -> list[Line]:
    """Where hints and answer are, under a heading that ends the clues."""
    leads: list[Line] = [*heading(TOPIC, "From here"), ""]
    if entry.hints:
        leads.append(To("First hint: line {}", (hint_place(entry, 0, 1),)))
    return [*leads, To("Answer: line {}", (answer_place(entry),))]
