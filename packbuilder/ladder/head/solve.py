"""A solve without notes, told as a teacher would at the board."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from packbuilder.grid import Geometry, Values, cell_name, format_grid
from packbuilder.ladder import words
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import alone
from packbuilder.ladder.english import noun, number
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.head.load import MOST, NoNotes
from packbuilder.ladder.head.order import Move, moves
from packbuilder.ladder.head.pattern import pattern
from packbuilder.ladder.head.position import WORK, Mark, Play
from packbuilder.ladder.head.sentences import NamedMark, Voice
from packbuilder.ladder.head.trial import ruled_out, seen_with
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.reasons import Reasons
from packbuilder.ladder.rounds import Rating, rate
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import DEFAULT, Sight, Technique
from packbuilder.ladder.telling import Telling
from packbuilder.puzzle import BEYOND
from packbuilder.rules.contract import Part

MARK = "mark"
"""The ``technique`` of a step that sets a mark which alone rules nothing out."""


@dataclass(frozen=True, slots=True)
class Told:
    """One step of a solve without notes: a placement, or a mark that is set.

    ``before`` is the grid as it stands. ``step.removes`` of a mark are what it, and those that show
    it, strike from what is seen; of a placement, what the held marks strike of its other places.
    ``uses`` are the marks that the step rests on; ``forgets`` those that nothing later rests on;
    ``marks`` those alive after it. ``pattern`` is the ladder's name for marks that are held
    together, or "". ``words`` are fit for print; ``ending`` is the last sentence of them, where it
    says what can be forgotten. ``because`` is the evidence of a placement that rests on no mark.
    """

    step: Step
    before: Values
    uses: tuple[NamedMark, ...]
    forgets: tuple[NamedMark, ...]
    marks: tuple[NamedMark, ...]
    pattern: str
    words: str
    ending: str = ""
    because: tuple[Because, ...] = ()


def tell(
    geometry: Geometry, clues: Values, parts: Sequence[Part] = (), *, work: int = WORK
) -> tuple[Told, ...]:
    """The solve without notes, as far as it goes, with the fewest marks held at one time.

    ``work`` bounds the search; a solve that it cuts short ends early.
    """
    voice = Voice(geometry)
    named: dict[Mark, NamedMark] = {}
    told: list[Told] = []
    found = moves(geometry, clues, parts, work=work)
    evidence = _Evidence(geometry, clues, parts, found)
    for move in found:
        step = _mark_step(move) if move.mark else _placement(move)
        uses = tuple(named[mark] for mark in move.uses)
        if move.mark:
            house = step.houses[0] if step.houses else -1
            named[move.mark] = NamedMark(move.mark.digits, move.mark.cells, house)
        after = tuple(named[mark] for mark in move.after)
        before = (*told[-1].marks, *([named[move.mark]] if move.mark else [])) if told else ()
        ends = tuple(mark for mark in before if mark not in after)
        what = "" if move.mark else pattern(uses, geometry)
        because = () if move.mark or uses else evidence.because(move)
        text = evidence.words(move) if because else _words(voice, move, step, uses, what, geometry)
        ending = ""
        if ends and move is not found[-1]:
            ending = voice.end(ends, () if move.mark else uses)
            text = f"{text} {ending}"
        step = replace(step, told=text)
        told.append(
            Told(step, tuple(move.before.values), uses, ends, after, what, text, ending, because)
        )
    return tuple(told)


class _Evidence:
    """The evidence of the placements of a solve, as a path of nothing else has it."""

    def __init__(
        self, geometry: Geometry, clues: Values, parts: Sequence[Part], found: Sequence[Move]
    ) -> None:
        placed = [move for move in found if not move.mark]
        self._number = {move.key: k for k, move in enumerate(placed)}
        steps = tuple(replace(_placement(move), removes=()) for move in placed)
        ladder = with_rules(DEFAULT, parts)
        path = Path(geometry, clues, steps, Rating(BEYOND, "", 0.0, ()), ladder)
        self._reasons = Reasons(path)
        self._telling = Telling(self._reasons)

    def because(self, move: Move) -> tuple[Because, ...]:
        """What closes the other places; none where a glance sees more than a deduction shows."""
        try:
            return self._reasons.because(self._number[move.key])
        except ValueError:
            return ()

    def words(self, move: Move) -> str:
        """The placement with its evidence."""
        return self._telling.words(self._number[move.key])


def _words(
    voice: Voice, move: Move, step: Step, uses: Sequence[NamedMark], what: str, geometry: Geometry
) -> str:
    if move.mark:
        naked = step.technique.startswith(("naked", "locked"))
        mark = NamedMark(step.digits, step.cells, step.houses[0] if step.houses else -1)
        return voice.mark(mark, naked, uses)
    if not uses:
        return words.tell(step, geometry)
    ((cell, digit),) = step.places
    house = step.houses[0] if step.houses else -1
    return voice.placement(cell, digit, house, step.removes, uses, what)


def stopped(
    geometry: Geometry, values: Values, parts: Sequence[Part] = (), ladder: Ladder = DEFAULT
) -> str:
    """What is left where the head comes to an end, and the ladder's cheapest next step."""
    path = walk(geometry, values, ladder=with_rules(ladder, parts))
    if not path.steps:
        return ""
    step = path.steps[0]
    return Voice(geometry).say(
        "stopped",
        count=number(values.count(0)),
        most=number(MOST),
        technique=noun(path.ladder.named(step.technique).name),
        step=words.tell(step, geometry),
    )


def path_json(
    geometry: Geometry,
    clues: Values,
    answer: NoNotes,
    told: Sequence[Told],
    parts: Sequence[Part] = (),
) -> dict[str, Any]:
    """The solve as a JSON object; each step has also ``marks``, those alive after it.

    ``solved`` is whether the puzzle can be solved without notes; ``grade`` is the ladder's.
    """
    document = {
        "grid": format_grid(clues),
        "solved": answer.solved,
        "grade": rate(geometry, clues, ladder=with_rules(DEFAULT, parts)).grade,
        "no_notes": answer.as_json,
        "steps": [_told_json(one, geometry) for one in told],
    }
    if not answer.solved:
        document["stopped"] = {
            "grid": format_grid(answer.values),
            "words": stopped(geometry, answer.values, parts),
        }
    return document


def _told_json(told: Told, geometry: Geometry) -> dict[str, Any]:
    return words.step_json(told.step, geometry) | {
        "marks": [
            {
                "digits": list(mark.digits),
                "cells": [cell_name(cell, geometry.size) for cell in mark.cells],
                "house": geometry.houses[mark.house].label if mark.house >= 0 else None,
            }
            for mark in told.marks
        ],
    }


def _mark_step(move: Move) -> Step:
    """A mark that is set, under the ladder's name where it rules something out by itself."""
    mark, play = move.mark, move.before
    assert mark is not None
    size = play.scene.geometry.size
    before = set(ruled_out(play, move.uses))
    gone = [key for key in ruled_out(play, (*move.uses, mark)) if key not in before]
    slug, houses = _shown_in(play, seen_with(play, move.uses), mark, bool(gone))
    rung = 1 if slug == MARK else DEFAULT.named(slug).rung
    removes = tuple((key // size, key % size + 1) for key in gone)
    return Step(slug, rung, (), removes, mark.cells, mark.digits, houses)


def _placement(move: Move) -> Step:
    """The placement, under the easiest name that fits."""
    play, fields = move.before, move.before.scene.fields
    cell, d = divmod(move.key, fields.size)
    seen = seen_with(play, move.uses)
    bit = alone(seen, fields.whole_reach, fields.size) & fields.spots[move.key]
    empty = [at for at, value in enumerate(play.values) if not value]
    last = [
        h
        for h in fields.geometry.houses_of[cell]
        if h in fields.house_bits
        and sum(at in fields.geometry.houses[h].cells for at in empty) == 1
    ]
    at = (bit & -bit).bit_length() - 1
    house = last[0] if last else fields.house_at(at)
    sight = (
        Sight.LAST_CELL
        if last
        else Sight.CELL
        if house < 0
        else Sight.AREA
        if at < fields.lines_at
        else Sight.LINE
    )
    row = _row_of(sight)
    near = set(fields.geometry.houses[house].cells) if house >= 0 else {cell}
    lost = tuple(
        (key // fields.size, key % fields.size + 1)
        for key in ruled_out(play, move.uses)
        if key // fields.size in near and (house < 0 or key % fields.size == d)
    )
    houses = (house,) if house >= 0 else ()
    return Step(row.slug, row.rung, ((cell, d + 1),), lost, (cell,), (d + 1,), houses)


def _row_of(sight: Sight) -> Technique:
    return next(row for row in DEFAULT.techniques if row.sight is sight)


def _shown_in(play: Play, seen: int, mark: Mark, rules_out: bool) -> tuple[str, tuple[int, ...]]:
    """What kind of mark it is, as it is seen, and the houses: first the one that shows it."""
    fields, geometry = play.scene.fields, play.scene.geometry
    if len(mark.cells) == 1:
        return MARK, ()
    around = [h for h, house in enumerate(geometry.houses) if set(mark.cells) <= set(house.cells)]
    where = [h for h in fields.fielded if h in around]

    def places(h: int, d: int) -> set[int]:
        own = (cell for cell in geometry.houses[h].cells)
        return {
            cell
            for cell in own
            if seen >> fields.cells_at + cell * fields.width + d - 1 & 1
        }  # fmt: skip

    if len(mark.digits) == 1:
        first = next(h for h in where if places(h, mark.digits[0]) == set(mark.cells))
        slug = "pointing" if first in fields.areas else "claiming"
        return slug if rules_out and len(around) > 1 else MARK, _first(first, around)
    size = "pair" if len(mark.digits) == 2 else "triple"
    held = {
        d
        for cell in mark.cells
        for d in cells_in(seen >> fields.cells_at + cell * fields.width & (1 << fields.size) - 1)
    }
    if held == {d - 1 for d in mark.digits}:
        kind = "locked" if len(around) > 1 else "naked"
        return f"{kind}-{size}", _first(around[0], around)
    first = next(h for h in where if all(places(h, d) <= set(mark.cells) for d in mark.digits))
    return f"hidden-{size}", _first(first, around)


def _first(house: int, around: Iterable[int]) -> tuple[int, ...]:
    return (house, *(h for h in around if h != house))
