"""Book: what goes to print, and what the read-back holds the print against."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.editions import PRINT, Edition
from packbuilder.grid import Geometry, Values
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
class Lesson:
    """What the primer teaches: one technique that the pack turns on.

    ``slug`` is the technique's, ``name``, ``rung``, ``about`` and ``idea`` are the ladder's words
    for it, ``look`` the steps of looking for it. The example is a grid set for it, none of the
    pack's own: ``clues`` have one solution, ``hint`` is the step, ``seen`` says what of it is to be
    seen in the digits alone, and ``then`` is the digit that it lets one write at once, where it
    does: its position has the digit, and its step acts there and rests on the cells that the first
    one acted in. A technique without an example (one of a rule) has no ``hint``.
    """

    slug: str
    name: str
    rung: int
    about: str
    idea: str
    geometry: Geometry | None = None
    clues: Values = ()
    hint: Hint | None = None
    look: tuple[str, ...] = ()
    seen: tuple[str, ...] = ()
    then: Hint | None = None


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
