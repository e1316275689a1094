"""A solve without notes, told as a teacher would at the board."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from packbuilder.grid import Geometry, Values, cell_name, format_grid
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.head import sentences as words
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.head.mark import Mark, Marks
from packbuilder.ladder.head.order import Move, fewest, plan, shown_by, struck, trim
from packbuilder.ladder.head.search import LIMIT, Budget, Play
from packbuilder.ladder.head.sentences import NamedMark
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import DEFAULT, Sight, Technique


@dataclass(frozen=True, slots=True)
class Told:
    """One step of a solve without notes: a placement, or a mark that is set.

    ``step.removes`` is what a new mark strikes from what is seen. ``uses`` are the marks that the
    step rests on; ``forgets`` those that nothing later rests on; ``marks`` those alive after it.
    ``words`` are fit for print.
    """

    step: Step
    uses: tuple[NamedMark, ...]
    forgets: tuple[NamedMark, ...]
    marks: tuple[NamedMark, ...]
    words: str


def tell(geometry: Geometry, clues: Values, *, limit: int = LIMIT) -> tuple[Told, ...]:
    """The solve without notes, as far as it goes, with the fewest marks held at one time.

    ``limit`` bounds the search; a solve that it cuts short ends early.
    """
    play, load = Play(geometry, clues), no_notes(geometry, clues, limit=limit).marks
    all_moves = plan(play, load or 0, Budget(limit))
    moves = trim(play.marks, all_moves)
    named: dict[int, NamedMark] = {}
    told = []
    for move in moves:
        uses = fewest(shown_by(play.marks, move, all_moves), [], list(move.held))
        held = [[mark for j in js if (mark := all_moves[j].mark)] for js in (uses, move.held)]
        step = _step(play.marks, move, *held)
        if move.mark:
            named[move.number] = NamedMark(step.digits, step.cells, step.houses[0])
        rests_on, after = ([named[j] for j in js] for js in (uses, move.after))
        ends = [named[j] for j in move.held if j not in move.after]
        tell_step = words.tell_mark if move.mark else words.tell_placement
        text = tell_step(step, rests_on, geometry)
        if ends and move is not moves[-1]:
            just_named = () if move.mark else rests_on
            text = f"{text} {words.tell_end(ends, just_named, geometry)}"
        told.append(Told(step, tuple(rests_on), tuple(ends), tuple(after), text))
    return tuple(told)


def path_json(geometry: Geometry, clues: Values, *, limit: int = LIMIT) -> dict[str, Any]:
    """The solve as a JSON object; each step has also ``marks``, those alive after it.

    ``solved`` is whether the grid can be solved without notes; ``grade`` is the ladder's.
    """
    answer = no_notes(geometry, clues, limit=limit)
    return {
        "grid": format_grid(clues),
        "solved": answer.solved,
        "grade": rate(geometry, clues).grade,
        "no_notes": answer.as_json,
        "steps": [_told_json(told, geometry) for told in tell(geometry, clues, limit=limit)],
    }


def _told_json(told: Told, geometry: Geometry) -> dict[str, Any]:
    step = told.step
    return {
        "technique": step.technique,
        "rung": step.rung,
        "places": _pairs_json(step.places, geometry),
        "removes": _pairs_json(step.removes, geometry),
        "because": {
            "cells": _cells_json(step.cells, geometry),
            "digits": list(step.digits),
            "houses": [geometry.houses[h].label for h in step.houses],
        },
        "words": told.words,
        "marks": [
            {
                "digits": list(mark.digits),
                "cells": _cells_json(mark.cells, geometry),
                "house": geometry.houses[mark.house].label,
            }
            for mark in told.marks
        ],
    }


def _cells_json(cells: Iterable[int], geometry: Geometry) -> list[str]:
    return [cell_name(cell, geometry.size) for cell in cells]


def _pairs_json(pairs: Iterable[tuple[int, int]], geometry: Geometry) -> list[list[str | int]]:
    return [[cell_name(cell, geometry.size), digit] for cell, digit in pairs]


def _step(marks: Marks, move: Move, uses: Sequence[Mark], held: Sequence[Mark]) -> Step:
    """A move as a step: named by what ``uses`` show; a mark strikes from what ``held`` leave."""
    seen = marks.hold(move.bits, uses)
    if not move.mark:
        return _placement(marks, move, seen)
    size = marks.fields.size
    gone = struck(marks, marks.hold(move.bits, held), move.mark)
    slug, houses = _shown_in(marks, seen, move.mark)
    return Step(
        slug,
        DEFAULT.named(slug).rung,
        (),
        tuple((key // size, key % size + 1) for key in gone),
        cells_in(move.mark.cells),
        tuple(d + 1 for d in cells_in(move.mark.digits)),
        houses,
    )


def _placement(marks: Marks, move: Move, seen: int) -> Step:
    """The placement, under the easiest name that fits."""
    fields = marks.fields
    cell, d = divmod(move.key, fields.size)
    empty = marks.open_cells(move.bits)
    last = [
        h
        for h in fields.geometry.houses_of[cell]
        if h in fields.house_bits and empty & fields.house_masks[h] == 1 << cell
    ]
    bit = marks.singles(seen) & fields.spots[move.key]
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
    houses = (house,) if house >= 0 else ()
    return Step(row.slug, row.rung, ((cell, d + 1),), (), (cell,), (d + 1,), houses)


def _row_of(sight: Sight) -> Technique:
    return next(row for row in DEFAULT.techniques if row.sight is sight)


def _shown_in(marks: Marks, seen: int, mark: Mark) -> tuple[str, tuple[int, ...]]:
    """What kind of mark it is, as it is seen, and the houses: first the one that shows it."""
    fields, planes = marks.fields, marks.planes(seen)
    masks = fields.house_masks
    around = tuple(h for h, house in enumerate(masks) if not mark.cells & ~house)
    here = [planes[d] for d in cells_in(mark.digits)]
    where = (h for h in fields.fielded if h in around)
    if not mark.is_set:
        first = next(h for h in where if here[0] & masks[h] == mark.cells)
        slug = "pointing" if first in fields.areas else "claiming"
        return slug, (first, *(h for h in around if h != first))
    size = "pair" if len(here) == 2 else "triple"
    if not any(plane & mark.cells for d, plane in enumerate(planes) if not mark.digits >> d & 1):
        two = any(meet.mask & mark.cells == mark.cells for meet in fields.meets)
        return f"{'locked' if two else 'naked'}-{size}", around
    first = next(h for h in where if not any(plane & masks[h] & ~mark.cells for plane in here))
    return f"hidden-{size}", (first, *(h for h in around if h != first))
