"""Puzzles: what is said of each, its grid, its regions and the clues of its rules in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import ENTRY_LETTERS, answered, entry_cells, region_letters
from packbuilder.plaintext.facts import answer_head, facts_of, hint_head, puzzle_head
from packbuilder.plaintext.grids import grid_rows, signs
from packbuilder.plaintext.words import clue_lines, field_of, own, said, tidy
from packbuilder.plan.outline import SECTION, TOPIC, Block, Node, To
from packbuilder.puzzle import Puzzle
from packbuilder.rules.contract import Picture


def section(book: Book) -> Iterator[Node]:
    """All puzzles, in printing order."""
    yield Node(SECTION, "Puzzles")
    for entry in book.entries:
        yield Node(*puzzle_head(entry), tuple(_said(entry, book)))
        yield from _grid(entry.puzzle)
        yield from rules_of(entry.puzzle)
        if letters := entry_cells(entry):
            yield Node(TOPIC, ENTRY_LETTERS, (said(*letters),))
        leads = [To("First hint: line {}", (hint_head(entry, 0, 0),))] if entry.hints else []
        leads.append(To("Answer: line {}", (answer_head(entry),)))
        yield Node(TOPIC, "From here", (said(*leads),))


def _said(entry: Entry, book: Book) -> Iterator[Block]:
    puzzle = entry.puzzle
    yield said(*facts_of(entry, book))
    if puzzle.intro:
        yield said(own(puzzle.intro, field_of(puzzle, "intro")))
    for words in answered(puzzle, book.pack):
        yield said(own(words, field_of(puzzle, "answers")))
    if puzzle.link:
        yield said("Link:", tidy(puzzle.link))


def _grid(puzzle: Puzzle) -> Iterator[Node]:
    empty = () if any(puzzle.clues) else (said("The grid is empty."),)
    yield Node(TOPIC, "Grid", (*empty, grid_rows(puzzle.clues, puzzle.geometry)))
    if letters := region_letters(puzzle.geometry):
        yield Node(TOPIC, "Regions", (signs(letters, puzzle.geometry),))


def rules_of(puzzle: Puzzle) -> Iterator[Node]:
    """Each rule of a puzzle once: what it means, and its clues."""
    geometry = puzzle.geometry
    for kind in (rules.kinds()[slug] for slug in dict.fromkeys(puzzle.rule_names)):
        parts = rules.parts_of(kind, puzzle.rules)
        words = said(kind.wording(parts, geometry.size).said("text"))
        told = kind.write(parts, geometry)
        pictures = [signs(one.letters, geometry) for one in told if isinstance(one, Picture)]
        clues = clue_lines(one for one in told if not isinstance(one, Picture))
        yield Node(TOPIC, kind.title, (words, *_if_any(clues), *pictures))


def _if_any(items: Iterable[str]) -> Iterator[Block]:
    if found := tuple(items):
        yield said(*found)
