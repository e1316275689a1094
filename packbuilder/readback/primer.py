"""The primer: its example grids against the book's lessons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from packbuilder.book.book import Book, Entry, Lesson
from packbuilder.ladder.hints import Hint
from packbuilder.puzzle import Puzzle
from packbuilder.readback.glyphs import Filled
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import PRIMER, plain
from packbuilder.readback.survey import Item, Leaf
from packbuilder.readback.typefaces import CLUE_FACE

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


def example_of(book: Book, item: Item) -> tuple[Entry, Hint | None] | None:
    """The lesson that a grid of the primer shows: as it is set, or before its step or one step on.

    It is the one from which fewest digits and candidates differ; None where there is none of its
    size.
    """
    if item.lattice is None or item.filled is None:
        return None
    n, best = item.lattice.size, None
    clues, values = clue_values(item.filled, n), item.filled.values(n)
    small = {(d.cell, d.value) for d in item.filled.candidates}
    for entry in examples(book.lessons):
        for hint in (None, *entry.hints) if entry.puzzle.size == n else ():
            wanted = hint.position if hint else entry.puzzle.clues
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


def check_primer(leaves: Sequence[Leaf], items: Sequence[Item], book: Book) -> Iterator[Finding]:
    """Each lesson is named, and its example is printed; each grid has a caption and a lesson."""
    words = plain(" ".join(r.text for x in leaves if x.section == PRIMER for r in x.runs))
    page = next((leaf.number for leaf in leaves if leaf.section == PRIMER), None)
    for lesson in book.lessons:
        if page and plain(lesson.name).casefold() not in words.casefold():
            yield Finding("lesson", f"the primer does not name {lesson.name!r}", page)
    shown = set()
    for item in items:
        if item.section == PRIMER:
            match = example_of(book, item)
            if match is None:
                yield Finding("grid-unknown", "no lesson of the book has this grid", item.page)
            else:
                shown.add(match[0].puzzle.id)
            if not item.text.startswith(LABEL):
                yield Finding(
                    "caption", f"the caption of a primer's grid begins with {LABEL!r}", item.page
                )
    for entry in examples(book.lessons):
        if entry.puzzle.id not in shown:
            yield Finding("lesson", f"the example of {entry.puzzle.title!r} is not printed", page)
