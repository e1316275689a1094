"""How to play: the rules of each kind of grid, each rule of the pack, and the words of hints."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from packbuilder.book import how_to_play as told
from packbuilder.book.book import Book
from packbuilder.plaintext.facts import kind_of_grid
from packbuilder.plaintext.words import kept, own, said
from packbuilder.plan.outline import SECTION, TOPIC, Node


def section(book: Book) -> Iterator[Node]:
    """The whole section."""
    yield Node(SECTION, told.TITLE, (said(told.LEAD),))
    for geometry, numbers in told.kinds_of_grid(book):
        words = told.grid_wording(geometry).said("text")
        yield _topic(f"Grids {kind_of_grid(geometry)}", _puzzles(numbers), words)
    for kind, topics in groupby(told.rule_topics(book, "text"), lambda topic: topic.kind):
        by_turns = [(_puzzles(one.numbers), one.wording.said("text")) for one in topics]
        yield _topic(kind.title, *(words for both in by_turns for words in both))
    yield _topic("Names", told.names_wording(book).said("text"))
    yield _topic("Grades", told.grades_wording(book).said("text"))
    if promised := told.promises_words(book):
        yield _topic("Promises", *promised)
    if told.has_hints(book):
        yield _topic("Hints", told.HINTS["text"])
    if ideas := told.ideas(book):
        named = ((own(idea.name, "pack: ladder"), idea) for idea in ideas)
        lines = (f"{name} (grade {idea.rung}): {idea.about}" for name, idea in named)
        yield _topic("Ideas in the hints", *lines)
    if resting := told.uniqueness_words(book, "text"):
        yield _topic("Uniqueness", resting)


def _topic(name: str, *paragraphs: str) -> Node:
    return Node(TOPIC, kept(name), tuple(said(text) for text in paragraphs))


def _puzzles(numbers: tuple[int, ...]) -> str:
    return f"{told.puzzles_told(numbers, 'text')}."
