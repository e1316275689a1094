"""The front of the file: title, how to use the file, contents, foreword."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packbuilder.book.book import Book, Entry
from packbuilder.plaintext.facts import (
    answer_place,
    grade_in_words,
    has_hints,
    hint_place,
    month_of,
    puzzle_place,
    setter_of,
    title_of,
)
from packbuilder.plaintext.lines import (
    ANSWER,
    HINT,
    PUZZLE,
    SECTION,
    TOPIC,
    Line,
    Section,
    To,
    apart,
    own,
    paragraph,
    place_of,
)


def title(book: Book) -> list[Line]:
    """The head of the file: title, issue, how many puzzles, theme, byline."""
    pack, count = book.pack, len(book.entries)
    parts = [
        own(pack.title, "pack: title"),
        own(month_of(pack.issue), "pack: issue"),
        f"{count} puzzles" if count != 1 else "1 puzzle",
        own(pack.theme, "pack: theme"),
        f"By {own(pack.byline, 'pack: byline')}",
    ]
    return apart([paragraph(part) for part in parts if part])


def sections(book: Book) -> list[Section]:
    """How to use the file, contents, and the foreword where there is one."""
    found = [Section("How to use this file", tuple(map(_fill, _use(book)))), _contents(book)]
    if said := [own(part, "pack: foreword") for part in parted(book.pack.foreword)]:
        byline = own(book.pack.byline, "pack: byline")
        found.append(Section("Foreword", tuple(paragraph(part) for part in (*said, byline))))
    return found


def parted(text: str) -> list[str]:
    """A text's paragraphs, which blank lines part."""
    return [part for part in re.split(r"\n\s*\n", text) if part.strip()]


def _fill(lines: Sequence[str]) -> list[str]:
    return [part for line in lines for part in paragraph(line)]


def _use(book: Book) -> Iterator[list[str]]:
    """Paragraphs, each of lines that may be broken again."""
    sizes = [entry.puzzle.size for entry in book.entries]
    yield [
        "This is the whole pack as plain text, for screen readers and braille displays. No line is "
        "longer than 40 signs, the line of a braille page, but for web addresses. Answers stand "
        "after everything else, so reading on never tells one."
    ]
    yield [
        "Every heading begins with two signs and a blank. Search for them to go from heading to "
        "heading."
    ]
    marks = [f"Section: {SECTION}", f"Topic in a section: {TOPIC}", f"Puzzle: {PUZZLE}"]
    marks += [f"Hint: {HINT}"] if has_hints(book) else []
    yield [*marks, f"Answer: {ANSWER}"]
    example = "To find puzzle 7, search for two number signs, a blank, 7 and a colon. "
    if has_hints(book):
        example += (
            "Its hints have question marks in place of number signs; search again to go from the "
            "first hint to the second and the third. Where a puzzle has several hints, they are "
            "numbered 7.1, 7.2 and so on. "
        )
    yield [f"{example}Its answer has exclamation marks."]
    yield [
        "Where a line number is given, it is a line of this file. Lines are counted from 1, and "
        "blank lines count."
    ]
    yield [
        "A grid has one row to a line. First comes the name of the row, r1 and so on, then its "
        "cells, with a blank between them. An empty cell is a full stop. Blocks are set apart by "
        "two blanks, and a blank line stands between blocks one below the other. "
        + ("Digits past 9 are capital letters: A is 10, B is 11. " if max(sizes) > 9 else "")
        + "A cell goes by its row and its column: r4c7 is in row 4, column 7."
    ]
    yield [
        "With speech, let the screen reader speak all punctuation, or the empty cells are not "
        "heard. On a braille display, choose eight-dot computer braille: then each sign takes one "
        "cell, and the columns of a grid stand below one another."
    ]


def _contents(book: Book) -> Section:
    others: list[Line] = [To(f"{name}: line {{}}", (place_of(name),)) for name in _others(book)]
    return Section("Contents", (others, *(_entry(entry) for entry in book.entries)))


def _others(book: Book) -> list[str]:
    """The other sections that the book has."""
    wanted = {
        "Foreword": bool(book.pack.foreword.strip()),
        "How to play": True,
        "Primer": bool(book.lessons),
        "Puzzles": True,
        "First hints": has_hints(book),
        "Second hints": has_hints(book),
        "Third hints": has_hints(book),
        "Answers": True,
        "Credits": True,
    }
    return [name for name, there in wanted.items() if there]


def _entry(entry: Entry) -> list[Line]:
    puzzle = entry.puzzle
    head = f"{entry.number}: {title_of(puzzle)}"
    said = f"{grade_in_words(entry.grade)}, set by {setter_of(puzzle)}"
    words, places = "Line {}", [puzzle_place(entry)]
    if entry.hints:
        words += "; hints {}"
        places.append(hint_place(entry, 0, 1))
    leads = To(f"{words}; answer {{}}", (*places, answer_place(entry)))
    return [*paragraph(head), *paragraph(said), leads]
