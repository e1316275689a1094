"""The search behind the no-notes solver: what can be seen with so many marks held at one time.

A person holds a set of marks, at most k, finds another from what is seen with them, and may forget
any. So the search goes over held sets. It is exact, for it leaves out only what cannot matter:

- a mark that changes nothing that is seen: whoever holds the others sees as much already;
- a mark that rules out no more of the position than another that is found at the same moment: to
  hold the other in its stead is to see at least as much, then and later;
- forgetting while there is room: who holds more sees more, and can still forget later.

Hence a set to go on from has k - 1 marks, or as many as there are, and each way on adds one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.head.mark import Mark, Marks, marks_of

Held = tuple[Mark, ...]

LIMIT = 10_000
"""Held sets that one answer may look at, about two seconds' worth. Measured on 6,916 published
grids: 56 at most; on 25,600 minimal grids made at random: 439."""


class Budget:
    """How many held sets may still be looked at."""

    __slots__ = ("left",)

    def __init__(self, limit: int) -> None:
        self.left = limit

    @property
    def spent(self) -> bool:
        """True if a search stopped early: what it did not find may be there all the same."""
        return self.left < 0


class Play:
    """A grid as its digits are placed: ``bits`` is what is seen with no mark held."""

    __slots__ = ("bits", "clues", "marks", "placed", "sound")

    def __init__(self, geometry: Geometry, clues: Values) -> None:
        self.marks = marks = marks_of(geometry)
        fields = marks.fields
        spots, keep, size = fields.spots, fields.keep, fields.size
        bits, sound = fields.everything, True
        for cell, digit in enumerate(clues):
            if digit:
                key = cell * size + digit - 1
                sound = sound and bool(bits & spots[key])
                bits &= keep[key]
        self.bits, self.sound, self.clues = bits, sound, clues
        self.placed: list[int] = []

    def copy(self) -> Play:
        """The same position, to be played on apart."""
        twin = Play.__new__(Play)
        twin.marks, twin.clues = self.marks, self.clues
        twin.bits, twin.sound = self.bits, self.sound
        twin.placed = self.placed[:]
        return twin

    def place_all(self, pool: int) -> None:
        """Write every placement of a pool of field bits."""
        fields, bits = self.marks.fields, self.bits
        key_at, keep = fields.key_at, fields.keep
        while pool:
            key = key_at[(pool & -pool).bit_length() - 1]
            left = keep[key]
            bits &= left
            pool &= left
            self.placed.append(key)
        self.bits = bits

    def place_free(self) -> None:
        """Write all that is seen without a mark, and what is then seen, to the end."""
        while pool := self.marks.singles(self.bits):
            self.place_all(pool)

    @property
    def solved(self) -> bool:
        """True if every cell is filled, and no clue clashes with another."""
        return self.sound and len(self.placed) == self.clues.count(0)

    @property
    def values(self) -> Values:
        """The digits as they stand."""
        values, size = list(self.clues), self.marks.fields.size
        for key in self.placed:
            values[key // size] = key % size + 1
        return tuple(values)


@dataclass(frozen=True)
class Sighting:
    """Placements that come into sight: ``pool`` are their field bits.

    ``finds`` are the marks found on the way, each with the marks held when it was found.
    """

    pool: int
    finds: tuple[tuple[Held, Mark], ...]

    @property
    def held(self) -> Held:
        """The marks with which the placements are seen."""
        held, last = self.finds[-1]
        return (*held, last)


def sightings(
    marks: Marks, bits: int, k: int, budget: Budget, held: Held = ()
) -> Iterator[Sighting]:
    """Ways to a placement with at most ``k`` marks held at a time, fewest finds first.

    ``bits`` is a position with no placement in sight; ``held`` the marks held at the start. Each
    held set is looked at once, on a shortest way to it. Where the budget runs out it ends early.
    """
    started = _with_room(held, k) if k else []
    queue: list[tuple[Held, _Trail]] = [(base, None) for base in started]
    seen = {frozenset(base) for base in started}
    for base, trail in queue:
        budget.left -= 1
        if budget.spent:
            return
        state, others = marks.hold(bits, base), []
        for mark in marks.find(state):
            if pool := marks.singles(state & marks.keep(mark)):
                yield Sighting(pool, _unwound((base, mark, trail)))
            else:
                others.append(mark)
        for mark in _strongest(marks, bits, others):
            for held_on in _with_room((*base, mark), k):
                if (name := frozenset(held_on)) not in seen:
                    seen.add(name)
                    queue.append((held_on, (base, mark, trail)))


def all_in_sight(marks: Marks, bits: int) -> int:
    """The field bits of some placements that any number of marks brings into sight; 0 if none.

    None either where marks leave a cell no digit, or a digit no cell: there is no solution then.
    """
    answerable = marks.answerable(bits)
    while found := marks.find(bits):
        bits = marks.hold(bits, found)
        if marks.answerable(bits) != answerable:
            return 0
        if pool := marks.singles(bits):
            return pool
    return 0


def with_one_mark(marks: Marks, bits: int) -> int:
    """The field bits of placements seen with one mark, the lightest that will do; 0 if none."""
    for found in marks.by_weight(bits):
        pool = 0
        for mark in found:
            pool |= marks.singles(bits & marks.keep(mark))
        if pool:
            return pool
    return 0


def farthest(play: Play) -> Play:
    """How far any number of marks goes. Which placement is taken first makes no difference."""
    end = play.copy()
    end.place_free()
    while pool := all_in_sight(end.marks, end.bits):
        end.place_all(pool)
        end.place_free()
    return end


_Trail = tuple[Held, Mark, "_Trail"] | None
"""The find that led here, and the marks held when it was made; then the find before it."""


def _with_room(held: Held, k: int) -> list[Held]:
    """What to hold so that one more mark has room: all of it, or all but one."""
    if len(held) < k:
        return [held]
    return [held[:j] + held[j + 1 :] for j in range(len(held))]


def _strongest(marks: Marks, bits: int, found: list[Mark]) -> list[Mark]:
    """The marks that no other one of them outdoes; of those that do the same, the first."""
    best: list[tuple[int, Mark]] = []
    for mark in found:
        kept = bits & marks.keep(mark)
        if all(other | kept != kept for other, _ in best):
            best = [one for one in best if one[0] | kept != one[0]]
            best.append((kept, mark))
    return [mark for _, mark in best]


def _unwound(trail: _Trail) -> tuple[tuple[Held, Mark], ...]:
    finds = []
    while trail:
        held, mark, trail = trail
        finds.append((held, mark))
    return tuple(reversed(finds))
