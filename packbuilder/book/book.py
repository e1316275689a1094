"""Book: what goes to print, and what the read-back holds the print against."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.editions import PRINT, Edition
from packbuilder.grid import Values
from packbuilder.ladder.hints import Hint
from packbuilder.puzzle import Grade, Pack, Puzzle
from packbuilder.rules.shapes import Corner


@dataclass(frozen=True)
class Entry:
    """One puzzle in print: its number (from 1, in printing order), its proved solution, its facts.

    ``techniques`` are (slug, how often) pairs of the easiest-first path, easiest first; ``ways``
    are the ways on at each of its steps (see `ladder.path.Path.ways`). ``letters`` are the cells
    that print has a letter in, A in the first.
    """

    number: int
    puzzle: Puzzle
    solution: Values
    grade: Grade
    hardest: str
    effort: float
    techniques: tuple[tuple[str, int], ...]
    hints: tuple[Hint, ...]
    ways: tuple[int, ...] = ()
    letters: tuple[int, ...] = ()

    @property
    def lettered(self) -> tuple[Corner, ...]:
        """The letters as they look."""
        return tuple(Corner(c, chr(ord("A") + k)) for k, c in enumerate(self.letters))


@dataclass(frozen=True)
class Frame:
    """One picture of a lesson's example, and the words beside it.

    ``title`` is what a reader does there: find, conclude, write. ``words`` are paragraphs, and
    ``ends`` is what they come to. ``hint`` is as much of the step as the picture shows.
    """

    title: str
    words: tuple[str, ...]
    ends: str
    hint: Hint

    @property
    def said(self) -> tuple[str, ...]:
        """All its paragraphs."""
        return tuple(filter(None, (*self.words, self.ends)))


@dataclass(frozen=True)
class Lesson:
    """What the primer teaches: one technique that the pack turns on.

    ``slug`` is the technique's, ``name``, ``rung``, ``about`` and ``idea`` are the ladder's words
    for it, ``look`` the steps of looking for it. The example is a grid set for it, none of the
    pack's own: ``example`` has one solution, and its step is shown in ``frames``, of which each has
    a layer more. ``trial`` is another such grid, for the reader, and ``asks`` says so. A technique
    without an example has none of these.
    """

    slug: str
    name: str
    rung: int
    about: str
    idea: str
    look: tuple[str, ...] = ()
    example: Puzzle | None = None
    frames: tuple[Frame, ...] = ()
    trial: Entry | None = None
    asks: str = ""

    @property
    def said(self) -> tuple[str, ...]:
        """All its paragraphs."""
        told = tuple(words for frame in self.frames for words in frame.said)
        asked = (self.asks,) if self.trial else ()
        return (self.about, *(told or self.look or (self.idea,)), *asked)


@dataclass(frozen=True)
class Book:
    """The pack and its entries in printing order. Only a passed gate makes one.

    ``edition`` is the form that it goes to print in (see `editions.book_of`); in a sampler,
    ``whole`` are the entries of the full pack. ``lessons`` are taught in the primer.
    """

    pack: Pack
    entries: tuple[Entry, ...]
    edition: Edition = PRINT
    whole: tuple[Entry, ...] = ()
    lessons: tuple[Lesson, ...] = ()
