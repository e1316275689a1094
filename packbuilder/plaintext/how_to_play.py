"""How to play: the rules of each kind of grid, each rule of the pack, and the words of hints."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from packbuilder import rules
from packbuilder.book.book import Book
from packbuilder.book.wording import promises, technique_names, technique_rows
from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.plaintext.facts import (
    has_hints,
    kind_of_grid,
    puzzles_told,
)
from packbuilder.plaintext.lines import TOPIC, Line, Section, apart, heading, own, paragraph
from packbuilder.plaintext.rule_topics import rule_words


def section(book: Book) -> Section:
    """The whole section."""
    lead = paragraph("Every puzzle has exactly one solution, and pure reasoning finds it.")
    return Section(
        "How to play",
        (
            lead,
            *_kinds(book),
            *_rules(book),
            _names(book),
            _topic("Grades", _GRADES),
            *_promises(book),
            *_hints(book),
            *_ideas(book),
            *_resting(book),
        ),
    )


_GRADES = (
    "A grade is the hardest step that the easiest way through a puzzle asks for. Grade 1 is seen "
    "at a glance; grade 7 is the highest. A puzzle beyond these grades asks for more than the "
    "ideas that are named in this pack."
)


def _topic(name: str, *paragraphs: str) -> list[Line]:
    return apart([heading(TOPIC, name), *(paragraph(text) for text in paragraphs if text)])


def _kinds(book: Book) -> Iterator[list[Line]]:
    """Each kind of grid with its puzzles, in order of first appearance."""
    found: dict[str, tuple[Geometry, list[int]]] = {}
    for entry in book.entries:
        geometry = entry.puzzle.geometry
        found.setdefault(kind_of_grid(geometry), (geometry, []))[1].append(entry.number)
    for name, (geometry, numbers) in found.items():
        yield _topic(f"Grids {name}", f"{puzzles_told(numbers)}.", _rule_of(geometry))


def _rule_of(geometry: Geometry) -> str:
    n = geometry.size
    digits = f"a digit from 1 to {n}"
    each = "each of them once"
    if n > 9:
        digits = f"a digit from 1 to 9 or a letter from A to {SYMBOLS[n]}"
        each = f"all {n} of them once"
    if geometry.shape:
        high, wide = geometry.shape
        houses = (
            f"every row, every column and every block of {high} rows and {wide} columns holds "
            f"{each}"
        )
    elif geometry.regions is None:
        houses = f"every row and every column holds {each}"
    else:
        houses = f"every row, every column and every region holds {each}"
    words = f"Write {digits} in each empty cell, so that {houses}."
    if geometry.regions is None:
        words += " There are no blocks: cells that touch only at a corner may hold the same digit."
    elif not geometry.shape:
        words += (
            " The regions stand below the grid as a picture of small letters: the cells with one "
            "letter are a region."
        )
    return words


def _rules(book: Book) -> Iterator[list[Line]]:
    """Each rule in order of first appearance; each wording, where puzzles differ in it."""
    worded: dict[str, dict[str, list[int]]] = {}
    for entry in book.entries:
        puzzle = entry.puzzle
        for slug in dict.fromkeys(puzzle.rule_names):
            kind = rules.kinds()[slug]
            words = rule_words(kind, rules.parts_of(kind, puzzle.rules), puzzle.geometry)
            worded.setdefault(slug, {}).setdefault(words, []).append(entry.number)
    for slug, found in worded.items():
        parts = [(f"{puzzles_told(numbers)}.", words) for words, numbers in found.items()]
        yield _topic(rules.kinds()[slug].title, *chain.from_iterable(parts))


def _names(book: Book) -> list[Line]:
    words = "A cell goes by its row and its column, counted from the top left: r4c7."
    geometries = [entry.puzzle.geometry for entry in book.entries]
    if any(geometry.shape for geometry in geometries):
        words += " Blocks are counted like words on a page: block 1 is at the top left."
    if any(geometry.regions and not geometry.shape for geometry in geometries):
        words += " A region goes by its first cell: the region of r1c1."
    words += (
        " A house is a row, a column or any other set of cells that may not repeat a digit; the "
        "candidates of a cell are the digits that it may still hold."
    )
    return _topic("Names", words)


def _promises(book: Book) -> Iterator[list[Line]]:
    """What the lines of a puzzle promise, where any puzzle has them."""
    made = [line for entry in book.entries for line in promises(entry, book.pack)]
    told = []
    if any(line.startswith("Turns on") for line in made):
        told.append(
            "Turns on: easier ideas alone do not finish the puzzle; with the one that is named "
            "there they do."
        )
    if any(line.startswith("No notes") for line in made):
        told.append(
            "No notes: you can solve it without writing anything but the digits, if you keep so "
            "many facts in mind at one time; a fact is where a digit can go in a house, or which "
            "digits some cells share."
        )
    if told:
        yield _topic("Promises", *told)


def _hints(book: Book) -> Iterator[list[Line]]:
    if has_hints(book):
        yield _topic(
            "Hints",
            "Stuck? The first hint says where to look, the second which idea will help, the third "
            "tells the step and gives the grid as it stands just before. Each kind has a section "
            "of its own, so that you hear no more than you want; line numbers lead from one to the "
            "next.",
        )


def _ideas(book: Book) -> Iterator[list[Line]]:
    """The techniques of the pack's hints, easiest first."""
    used = {(h.step.technique, h.step.rung) for entry in book.entries for h in entry.hints}
    found = [row for row in technique_rows(book.pack) if (row.slug, row.rung) in used]
    told = []
    for row in found:
        twice = sum(other.slug == row.slug for other in found) > 1 and row.rung > 1
        name = f"{row.name}, in a line" if twice else row.name
        told.append(f"{own(name, 'pack: ladder')} (grade {row.rung}): {row.about}")
    if told:
        yield _topic("Ideas in the hints", *told)


def _resting(book: Book) -> Iterator[list[Line]]:
    """The techniques on the pack's paths that take a puzzle to have one solution."""
    from packbuilder.ladder.table import UNIQUENESS  # late: it loads every technique

    resting = {technique.slug for technique in UNIQUENESS}
    found: dict[str, list[int]] = {}
    for entry in book.entries:
        slugs = {slug for slug, _ in entry.techniques} | {h.step.technique for h in entry.hints}
        for slug in sorted(slugs & resting):
            found.setdefault(slug, []).append(entry.number)
    if found:
        names = technique_names(book.pack)
        told = "; ".join(
            f"{names.get(slug, slug)} ({puzzles_told(numbers).lower()})"
            for slug, numbers in found.items()
        )
        yield _topic(
            "Uniqueness",
            f"These ideas rest on the puzzle having one solution: {told}. That each puzzle has "
            "just one was proved without them.",
        )
