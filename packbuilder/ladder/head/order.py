"""The order of a solve without notes: which digit is placed and which mark is set, move by move.

A solver stays with the block or the digit in hand, looks nearby next, and sets marks only when
nothing is left to place: the lightest that will do. `trim` goes through the moves from the last and
lets each mark be forgotten after its last use; a mark that nothing rests on is not set at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.board import alone
from packbuilder.ladder.head.load import MOST
from packbuilder.ladder.head.position import WORK, Mark, Play, least, scene_of
from packbuilder.ladder.head.trial import fewest, is_found, lines_of, seen_with
from packbuilder.rules.contract import Part


@dataclass(frozen=True)
class Move:
    """A placement of ``key``, or, where ``mark`` is given, a mark that is set (``key`` is -1).

    ``before`` is the grid as it stands. ``uses`` are the marks that it rests on, ``after`` those
    that a later move rests on.
    """

    key: int
    mark: Mark | None
    before: Play
    uses: tuple[Mark, ...]
    after: tuple[Mark, ...] = ()


def moves(
    geometry: Geometry, clues: Values, parts: Sequence[Part] = (), *, work: int = WORK
) -> list[Move]:
    """A solve with the fewest marks held at one time, as far as three lead."""
    play = Play(scene_of(geometry, parts), clues)
    found: list[Move] = []
    held: tuple[Mark, ...] = ()
    eye = 0, 0
    while play.sound and not play.solved:
        key = _next(play, held, eye)
        if key is not None:
            uses = fewest(play, key, held)
            found.append(Move(key, None, play.copy(), uses))
            play.place([key])
            held = tuple(mark for mark in held if _whole(play, mark))
            eye = _eye(play, [key])
            continue
        way = least(play, MOST, work=work, light=True)
        if way.marks is None:
            break
        work -= way.work
        for find in way.sighting.finds:
            found.append(Move(-1, find.mark, play.copy(), _least_held(play, find.mark, find.held)))
        held = way.sighting.held
        eye = _eye(play, [held[-1].cells[0] * geometry.size + held[-1].digits[0] - 1])
    return trim(found)


def trim(found: Sequence[Move]) -> list[Move]:
    """The moves, each mark held no longer than something rests on it."""
    needed: tuple[Mark, ...] = ()
    kept = []
    for move in reversed(found):
        after = needed
        if move.mark is not None:
            if move.mark not in needed:
                continue
            needed = tuple(mark for mark in needed if mark != move.mark)
        needed += tuple(mark for mark in move.uses if mark not in needed)
        kept.append(replace(move, after=after))
    return kept[::-1]


def _next(play: Play, held: Sequence[Mark], eye: tuple[int, int]) -> int | None:
    """The placement to make: one that needs no mark first, and nearest to the eye."""
    fields = play.scene.fields
    pool = alone(play.bits, fields.whole_reach, fields.size)
    if not pool and held:
        pool = alone(seen_with(play, held), fields.whole_reach, fields.size)
    if not pool:
        return None
    pool = next((part for area in eye if (part := pool & area)), pool)
    return fields.key_at[(pool & -pool).bit_length() - 1]


def _least_held(play: Play, mark: Mark, held: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """As few of the held marks as show another."""
    if is_found(play, mark, ()):
        return ()
    return next((one for one in ((m,) for m in held) if is_found(play, mark, one)), held)


def _whole(play: Play, mark: Mark) -> bool:
    """Does a mark still say something: is none of its cells filled, none of its ways closed?"""
    if any(play.values[cell] for cell in mark.cells):
        return False
    spots = play.scene.fields.spots
    return all(play.bits & spots[key] for line in lines_of(play, mark) for key in line)


def _eye(play: Play, keys: Iterable[int]) -> tuple[int, int]:
    """What is in hand, and what lies near, after these candidates were placed or held."""
    fields, stay, near = play.scene.fields, 0, 0
    for key in keys:
        stay |= fields.stay[key]
        near |= fields.near[key]
    return stay, near
