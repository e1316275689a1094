"""Primer: the techniques that the pack turns on, each with a worked example."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.book.book import Book, Lesson
from packbuilder.plaintext.hint_list import position
from packbuilder.plaintext.words import item, kept, own, said
from packbuilder.plan.outline import SECTION, TOPIC, Block, Node

_LEAD = "What the puzzles of this pack turn on, each idea with an example from outside the pack."


def sections(book: Book) -> Iterator[Node]:
    """The section, where the book has lessons."""
    if book.lessons:
        yield Node(SECTION, "Primer", (said(_LEAD),))
    for lesson in book.lessons:
        yield Node(TOPIC, kept(own(lesson.name, "pack: ladder")), tuple(_lesson(lesson)))


def _lesson(lesson: Lesson) -> Iterator[Block]:
    """What it is, how to look for it; the grid before the step, from where to look to the end."""
    yield said(f"Grade {lesson.rung}")
    yield said(lesson.about)
    steps = [item(str(k), text.split()) for k, text in enumerate(lesson.look, start=1)]
    yield said("How to look for it:", *steps) if steps else said(lesson.idea)
    if hint := lesson.hint:
        assert lesson.geometry is not None
        yield said("Example:")
        yield from position(hint, lesson.geometry)
        then = (lesson.then.told,) if lesson.then else ()
        yield from (said(words) for words in (hint.where, *lesson.seen, hint.told, *then))
