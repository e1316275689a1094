"""The primer: its frames and its grids to try, with their answers, against the book's lessons."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import NamedTuple

from packbuilder.book import Book, Entry, Lesson
from packbuilder.ladder.hints import Hint
from packbuilder.readback.report import Finding
from packbuilder.reader.digits import Filled
from packbuilder.reader.pages import SeenItem, SeenPage
from packbuilder.reader.text import ANSWERS, PRIMER, says
from packbuilder.reader.typefaces import is_clue

TRIED = "To try"
"""So begins the caption of the answer to a grid of the primer."""

_ONWARD = {PRIMER: re.compile(r"Answer: page (\d+)"), ANSWERS: re.compile(r"Primer: page (\d+)")}


class Shown(NamedTuple):
    """What is printed of a lesson: in which section, of which puzzle, which frame (0: none)."""

    section: str
    puzzle: str
    part: int


class Where(NamedTuple):
    """The page on which something stands, and the page that it says to go on to."""

    page: int
    onward: int | None


@lru_cache(8)
def examples(lessons: tuple[Lesson, ...]) -> tuple[Entry, ...]:
    """The lessons' examples as entries of a book, each with a hint a frame."""
    return tuple(
        Entry(0, one.example, (), one.rung, one.slug, 0.0, (), tuple(f.hint for f in one.frames))
        for one in lessons
        if one.example
    )


def trials(book: Book) -> Iterator[Entry]:
    """The grids to try."""
    return (lesson.trial for lesson in book.lessons if lesson.trial)


def example_of(book: Book, item: SeenItem) -> tuple[Entry, Hint | None] | None:
    """The lesson's frame that a grid of the primer shows by its number, or the grid to try.

    It is the one from which fewest digits and candidates differ; None where there is none of its
    size.
    """
    if item.grid is None:
        return None
    n, filled, best = item.grid.lattice.size, item.grid.filled, None
    clues, values = clue_values(filled, n), filled.values(n)
    small = {(d.cell, d.value) for d in filled.candidates}
    for entry, hint, part in _grids(book):
        if entry.puzzle.size != n or (item.part and part not in (0, item.part)):
            continue
        wanted = hint.pictured if hint else entry.puzzle.clues
        noted = {(cell, v) for cell, some in hint.shown for v in some} if hint else set()
        off = sum(a != b for a, b in zip(values, wanted, strict=True)) + len(small ^ noted)
        off += sum(a != b for a, b in zip(clues, entry.puzzle.clues, strict=True))
        if best is None or off < best[0]:
            best = (off, entry, hint)
    return best and (best[1], best[2])


def _grids(book: Book) -> Iterator[tuple[Entry, Hint | None, int]]:
    for entry in examples(book.lessons):
        yield from ((entry, hint, k) for k, hint in enumerate(entry.hints, start=1))
    yield from ((entry, None, 0) for entry in trials(book))


def answer_of(book: Book, item: SeenItem) -> Entry | None:
    """The grid to try of which an answer without a number is the solution, by its caption."""
    title = item.text.removeprefix(TRIED).strip()
    named = item.text.startswith(TRIED)
    return next((e for e in trials(book) if named and says(title, e.puzzle.title)), None)


def clue_values(filled: Filled, size: int) -> tuple[int, ...]:
    """The digits of a grid that are set as clues are."""
    found = [0] * (size * size)
    for digit in filled.digits:
        if is_clue(digit.glyph):
            found[digit.cell] = digit.value
    return tuple(found)


def shown_of(
    page: SeenPage, entry: Entry, item: SeenItem, hint: Hint | None
) -> Iterator[tuple[Shown, Where]]:
    """What an item of a lesson is, and where it leads; nothing for an item of another kind."""
    if page.section not in _ONWARD or entry.number:
        return
    here = (run.text for run in page.runs if item.holds(run.x0, run.y))
    found = next((f for text in here if (f := _ONWARD[page.section].search(text))), None)
    part = entry.hints.index(hint) + 1 if hint else 0
    yield (
        Shown(page.section, entry.puzzle.id, part),
        Where(item.page, int(found[1]) if found else None),
    )


def check_lessons(shown: Mapping[Shown, Where], book: Book, page: int | None) -> Iterator[Finding]:
    """Each frame of each lesson is printed, and each grid to try, with its answer and the ways from
    one to the other."""
    for entry in examples(book.lessons):
        for k in range(1, len(entry.hints) + 1):
            if Shown(PRIMER, entry.puzzle.id, k) not in shown:
                yield Finding("lesson", f"frame {k} of {entry.puzzle.title!r} is not printed", page)
    for entry in trials(book):
        title, ways = entry.puzzle.title, [Shown(s, entry.puzzle.id, 0) for s in (PRIMER, ANSWERS)]
        for one, other in (ways, ways[::-1]):
            what = "the grid to try" if one.section == PRIMER else "the answer to the grid to try"
            if one not in shown:
                yield Finding("lesson", f"{what} of {title!r} is not printed", page)
            elif other in shown and shown[one].onward != shown[other].page:
                told = f"{what} of {title!r} does not lead to page {shown[other].page}"
                yield Finding("reference", told, shown[one].page)
