"""Primer: the techniques that the pack turns on, each with a worked example."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.book.book import Book, Lesson
from packbuilder.plaintext.hint_list import position
from packbuilder.plaintext.lines import TOPIC, Line, Section, apart, heading, item, own, paragraph

_LEAD = "What the puzzles of this pack turn on, each idea with an example from outside the pack."


def sections(book: Book) -> list[Section]:
    """The section, where the book has lessons."""
    if not book.lessons:
        return []
    return [Section("Primer", (paragraph(_LEAD), *(_lesson(one) for one in book.lessons)))]


def _lesson(lesson: Lesson) -> list[Line]:
    name = own(lesson.name, "pack: ladder")
    parts = [
        heading(TOPIC, name),
        [f"Grade {lesson.rung}"],
        paragraph(lesson.about),
        *_idea(lesson),
    ]
    return apart([*parts, *_example(lesson)])


def _idea(lesson: Lesson) -> Iterator[list[str]]:
    """How to look for it, step by step; the idea, where there are no such steps."""
    if not lesson.look:
        yield paragraph(lesson.idea)
        return
    steps = [item(str(k), text.split()) for k, text in enumerate(lesson.look, start=1)]
    yield ["How to look for it:", *(line for lines in steps for line in lines)]


def _example(lesson: Lesson) -> Iterator[list[Line]]:
    """The grid before the step, and the step from where to look to what follows."""
    hint, then = lesson.hint, lesson.then
    if hint is None or lesson.geometry is None:
        return
    yield ["Example:"]
    yield position(hint, lesson.geometry)
    told = (hint.where, *lesson.seen, hint.told, *((then.told,) if then else ()))
    for words in told:
        yield [*paragraph(words)]
