"""Book: what goes to print, and what the read-back holds the print against."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.grid import Values
from packbuilder.ladder.hints import Hint
from packbuilder.puzzle import Grade, Pack, Puzzle


@dataclass(frozen=True)
class Entry:
    """One puzzle in print: its number (from 1, in printing order), its proved solution, its facts.

    ``techniques`` are (slug, how often) pairs of the easiest-first path, easiest first; ``ways``
    are the ways on at each of its steps (see `ladder.path.Path.ways`).
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


@dataclass(frozen=True)
class Book:
    """The pack and its entries in printing order. Only a passed gate makes one."""

    pack: Pack
    entries: tuple[Entry, ...]
