"""No notes: how much a person must hold in mind who solves a grid and writes nothing but digits.

The *mark load* is the least k such that there is always a next placement that can be seen with at
most k marks held at one time (`mark` says what a mark is). It is exact, and this is why.

**The order of placements does not matter.** Let a placement be seen at a position with at most k
marks held, and let some more digits of the solution be placed. Follow the same finds there. What
is seen is never more than before. So each mark on the way is still there, smaller perhaps; or its
digits are placed, and rule out by themselves what it ruled out; or it has shrunk to one cell, and
that is a placement in sight. Either way some placement is seen with at most k marks, or the one
that was sought is already made. Hence whoever places whatever is seen with k marks never loses a
way: if he is stuck, the first digit of any other order that he has not placed would be seen by him
too. So it is enough to take, always, a placement that needs the fewest marks: the most that any
of them needs is the mark load.

**Marks do not outlast their use.** A mark may be forgotten at any time, also between two finds
that build on each other, and be found again. So what a placement needs depends on the position
alone, and the search (`search`) starts with nothing held.

A grid with one solution is taken for granted; that is for the proof to say. One whose clues clash
comes out unsolved.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from packbuilder.grid import Geometry, Values, cell_name
from packbuilder.ladder.english import number
from packbuilder.ladder.head.search import (
    LIMIT,
    Budget,
    Play,
    farthest,
    sightings,
    with_one_mark,
)


@dataclass(frozen=True)
class NoNotes:
    """Whether a grid can be solved without notes, and the mark load.

    ``solved`` is True if any number of marks solves it. ``marks`` is the least number that does;
    None if none does, and where the search was cut short: then it is ``at_least`` so many.
    ``values`` are the digits as far as marks, however many, lead.
    """

    solved: bool
    marks: int | None
    values: Values
    at_least: int = 0

    @property
    def known(self) -> bool:
        """False if the grid is solved but the search for the least number was cut short."""
        return not self.solved or self.marks is not None

    @property
    def as_json(self) -> dict[str, Any]:
        """``{"solved": true, "marks": 3}``; with ``at_least`` where the number is not known."""
        found: dict[str, Any] = {"solved": self.solved, "marks": self.marks}
        return found if self.known else found | {"at_least": self.at_least}


@dataclass(frozen=True)
class Failure:
    """The first point at which a promise fails that a grid is solved with at most k marks.

    ``code`` is ``notes-needed`` (no number of marks will do), ``too-many-marks`` (more than
    promised) or ``undecided`` (the search was cut short). ``placed`` is how many digits can be
    placed before, ``values`` the grid as it then stands. ``cells`` are those that are left empty,
    or the one cell whose digit needs ``marks`` marks, more than promised. A search that is cut
    short beyond k says of ``marks`` what is known at least, and names no cell.
    """

    code: Literal["notes-needed", "too-many-marks", "undecided"]
    placed: int
    values: Values
    cells: tuple[int, ...]
    marks: int | None
    words: str


def no_notes(geometry: Geometry, clues: Values, *, limit: int = LIMIT) -> NoNotes:
    """The mark load of a grid. ``limit`` bounds the search: see `NoNotes.known`."""
    play, budget = Play(geometry, clues), Budget(limit)
    load = 0
    end: Play | None = None
    while True:
        play.place_free()
        if not play.bits:
            return _answer(play, load)
        needs, pool = 1, with_one_mark(play.marks, play.bits)
        if not pool:
            if end is None:
                # Whether it can be done at all is quickly said, and settles the rest if not.
                end = farthest(play)
                if not end.solved:
                    return _answer(end, load)
            needs, pool = _more_marks(play, budget)
            if not pool:
                return NoNotes(True, None, end.values, at_least=max(load, needs))
        load = max(load, needs)
        play.place_all(pool)


def first_failure(
    geometry: Geometry, clues: Values, k: int, *, limit: int = LIMIT
) -> Failure | None:
    """Where a promise of at most ``k`` marks first fails; None if it holds."""
    play, budget = Play(geometry, clues), Budget(limit)
    end = farthest(play)
    if not end.solved:
        left = tuple(cell for cell, digit in enumerate(end.values) if not digit)
        words = (
            f"it cannot be solved without notes: {_when(end)} nothing more comes into sight, "
            f"however many marks are held, and {_cells(len(left))} left"
        )
        return Failure("notes-needed", len(end.placed), end.values, left, None, words)
    while True:
        play.place_free()
        if not play.bits:
            return None
        needs, pool = 1, with_one_mark(play.marks, play.bits)
        if not pool:
            needs, pool = _more_marks(play, budget)
        if not pool or needs > k:
            return _too_many(play, k, needs, pool)
        play.place_all(pool)


def _more_marks(play: Play, budget: Budget) -> tuple[int, int]:
    """The least number of marks, two or more, that brings placements into sight, and these.

    No placements: the budget ran out at that number. Some number must do.
    """
    k = 2
    while True:
        found = next(sightings(play.marks, play.bits, k, budget), None)
        if found or budget.spent:
            return k, found.pool if found else 0
        k += 1


def _answer(play: Play, load: int) -> NoNotes:
    if not play.solved:
        return NoNotes(False, None, play.values)
    return NoNotes(True, load, play.values, load)


def _too_many(play: Play, k: int, needs: int, pool: int) -> Failure:
    placed, values = len(play.placed), play.values
    if not pool and needs <= k:
        words = (
            f"whether {_marks(k)} at one time will do is not known: the search was cut short "
            f"{_when(play)}"
        )
        return Failure("undecided", placed, values, (), None, words)
    cells = _cells_of(play, pool)
    which = f", that of {cell_name(cells[0], play.marks.fields.size)}," if cells else ""
    words = (
        f"{_when(play)} the next digit that comes into sight{which} takes "
        f"{'' if cells else 'at least '}{_marks(needs)} at one time; the promise is {_marks(k)}"
    )
    return Failure("too-many-marks", placed, values, cells, needs, words)


def _cells_of(play: Play, pool: int) -> tuple[int, ...]:
    """The first cell of a pool of placements, if it has any."""
    fields = play.marks.fields
    return (fields.key_at[(pool & -pool).bit_length() - 1] // fields.size,) if pool else ()


def _when(play: Play) -> str:
    count = len(play.placed)
    if not count:
        return "at the start"
    return "after one placement" if count == 1 else f"after {number(count)} placements"


def _marks(count: int) -> str:
    return "one mark" if count == 1 else f"{number(count)} marks"


def _cells(count: int) -> str:
    return "one cell is" if count == 1 else f"{number(count)} cells are"
