"""Faults: what of a book cannot be set, where it comes from, and how to mend it.

A plan goes on past a fault, so that all of them are told at once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from packbuilder.errors import InputError
from packbuilder.puzzle import Puzzle


@dataclass(frozen=True)
class Source:
    """Where a text comes from, for messages: ``harbour/manifest.yaml:12: puzzle 'lamp': title``.

    ``puzzle`` is the id of the puzzle that it is of; None for the pack, a layout, or the house.
    """

    label: str
    puzzle: str | None = None

    @classmethod
    def of(cls, puzzle: Puzzle, field: str) -> Source:
        """A field of a puzzle."""
        where = f"{puzzle.where}: " if puzzle.where else ""
        return cls(f"{where}puzzle {puzzle.id!r}: {field}", puzzle.id)

    @property
    def field(self) -> str:
        """Its last part: ``title``."""
        return self.label.rpartition(": ")[2]

    def fault(self, told: str, mend: str, over: float = 0.0) -> CannotSet:
        """The error to raise."""
        return CannotSet(Fault(self, told, mend, over))


HOUSE = Source("the house's own text")
"""The source of what the program words itself."""


@dataclass(frozen=True)
class Fault:
    """One thing that cannot be set: what is too much, and by how much; and how to mend it.

    ``over`` is that measure, in letters or millimetres: of two faults of a text the larger counts.
    """

    source: Source
    told: str
    mend: str
    over: float = 0.0

    def __str__(self) -> str:
        return f"{self.source.label}: {self.told}; {self.mend}"


class CannotSet(InputError):
    """A book, or a part of it, that cannot be set: all its faults."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__(*faults)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))


def worst(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """One fault of each text, the largest, in the order in which they came.

    A title may be too long for its grid and for the contents: one change mends both.
    """
    found: dict[Source, Fault] = {}
    for fault in faults:
        found[fault.source] = max(fault, found.get(fault.source, fault), key=lambda one: one.over)
    return tuple(found.values())
