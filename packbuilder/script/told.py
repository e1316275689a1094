"""The script's words: what stands under each beat, the same in print and in Markdown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packbuilder.grid import Geometry, Values, cell_name
from packbuilder.ladder.english import number
from packbuilder.ladder.head.sentences import name
from packbuilder.phrases import counted, listed
from packbuilder.puzzle import Puzzle
from packbuilder.script.beats import Beat, beats, clock, spoken
from packbuilder.script.looks import Look, pointed
from packbuilder.script.wording import SCRIPT


@dataclass(frozen=True)
class Line:
    """A line of a script: words to ``say``, or what to do (``cue``)."""

    words: str
    say: bool


@dataclass(frozen=True)
class Script:
    """A whole script: its head, its beats with their lines, its chapter marks."""

    title: str
    head: tuple[str, ...]
    beats: tuple[tuple[Beat, tuple[Line, ...]], ...]
    chapters: tuple[str, ...]


def script_of(puzzle: Puzzle, looks: Sequence[Look], pace: int, *, notes: bool) -> Script:
    """The script of a solve at a pace in words a minute."""
    found = beats(looks, pace)
    minutes = counted(max(1, round(found[-1].end / 60)), "minute") if found else "0 minutes"
    written = sum(look.place is not None for look in looks)
    head = [SCRIPT["about"].format(title=puzzle.title, digits=written, minutes=minutes, pace=pace)]
    if notes:
        head.append(SCRIPT["notes"])
    elif most := max((len(look.held) for look in looks), default=0):
        head.append(SCRIPT["holds"].format(most=f"{number(most)} thing{'s' * (most > 1)}"))
    told = tuple((beat, tuple(_lines(beat, puzzle.geometry))) for beat in found)
    chapters = tuple(f"{clock(beat.start)} {beat.title}" for beat in found)
    return Script(puzzle.title, tuple(head), told, chapters)


def _lines(beat: Beat, geometry: Geometry) -> Iterator[Line]:
    size = geometry.size
    for look in beat.looks:
        cells = listed(cell_name(cell, size) for cell in pointed(look))
        cue = [SCRIPT["point"].format(cells=cells)]
        if look.held:
            marks = "; ".join(name(mark, geometry) for mark in look.held)
            cue.append(SCRIPT["hold"].format(marks=marks))
        if look.name:
            cue.append(SCRIPT["name"].format(name=look.name))
        if look.drops:
            marks = "; ".join(name(mark, geometry) for mark in look.drops)
            cue.append(SCRIPT["drop"].format(marks=marks))
        yield Line(f"{look.number}. {' '.join(cue)}", say=False)
        yield Line(spoken(look.words), say=True)


def rehearsal_moves(looks: Sequence[Look]) -> dict[int, int]:
    """By cell, the number of the move that fills it."""
    return {look.place[0]: look.number for look in looks if look.place}


def rehearsal_marks(looks: Sequence[Look], geometry: Geometry) -> tuple[str, ...]:
    """The marks that are set, each with the number of its move."""
    return tuple(
        SCRIPT["mark"].format(numbers=look.number, mark=name(look.held[-1], geometry))
        for look in looks
        if look.held and not look.place
    )


def solved(looks: Sequence[Look], clues: Values) -> Values:
    """The grid as the looks leave it."""
    return looks[-1].after if looks else clues
