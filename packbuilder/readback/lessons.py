"""The primer: its example grids against the book's lessons."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import lru_cache

from packbuilder.book import Book, Entry, Lesson
from packbuilder.ladder.hints import Hint
from packbuilder.puzzle import Puzzle
from packbuilder.readback.report import Finding
from packbuilder.reader.digits import Filled
from packbuilder.reader.pages import SeenItem
from packbuilder.reader.typefaces import CLUE_FACE

LABEL = "Example"
"""So begins the caption of a grid that belongs to no puzzle."""


@lru_cache(8)
def examples(lessons: tuple[Lesson, ...]) -> tuple[Entry, ...]:
    """The lessons' examples as entries of a book; those that have one."""
    found = []
    for lesson in lessons:
        if lesson.hint is not None and lesson.geometry is not None:
            name = f"primer: {lesson.slug}"
            puzzle = Puzzle(name, lesson.name, "", lesson.geometry, lesson.clues)
            hints = (lesson.hint, *([lesson.then] if lesson.then else []))
            found.append(Entry(0, puzzle, (), lesson.rung, lesson.slug, 0.0, (), hints))
    return tuple(found)


def example_of(book: Book, item: SeenItem) -> tuple[Entry, Hint | None] | None:
    """The lesson that a grid of the primer shows: as it is set, or before its step or one step on.

    It is the one from which fewest digits and candidates differ; None where there is none of its
    size.
    """
    if item.grid is None:
        return None
    n, filled, best = item.grid.lattice.size, item.grid.filled, None
    clues, values = clue_values(filled, n), filled.values(n)
    small = {(d.cell, d.value) for d in filled.candidates}
    for entry in examples(book.lessons):
        for hint in (None, *entry.hints) if entry.puzzle.size == n else ():
            wanted = hint.pictured if hint else entry.puzzle.clues
            noted = {(cell, v) for cell, some in hint.shown for v in some} if hint else set()
            off = sum(a != b for a, b in zip(values, wanted, strict=True)) + len(small ^ noted)
            off += sum(a != b for a, b in zip(clues, entry.puzzle.clues, strict=True))
            if best is None or off < best[0]:
                best = (off, entry, hint)
    return best and (best[1], best[2])


def clue_values(filled: Filled, size: int) -> tuple[int, ...]:
    """The digits of a grid that are set as clues are."""
    found = [0] * (size * size)
    for digit in filled.digits:
        if digit.glyph.face == CLUE_FACE:
            found[digit.cell] = digit.value
    return tuple(found)


def check_lessons(shown: Collection[str], book: Book, page: int | None) -> Iterator[Finding]:
    """Each lesson's example is printed; ``shown`` are the names of those that are."""
    for entry in examples(book.lessons):
        if entry.puzzle.id not in shown:
            yield Finding("lesson", f"the example of {entry.puzzle.title!r} is not printed", page)
