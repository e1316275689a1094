"""The back of the file: answers, credits, and the end."""

from __future__ import annotations

from packbuilder import __version__
from packbuilder.book.book import Book, Entry
from packbuilder.plaintext.facts import (
    answer_place,
    puzzle_place,
    puzzles_told,
    setter_of,
    title_of,
)
from packbuilder.plaintext.lines import (
    ANSWER,
    TOPIC,
    At,
    Line,
    Section,
    To,
    apart,
    heading,
    own,
    paragraph,
)
from packbuilder.plaintext.rows import grid_rows

_PERMISSION = (
    "Every guest gave permission for the puzzles under their name to be printed in this pack; the "
    "puzzles stay their own."
)
_PROOF = (
    "Every grid in this pack was proved to have exactly one solution by two engines that share no "
    "code, and then read back from this very file, grids, clues and words, to see that what is "
    "written here is what was proved."
)


def answers(book: Book) -> Section:
    """The solved grids."""
    return Section("Answers", tuple(_answer(entry) for entry in book.entries))


def _answer(entry: Entry) -> list[Line]:
    title = f"{entry.number}: answer, {title_of(entry.puzzle)}"
    return apart(
        [
            [At(answer_place(entry)), *heading(ANSWER, title)],
            grid_rows(entry.solution, entry.puzzle.geometry),
            [To("Puzzle: line {}", (puzzle_place(entry),))],
        ]
    )


def credits(book: Book) -> Section:
    """Who set the puzzles, with whose leave, under which licence, and how the file was made."""
    setters: dict[str, list[int]] = {}
    for entry in book.entries:
        setters.setdefault(setter_of(entry.puzzle), []).append(entry.number)
    byline = own(book.pack.byline, "pack: byline")
    named = [
        line
        for setter, numbers in setters.items()
        for line in paragraph(f"{setter}: {puzzles_told(numbers).lower()}")
    ]
    parts = [apart([heading(TOPIC, "Setters"), named])]
    if any(setter != byline for setter in setters):
        parts.append(_topic("Permission", _PERMISSION))
    if licence := own(book.pack.licence, "pack: licence"):
        parts.append(_topic("Licence", licence))
    parts += [_topic("Proof", _PROOF), _topic("Press", f"Made with packbuilder {__version__}.")]
    return Section("Credits", tuple(parts))


def _topic(name: str, text: str) -> list[Line]:
    return apart([heading(TOPIC, name), paragraph(text)])


def end() -> Section:
    """The last line, so that a reader knows that nothing is missing."""
    return Section("End of the file", ())
