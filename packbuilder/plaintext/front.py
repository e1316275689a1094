"""The front of the file: title, how to use the file, contents, foreword."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packbuilder.book.book import Book, Entry
from packbuilder.book.cover import count_told, cover_picture, grades_told
from packbuilder.book.how_to_play import has_hints
from packbuilder.book.wording import month_name
from packbuilder.plaintext.facts import (
    answer_head,
    hint_head,
    puzzle_head,
    setter_of,
    title_of,
)
from packbuilder.plaintext.words import own, said
from packbuilder.plan.outline import (
    ANSWER,
    HINT,
    PUZZLE,
    SECTION,
    TOPIC,
    Block,
    Head,
    Node,
    Paragraph,
    To,
)


def title(book: Book) -> tuple[Block, ...]:
    """The head of the file: title, issue, how many puzzles and how hard, byline, theme, cover."""
    pack = book.pack
    parts = [
        own(pack.title, "pack: title"),
        own(month_name(pack.issue), "pack: issue"),
        f"{count_told(book)}, {grades_told(book)}",
        f"By {own(pack.byline, 'pack: byline')}",
        own(pack.theme, "pack: theme"),
    ]
    return (*(said(part) for part in parts if part), *_cover(book))


def _cover(book: Book) -> Iterator[Paragraph]:
    """The cover's picture in words, and its riddle."""
    if picture := cover_picture(book):
        yield said("The cover has a picture.", own(picture.about, "pack: cover: about"))
        if picture.signs:
            rows = (f"row {k}: {' '.join(row)}" for k, row in enumerate(picture.rows, start=1))
            yield said(_SIGNS[picture.design], *rows)
        yield said(own(picture.riddle, "pack: cover: riddle"))


_SIGNS = {
    "discs": "Here each disc is its digit, and the open one a question mark:",
    "clues": "Here each clue is an x, and the open square a question mark:",
    "technique": "Here are the puzzle's clues, and the cells of the picture as question marks:",
}


def sections(book: Book, others: list[Head]) -> Iterator[Node]:
    """How to use the file, contents, and the foreword where there is one.

    ``others`` are the headings of all later sections but the last.
    """
    yield Node(SECTION, "How to use this file", tuple(_use(book)))
    foreword = [own(part, "pack: foreword") for part in _parted(book.pack.foreword)]
    if foreword:
        others = [(SECTION, "Foreword"), *others]
    leads = said(*(To(f"{head[1]}: line {{}}", (head,)) for head in others))
    yield Node(SECTION, "Contents", (leads, *(_entry(entry) for entry in book.entries)))
    if foreword:
        byline = own(book.pack.byline, "pack: byline")
        yield Node(SECTION, "Foreword", tuple(said(part) for part in (*foreword, byline)))


def _parted(text: str) -> list[str]:
    """A text's paragraphs, which blank lines part."""
    return [part for part in re.split(r"\n\s*\n", text) if part.strip()]


def _use(book: Book) -> Iterator[Paragraph]:
    sizes = [entry.puzzle.size for entry in book.entries]
    yield said(
        "This is the whole pack as plain text, for screen readers and braille displays. No line is "
        "longer than 40 signs, the line of a braille page, but for web addresses. Answers stand "
        "after everything else, so reading on never tells one."
    )
    yield said(
        "Every heading begins with two signs and a blank. Search for them to go from heading to "
        "heading."
    )
    marks = [f"Section: {SECTION}", f"Topic in a section: {TOPIC}", f"Puzzle: {PUZZLE}"]
    marks += [f"Hint: {HINT}"] if has_hints(book) else []
    yield said(*marks, f"Answer: {ANSWER}")
    example = "To find puzzle 7, search for two number signs, a blank, 7 and a colon. "
    if has_hints(book):
        example += (
            "Its hints have question marks in place of number signs; search again to go from the "
            "first hint to the second and the third. Where a puzzle has several hints, they are "
            "numbered 7.1, 7.2 and so on, and all that end in 1 stand before those that end in 2: "
            "reading on does not tell the next hint of the same puzzle. "
        )
    yield said(f"{example}Its answer has exclamation marks.")
    yield said(
        "Where a line number is given, it is a line of this file. Lines are counted from 1, and "
        "blank lines count."
    )
    yield said(
        "A grid has one row to a line. First comes the name of the row, r1 and so on, then its "
        "cells, with a blank between them. An empty cell is a full stop. Blocks are set apart by "
        "two blanks, and a blank line stands between blocks one below the other. "
        + ("Digits past 9 are capital letters: A is 10, B is 11. " if max(sizes) > 9 else "")
        + "A cell goes by its row and its column: r4c7 is in row 4, column 7."
    )
    yield said(
        "With speech, let the screen reader speak all punctuation, or the empty cells are not "
        "heard. On a braille display, choose eight-dot computer braille: then each sign takes one "
        "cell, and the columns of a grid stand below one another."
    )


def _entry(entry: Entry) -> Paragraph:
    words, heads = "Line {}", [puzzle_head(entry)]
    if entry.hints:
        words += "; hints {}"
        heads.append(hint_head(entry, 0, 0))
    return said(
        f"{entry.number}: {title_of(entry.puzzle)}",
        f"Grade {entry.grade}, set by {setter_of(entry.puzzle)}",
        To(f"{words}; answer {{}}", (*heads, answer_head(entry))),
    )
