"""How to play: each kind of grid, and the words of hints; the rules of the pack, and its ideas."""

from __future__ import annotations

from collections.abc import Iterator

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
    if told.rule_topics(book, "text"):
        yield _topic("Rules", told.RULES_TOLD["text"])
    yield _topic("Names", told.names_wording(book).said("text"))
    yield _topic("Grades", told.grades_wording(book).said("text"))
    if promised := told.promises_words(book):
        yield _topic("Promises", *promised)
    if told.has_hints(book):
        yield _topic("Hints", told.HINTS["text"])
    if not told.has_hints(book):
        yield from _resting(book)


def rules(book: Book) -> Iterator[Node]:
    """Each rule of the pack, with a case that is right and one that is wrong."""
    entries = told.rule_entries(book, "text")
    if entries:
        yield Node(SECTION, told.RULES, (said(told.RULES_LEAD),))
    for entry in entries:
        shown = [said(*picture.told) for picture in entry.pictures]
        if choices := entry.choices:
            rows = (": ".join(row) for row in (choices.heads, *choices.rows))
            shown.insert(0, said(*rows))
        words = [said(some) for some in (_puzzles(entry.numbers), *entry.told)]
        yield Node(TOPIC, kept(entry.kind.title), (*words, *shown))


def ideas(book: Book) -> Iterator[Node]:
    """The techniques of the pack's hints, each in a sentence; none without hints."""
    if not (found := told.ideas(book)):
        return
    named = ((own(idea.name, "pack: ladder"), idea) for idea in found)
    lines = (f"{name} (grade {idea.rung}): {idea.about}" for name, idea in named)
    yield Node(SECTION, told.IDEAS, tuple(said(line) for line in (told.IDEAS_LEAD, *lines)))
    yield from _resting(book)


def _resting(book: Book) -> Iterator[Node]:
    if resting := told.uniqueness_words(book, "text"):
        yield _topic("Uniqueness", resting)


def _topic(name: str, *paragraphs: str) -> Node:
    return Node(TOPIC, kept(name), tuple(said(text) for text in paragraphs))


def _puzzles(numbers: tuple[int, ...]) -> str:
    return f"{told.puzzles_told(numbers, 'text')}."
