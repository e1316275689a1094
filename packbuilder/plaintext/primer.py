"""Primer: the techniques that the pack turns on, each with a worked example."""

from __future__ import annotations

from packbuilder.book import Book, Lesson
from packbuilder.plaintext.hint_list import position
from packbuilder.plaintext.lines import TOPIC, Line, Section, apart, heading, own, paragraph


def sections(book: Book) -> list[Section]:
    """The section, where the book has lessons."""
    if not book.lessons:
        return []
    lead = "What this pack turns on, with examples that are no puzzles of its own."
    return [Section("Primer", (paragraph(lead), *(_lesson(one) for one in book.lessons)))]


def _lesson(lesson: Lesson) -> list[Line]:
    name = own(lesson.name, "pack: ladder")
    parts: list[list[Line]] = [
        [*heading(TOPIC, name)],
        [*paragraph(f"Grade {lesson.rung}")],
        [*paragraph(lesson.about)],
        [*paragraph(lesson.idea)],
    ]
    if lesson.hint and lesson.geometry:
        told = paragraph(f"Example: {lesson.hint.told}")
        parts += [[*told], position(lesson.hint, lesson.geometry)]
    return apart(parts)
