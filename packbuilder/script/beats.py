"""Beats: the looks of a solve grouped by about a minute of speech at an even pace."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.script.looks import Look

PACE = 150
"""Words a minute: the average of English as it is spoken in the United States, by the National
Center for Voice and Speech (from memory)."""

MINUTE = 60.0
WRITING = 1.5
"""Seconds to write a digit and look up again."""

_TWICE = re.compile(r"(row \d+, column \d+), so \1 is")
_CELL = re.compile(r"r(\d{1,2})c(\d{1,2})")


@dataclass(frozen=True)
class Beat:
    """About a minute: when it begins and ends, in seconds, and its looks."""

    number: int
    start: float
    end: float
    looks: tuple[Look, ...]

    @property
    def title(self) -> str:
        """What a chapter mark says: the hardest thing that is named in it, else how far it goes."""
        named = [look.name for look in self.looks if look.name]
        if named:
            return named[-1]
        digits = sum(look.place is not None for look in self.looks)
        return "One digit" if digits == 1 else f"{digits} digits"


def spoken(words: str) -> str:
    """Words as they are spoken: ``row 4, column 7`` for ``r4c7``."""
    told = _CELL.sub(r"row \1, column \2", words)
    told = _TWICE.sub(r"\1, so that is", told)
    return re.sub(r"(^|[.:?!] )row", r"\1Row", told)


def seconds(look: Look, pace: int) -> float:
    """How long a look takes."""
    words = len(spoken(look.words).split())
    return 60.0 * words / pace + (WRITING if look.place else 0.0)


def beats(looks: Sequence[Look], pace: int = PACE) -> tuple[Beat, ...]:
    """The looks in beats of about a minute. What is held is never carried over a cut if it can be
    helped: a beat that is long enough ends at the first look after which nothing is held."""
    found: list[Beat] = []
    some: list[Look] = []
    start = now = 0.0
    for look in looks:
        some.append(look)
        now += seconds(look, pace)
        holding = look.held and not look.place
        if (now - start >= MINUTE and not holding) or now - start >= 1.5 * MINUTE:
            found.append(Beat(len(found) + 1, start, now, tuple(some)))
            some, start = [], now
    if some:
        found.append(Beat(len(found) + 1, start, now, tuple(some)))
    return tuple(found)


def clock(moment: float) -> str:
    """``3:07``: minutes and seconds, as chapter marks are written."""
    whole = int(moment)
    return f"{whole // 60}:{whole % 60:02}"
