"""The plan of a solve without notes: which digit is placed and which mark is set, in what order.

`plan` plays the grid with no more marks than its mark load. It stays with the block or the digit
in hand, looks nearby next, and sets marks only when nothing is left to place: as few as will show
a placement, and of those the ones after which most can be placed, so that marks are few in all.
`trim` goes through the moves from the last, and lets each mark be forgotten after its last use.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.head.mark import Mark, Marks
from packbuilder.ladder.head.search import (
    Budget,
    Held,
    Play,
    Sighting,
    all_in_sight,
    sightings,
)


@dataclass(frozen=True, slots=True)
class Move:
    """A placement of ``key``, or, with ``mark``, a mark that is set (``key`` is then -1).

    ``bits`` is what is seen then with no mark held; ``held`` are the marks held before it, each as
    the number of the move that set it. In a trimmed move ``held`` are those that it or a later one
    rests on, and ``after`` those that a later one rests on.
    """

    number: int
    key: int
    mark: Mark | None
    bits: int
    held: tuple[int, ...]
    after: tuple[int, ...] = ()

    def shows(self, marks: Marks, held: Iterable[Mark]) -> bool:
        """Is the mark found, or the placement seen, with these marks held?"""
        bits = marks.hold(self.bits, held)
        if self.mark:
            return self.mark in marks.find(bits)
        return bool(marks.singles(bits) & marks.fields.spots[self.key])


def plan(play: Play, k: int, budget: Budget) -> list[Move]:
    """The moves of a solve with at most ``k`` marks held, or as few more as it takes."""
    marks = play.marks
    moves: list[Move] = []
    set_at: dict[Mark, int] = {}
    held: Held = ()
    eye = 0, 0
    while play.bits:
        if pool := marks.singles(marks.hold(play.bits, held)):
            pool = next((part for area in eye if (part := pool & area)), pool)
            bit = pool & -pool
            key = marks.fields.key_at[bit.bit_length() - 1]
            numbers = tuple(set_at[mark] for mark in held)
            moves.append(Move(len(moves), key, None, play.bits, numbers))
            play.place_all(bit)
            held = tuple(mark for mark in held if play.bits & marks.keep(mark) != play.bits)
            eye = _eye(marks, [key])
        elif way := _best_way(marks, play.bits, k, budget, held, eye):
            for before, mark in way.finds:
                numbers = tuple(set_at[other] for other in before)
                set_at[mark] = len(moves)
                moves.append(Move(len(moves), -1, mark, play.bits, numbers))
            held = way.held
            eye = _eye(marks, struck(marks, play.bits, held[-1]))
        elif not budget.spent and all_in_sight(marks, play.bits):
            k += 1
        else:
            break
    return moves


def trim(marks: Marks, moves: list[Move]) -> list[Move]:
    """The moves, each mark held no longer than it is needed.

    Every mark is needed: of the fewest marks that show a placement none can be left out.
    """
    needed: tuple[int, ...] = ()
    kept = []
    for move in reversed(moves):
        later = [j for j in needed if j != move.number]
        more = [j for j in move.held if j not in later]
        held = fewest(shown_by(marks, move, moves), later, more)
        kept.append(replace(move, held=tuple(sorted(held)), after=needed))
        needed = kept[-1].held
    return kept[::-1]


def shown_by(marks: Marks, move: Move, moves: list[Move]) -> Callable[[list[int]], bool]:
    """Asks whether a move is seen with the marks that the moves of these numbers set."""

    def shown(numbers: list[int]) -> bool:
        return move.shows(marks, [mark for j in numbers if (mark := moves[j].mark)])

    return shown


def fewest(enough: Callable[[list[int]], bool], sure: list[int], more: list[int]) -> list[int]:
    """``sure`` if that is enough, else with as few more as leaving out one by one gives."""
    if enough(sure):
        return sure
    for j in tuple(more):
        fewer = [other for other in more if other != j]
        if enough(sure + fewer):
            more = fewer
    return sure + more


def struck(marks: Marks, bits: int, mark: Mark) -> list[int]:
    """The keys of what a mark takes out of what is seen, by cell, then by digit."""
    fields = marks.fields
    gone = (bits & ~marks.keep(mark)) >> fields.planes_at
    places = (divmod(at, fields.cell_count) for at in cells_in(gone))
    return sorted(cell * fields.size + d for d, cell in places)


def _eye(marks: Marks, keys: Iterable[int]) -> tuple[int, int]:
    """What is in hand, and what lies near, after these candidates were placed or struck."""
    stay = near = 0
    for key in keys:
        stay |= marks.fields.stay[key]
        near |= marks.fields.near[key]
    return stay, near


def _best_way(
    marks: Marks, bits: int, k: int, budget: Budget, held: Held, eye: tuple[int, int]
) -> Sighting | None:
    """Of the ways with the fewest new marks: the one that leads farthest, is light, and near."""
    best: Sighting | None = None
    best_rank: tuple[int, int, int] = (0, 0, 0)
    for way in sightings(marks, bits, k, budget, held):
        if best and len(way.finds) > len(best.finds):
            break
        rank = (
            -_progress(marks, bits, way.held),
            sum(mark.digits.bit_count() for _, mark in way.finds),
            next((j for j, area in enumerate(eye) if way.pool & area), len(eye)),
        )
        if best is None or rank < best_rank:
            best, best_rank = way, rank
    return best


def _progress(marks: Marks, bits: int, held: Held) -> int:
    """How many digits can be placed with these marks held before another is needed."""
    keep, key_at = marks.fields.keep, marks.fields.key_at
    bits, count = marks.hold(bits, held), 0
    while pool := marks.singles(bits):
        while pool:
            left = keep[key_at[(pool & -pool).bit_length() - 1]]
            bits &= left
            pool &= left
            count += 1
    return count
