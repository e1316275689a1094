"""Primer: the techniques that the pack turns on, each with a worked example and a grid to try."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder.book.book import Book, Entry, Lesson
from packbuilder.plaintext.facts import answer_head, kind_of_grid, puzzle_head
from packbuilder.plaintext.grids import grid_rows
from packbuilder.plaintext.hint_list import acts_in, called, candidates, links, rests_on
from packbuilder.plaintext.puzzle_list import rules_of
from packbuilder.plaintext.words import item, kept, own, said
from packbuilder.plan.outline import SECTION, TOPIC, Block, Node, To

_LEAD = "What the puzzles of this pack turn on, each idea with an example from outside the pack."


def sections(book: Book) -> Iterator[Node]:
    """The section, where the book has lessons."""
    if book.lessons:
        yield Node(SECTION, "Primer", (said(_LEAD),))
    for lesson in book.lessons:
        yield Node(TOPIC, kept(own(lesson.name, "pack: ladder")), tuple(_lesson(lesson)))
        if lesson.trial:
            yield from _trial(lesson, lesson.trial)


def _lesson(lesson: Lesson) -> Iterator[Block]:
    """What it is; then the frames, the first with the grid before the step."""
    yield said(f"Grade {lesson.rung}")
    yield said(lesson.about)
    if not lesson.frames:
        yield from map(said, lesson.look or (lesson.idea,))
    for k, frame in enumerate(lesson.frames, start=1):
        yield said(item(str(k), [frame.title]))
        assert lesson.example
        hint, n = frame.hint, lesson.example.size
        if k == 1:
            yield grid_rows(hint.position, lesson.example.geometry)
            for rule in rules_of(lesson.example):
                yield said(rule.title)
                yield from rule.body
        told = {
            1: (*called(hint, n), *rests_on(hint, n), *candidates(hint, n)),
            2: (*links(hint, n),),
            3: (*acts_in(hint, n), *candidates(hint, n)),
        }[k]
        if told:
            yield said(*told)
        yield from map(said, frame.said)


def _trial(lesson: Lesson, entry: Entry) -> Iterator[Node]:
    """A grid for the reader, as a puzzle is told."""
    geometry = entry.puzzle.geometry
    size = f"Size {kind_of_grid(geometry)}"
    yield Node(*puzzle_head(entry), (said(size, f"Grade {entry.grade}"), said(lesson.asks)))
    yield Node(TOPIC, "Grid", (grid_rows(entry.puzzle.clues, geometry),))
    yield from rules_of(entry.puzzle)
    yield Node(TOPIC, "From here", (said(To("Answer: line {}", (answer_head(entry),))),))
