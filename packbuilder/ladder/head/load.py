"""No notes: how much a person must hold in mind who solves a grid and writes nothing but digits.

The *mark load* is the least k such that there is always a next placement that can be seen with at
most k marks held at one time. It is exact up to three; what needs more is not done without notes,
for people hold about four things at once, the placement itself among them (Cowan, "The magical
number 4 in short-term memory", Behavioral and Brain Sciences 24, 2001).

**What is seen** of an empty cell are the digits that no placed digit in its houses rules out, and
no part of the rules at a glance (`glance`), less what the held marks rule out. A placement is seen
when a cell has one digit left, or a digit one cell in a house.

**A mark** is one remembered fact, found from what is seen at that moment: the two or three places
of a digit in a house; two or three open cells of a house with exactly as many digits, naked or
hidden; a cell with two digits. It says what it said when it was found. Held marks rule out every
digit that, written in its cell, leaves one of them without a way: writing closes the cell to other
digits and what it sees to that digit, and a mark with one way left is written too; nothing else
is followed. The ways of a set are its cells' digits of the set that no placed digit rules out.

**The order of placements does not matter.** What is seen never grows with a placement, so each mark
on the way to another is there still, smaller perhaps, or it is a placement in sight. So whoever
takes, always, a placement that needs the fewest marks never loses a way: the most that any of them
needs is the mark load. And marks may be forgotten and found again, so what a placement needs
depends on the position alone.

A grid with one solution is taken for granted; that is for the proof to say. One whose clues clash
comes out unsolved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from packbuilder.grid import Geometry, Values, cell_name
from packbuilder.ladder.english import number
from packbuilder.ladder.head.position import WORK, Least, Play, least, scene_of
from packbuilder.rules.contract import Part

MOST = 3
"""Marks that a person holds at one time, at most."""


@dataclass(frozen=True)
class NoNotes:
    """Whether a grid can be solved without notes, and the mark load.

    ``solved`` is None where the search was cut short. ``marks`` is the load of a solved grid.
    ``values`` are the digits as far as three marks lead, ``placed`` how many were placed.
    """

    solved: bool | None
    marks: int | None
    values: Values
    placed: int

    @property
    def as_json(self) -> dict[str, Any]:
        """``{"solved": true, "marks": 2}``; of one that is not solved also how many are placed."""
        if self.solved:
            return {"solved": True, "marks": self.marks}
        return {"solved": self.solved, "marks": None, "placed": self.placed}


@dataclass(frozen=True)
class Failure:
    """The first point at which a promise fails that a grid is solved with at most k marks.

    ``code`` is ``notes-needed`` (not even three will do), ``too-many-marks`` (more than promised)
    or ``undecided`` (the search was cut short). ``placed`` is how many digits can be placed before,
    ``values`` the grid as it then stands. ``cells`` are those that are left empty, or those whose
    digits need ``marks`` marks, more than promised.
    """

    code: Literal["notes-needed", "too-many-marks", "undecided"]
    placed: int
    values: Values
    cells: tuple[int, ...]
    marks: int | None
    words: str


def no_notes(
    geometry: Geometry, clues: Values, parts: Sequence[Part] = (), *, work: int = WORK
) -> NoNotes:
    """The mark load of a puzzle; ``parts`` are those of its rules. ``work`` bounds the search."""
    play, load, stuck = _played(geometry, clues, parts, MOST, work)
    solved = play.solved if stuck is None or stuck.known else None
    return NoNotes(solved, load if solved else None, tuple(play.values), len(play.placed))


def first_failure(
    geometry: Geometry, clues: Values, k: int, parts: Sequence[Part] = (), *, work: int = WORK
) -> Failure | None:
    """Where a promise of at most ``k`` marks first fails; None if it holds."""
    play, _, stuck = _played(geometry, clues, parts, min(k, MOST), work)
    if play.solved:
        return None
    if stuck is not None and stuck.known and k < MOST:
        stuck = least(play, MOST, work=work)
    return _failure(play, k, stuck)


def _played(
    geometry: Geometry, clues: Values, parts: Sequence[Part], most: int, work: int
) -> tuple[Play, int, Least | None]:
    """How far at most so many marks lead, the load so far, and what was found at the end of it."""
    play, load = Play(scene_of(geometry, parts), clues), 0
    while True:
        play.place_free()
        if play.solved or not play.sound:
            return play, load, None
        found = least(play, most, work=work)
        if found.marks is None:
            return play, load, found
        work -= found.work
        load = max(load, found.marks)
        play.place(found.sighting.keys)


def _failure(play: Play, k: int, stuck: Least | None) -> Failure:
    placed, values, size = len(play.placed), tuple(play.values), play.scene.geometry.size
    if stuck is not None and not stuck.known:
        words = f"whether {_marks(k)} at one time will do is not known: the search was cut short "
        return Failure("undecided", placed, values, (), None, words + _when(play))
    if stuck is not None and stuck.marks is not None:
        cells = tuple(sorted({key // size for key in stuck.sighting.keys}))
        words = (
            f"{_when(play)} the next digit that comes into sight, that of "
            f"{cell_name(cells[0], size)}, takes {_marks(stuck.marks)} at one time; the promise is "
            f"{_marks(k)}"
        )
        return Failure("too-many-marks", placed, values, cells[:1], stuck.marks, words)
    left = tuple(cell for cell, digit in enumerate(values) if not digit)
    words = (
        f"it cannot be solved without notes: {_when(play)} nothing more comes into sight with "
        f"{_marks(MOST)} held, and {_cells(len(left))} left"
    )
    return Failure("notes-needed", placed, values, left, None, words)


def _when(play: Play) -> str:
    count = len(play.placed)
    if not count:
        return "at the start"
    return "after one placement" if count == 1 else f"after {number(count)} placements"


def _marks(count: int) -> str:
    return "one mark" if count == 1 else f"{number(count)} marks"


def _cells(count: int) -> str:
    return "one cell is" if count == 1 else f"{number(count)} cells are"
