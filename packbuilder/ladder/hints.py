"""Hints: three tiers for a point of the solve at which a reader gets stuck.

A reader gets stuck where the ways on are few and hard: at the steps of the highest rung, and among
them where the fewest steps are open.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.bit_layout import AREA_KINDS
from packbuilder.ladder.english import a_digit, by_kind, digit, labels
from packbuilder.ladder.path import Path, Position
from packbuilder.ladder.step import Step
from packbuilder.ladder.words import technique_of, tell
from packbuilder.puzzle import BEYOND, Grade

MOST = 5
"""Hints for one puzzle, whatever its grade."""

FEW = 3
"""Hints for a puzzle that has few hard steps: one below grade HARD."""

HARD = 5
"""The grade from which on a puzzle may have MOST hints."""

APART = 4
"""Steps between two hints: closer ones would help with the same knot."""

EARLY = 1 / 2
"""Where nothing but singles is to be told: the part of the solve that still has knots."""


@dataclass(frozen=True)
class Hint:
    """Help with one step, in three tiers that give away more and more.

    ``where`` says where to look and no more; ``idea`` names the idea; ``told`` is the step in
    words. ``position`` is the grid as it stands before the step: clues and digits placed so far.
    ``shown`` lists the cells whose candidates the step needs, each with its candidates;
    ``struck`` the (cell, digit) candidates among them that the step removes.
    """

    where: str
    idea: str
    told: str
    step: Step
    position: Values
    shown: tuple[tuple[int, tuple[int, ...]], ...] = ()
    struck: tuple[tuple[int, int], ...] = ()


def hints(path: Path) -> tuple[Hint, ...]:
    """The hints for a puzzle, in the order of the solve; none if no step can be made."""
    return tuple(hint_at(path, k) for k in _knots(path))


def most(grade: Grade) -> int:
    """How many hints a puzzle of this grade has at most."""
    return MOST if grade == BEYOND or grade >= HARD else FEW


def hint_at(path: Path, k: int) -> Hint:
    """The hint that helps with step ``k`` (from 0)."""
    step, before = path.steps[k], path.position_before(k)
    return Hint(
        where=_where(step, path.geometry),
        idea=_idea(step, path),
        told=tell(step, path.geometry),
        step=step,
        position=before.values,
        shown=_shown(step, before, path.geometry),
        struck=step.removes,
    )


def _knots(path: Path) -> list[int]:
    """The steps worth a hint: the hardest first, then the narrowest, then the earliest."""
    steps = path.steps
    first_strike = next((k for k, step in enumerate(steps) if step.removes), len(steps))
    ways = path.ways()

    def worth(k: int) -> bool:
        if steps[k].removes:
            # A strike that opens nothing easier was not what the reader was looking for.
            return k + 1 < len(steps) and steps[k + 1].rung < steps[k].rung
        # After the first strike a single may rest on struck candidates that the page does not show.
        early = k < first_strike and k <= EARLY * len(steps)
        return early and ways[k] <= 2 and not plain(k)

    def plain(k: int) -> bool:
        # The last empty cell of a house is seen without help.
        return steps[k].technique == "full-house"

    def rank(k: int) -> tuple[bool, bool, bool, int, int]:
        return not worth(k), plain(k), k > EARLY * len(steps), ways[k], k

    top = max((step.rung for step in steps), default=0)
    first = sorted((k for k, step in enumerate(steps) if step.rung == top), key=rank)[:1]
    others = sorted(filter(worth, range(len(steps))), key=lambda k: (-steps[k].rung, ways[k], k))
    chosen: list[int] = []
    for k in first + others:
        # What is more than a few is for hard steps, not for singles between them.
        room = FEW if steps[k].places else most(path.grade)
        if len(chosen) < room and all(abs(k - other) >= APART for other in chosen):
            chosen.append(k)
    return sorted(chosen)


def _idea(step: Step, path: Path) -> str:
    """The idea in the table's words, so that they fit the grid and the house of the step."""
    idea = technique_of(step, path.ladder).idea
    if step.technique in ("chain", "xy-chain"):
        idea = f"{idea.removesuffix('.')}, {_from_end_to_end(step)}."
    houses = path.geometry.houses
    if any(houses[h].kind not in ("row", "column") for h in step.houses):  # a diagonal, perhaps
        idea = idea.replace("a row or a column", "a house")
    irregular = any(house.kind == "region" for house in houses)
    return idea.replace("block", "region") if irregular else idea


def _from_end_to_end(step: Step) -> str:
    """The digits at which a chain starts and ends."""
    (one, d), (other, e) = step.nodes[0], step.nodes[-1]
    if (one, d) == (other, e):
        return f"from {a_digit(d)} round to itself"
    if d == e:
        return f"from one {digit(d)} to another"
    return f"from {a_digit(d)} to {a_digit(e)}"


def _where(step: Step, geometry: Geometry) -> str:
    """Where to look, and no more: the houses of the step, else the blocks of its cells.

    Where those are more than two, a digit to follow is worth more, or the blocks that it clears.
    """
    if step.houses:
        return f"Look at {by_kind(step.houses, geometry)}."
    areas = _areas(step.cells, geometry)
    if len(areas) > 2:
        if step.nodes and len(step.digits) == 1:
            return f"Look where {digit(step.digits[0])} has only two places."
        areas = _areas((cell for cell, _ in step.removes), geometry)[:2]
    return f"Look at {labels(areas, geometry)}."


def _areas(cells: Iterable[int], geometry: Geometry) -> list[int]:
    """The blocks or regions of some cells; their rows where the grid has neither."""
    found = list(cells)
    areas = {
        h
        for cell in found
        for h in geometry.houses_of[cell]
        if geometry.houses[h].kind in AREA_KINDS
    }
    return sorted(areas or {geometry.houses_of[cell][0] for cell in found})


def _shown(
    step: Step, before: Position, geometry: Geometry
) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """The cells whose candidates make the step plain, in reading order. None for a placement.

    They are the cells that the step rests on and those that it clears, with the candidates that it
    speaks of. Where it holds a digit to some cells of a house, they are also those that lost the
    digit to an earlier strike, which the placed digits do not show, with all that they have left.
    """
    if not step.removes:
        return ()
    own = {*step.cells, *(cell for cell, _ in step.removes)}
    wanted = set(own)
    for h, d in held(step, before, geometry):
        for cell in geometry.houses[h].cells:
            here = before.candidates[cell]
            if (
                here
                and d not in here
                and not any(before.values[peer] == d for peer in geometry.peers[cell])
            ):
                wanted.add(cell)
    # A rule's step may rest on filled cells too; they have no candidates to show.
    return tuple(
        (cell, _spoken_of(step, cell, here) if cell in own else here)
        for cell in sorted(wanted)
        if (here := before.candidates[cell])
    )


def _spoken_of(step: Step, cell: int, here: tuple[int, ...]) -> tuple[int, ...]:
    """Those candidates of a cell of the step without which it would not be plain.

    A step along links, or of one digit, is about those candidates alone. A cell that it leaves a
    single candidate shows that too: it is what the step was made for.
    """
    struck = {d for at, d in step.removes if at == cell}
    spoken = {d for where, d in step.nodes if cell in where}
    if not step.nodes and len(step.digits) == 1 and not step.told:
        spoken = set(step.digits)
    elif not step.nodes:
        return here
    left = set(here) - struck
    return tuple(d for d in here if d in spoken | struck or (struck and len(left) == 1))


def held(step: Step, before: Position, geometry: Geometry) -> Iterator[tuple[int, int]]:
    """The (house, digit) pairs of which the step says that all places are among its cells."""

    def places(h: int, d: int) -> set[int]:
        return {cell for cell in geometry.houses[h].cells if d in before.candidates[cell]}

    naked = all(set(before.candidates[cell]) <= set(step.digits) for cell in step.cells)
    for h in () if naked else step.houses:  # naked cells speak for themselves
        yield from ((h, d) for d in step.digits if places(h, d) <= set(step.cells))
    for (one, d), (other, e) in zip(step.nodes[::2], step.nodes[1::2], strict=True):  # its ties
        if d == e:
            for h, house in enumerate(geometry.houses):
                if len(house.cells) == geometry.size:
                    here = places(h, d)
                    if here & set(one) and here & set(other) and here <= {*one, *other}:
                        yield h, d
