"""Clues in words: how rules tell theirs cell by cell, and take such words apart again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from packbuilder.grid import cell_name
from packbuilder.rules.contract import Clue, Picture, RuleFault, Told

_MEND = "tell the clues as the text edition does"


def clue(label: str, cells: Iterable[int], size: int) -> Clue:
    """``label: r1c1 r1c2``."""
    return Clue(label, tuple(cell_name(cell, size) for cell in cells))


def parted(label: str, values: Sequence[str]) -> tuple[Clue, ...]:
    """``label: one, two``: values of any words, parted by commas. No clue where there are none."""
    pieces = (*(f"{value}," for value in values[:-1]), *values[-1:])
    return (Clue(label, pieces),) if pieces else ()


def clues_of(told: Iterable[Told]) -> list[Clue]:
    """The clues, which are no pictures. Raises RuleFault."""
    found = []
    for one in told:
        if isinstance(one, Picture):
            raise RuleFault("a picture stands here, which this rule does not have", _MEND)
        found.append(one)
    return found


def labelled(told: Iterable[Told], labels: Collection[str]) -> dict[str, str]:
    """The words behind each label. Raises RuleFault for another label, or one that comes twice."""
    found: dict[str, str] = {}
    for label, words in ((one.label, one.words) for one in clues_of(told)):
        if label not in labels or label in found:
            raise RuleFault(f"{label!r} is no clue of this rule, or comes twice", _MEND)
        found[label] = words
    return found


def numbered(told: Iterable[Told]) -> list[str]:
    """The words of clues that are numbered from 1. Raises RuleFault."""
    clues = clues_of(told)
    for k, one in enumerate(clues, start=1):
        if one.label != str(k):
            raise RuleFault(f"{one.label!r} stands where number {k} belongs", _MEND)
    return [one.words for one in clues]
