"""Looks: a solve as what there is to see, move by move, with what closes places."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.english import label
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.head.sentences import NamedMark
from packbuilder.ladder.head.solve import Told
from packbuilder.ladder.path import Path
from packbuilder.ladder.reasons import Reasons, without_detours
from packbuilder.ladder.step import Step
from packbuilder.ladder.telling import Telling
from packbuilder.ladder.words import technique_of


@dataclass(frozen=True)
class Look:
    """One move of a solve.

    ``before`` is the grid as it stands. ``place`` is the (cell, digit) that falls, or None where a
    mark is set or candidates go (``loses``). ``house`` (index, or -1) is where the places are
    counted. ``ringed`` are the cells of digits that close, ``crossed`` the empty cells that are
    closed to the digit. ``held`` are the marks in mind, a new one last; ``drops`` those to forget
    after it. ``name`` is the technique or trick to name, or "". ``words`` say it all.
    """

    number: int
    before: Values
    place: tuple[int, int] | None
    house: int
    ringed: tuple[int, ...]
    crossed: tuple[int, ...]
    held: tuple[NamedMark, ...]
    drops: tuple[NamedMark, ...]
    loses: tuple[tuple[int, int], ...]
    rests: tuple[int, ...]
    name: str
    words: str

    @property
    def after(self) -> Values:
        """The grid after it."""
        values = list(self.before)
        if self.place:
            values[self.place[0]] = self.place[1]
        return tuple(values)


def looks_in_the_head(told: Sequence[Told], geometry: Geometry) -> tuple[Look, ...]:
    """The looks of a solve without notes."""
    found = []
    for number, one in enumerate(told, start=1):
        step = one.step
        new = NamedMark(step.digits, step.cells, step.houses[0] if step.houses else -1)
        alive = dict.fromkeys((*one.uses, *one.marks))
        held = one.uses if step.places else (*(mark for mark in alive if mark != new), new)
        name = one.pattern if step.places else _name(step)
        look = _look(number, one.before, step, geometry, held, one.forgets, name, one.words)
        found.append(_by_evidence(look, one.because))
    return tuple(found)


def looks_with_notes(path: Path) -> tuple[Look, ...]:
    """The looks of the ladder's path, without its detours."""
    path = without_detours(path)
    reasons = Reasons(path)
    telling, found = Telling(reasons), []
    for k, step in enumerate(path.steps):
        name = technique_of(step, path.ladder).name if step.removes else ""
        values = reasons.values(k)
        look = _look(k + 1, values, step, path.geometry, (), (), name, telling.words(k))
        found.append(_by_evidence(look, reasons.because(k)))
    return tuple(found)


def _by_evidence(look: Look, because: Sequence[Because]) -> Look:
    """The look with the digits that close, so many and no more, where the evidence is known."""
    if not because:
        return look
    ringed = _once(cell for one in because for cell in one.cells if look.before[cell])
    return replace(look, ringed=tuple(sorted(ringed)))


def _look(
    number: int,
    before: Values,
    step: Step,
    geometry: Geometry,
    held: tuple[NamedMark, ...],
    drops: tuple[NamedMark, ...],
    name: str,
    words: str,
) -> Look:
    place = step.places[0] if step.places else None
    house = step.houses[0] if step.houses else -1
    ringed, crossed = _closing(before, place, house, geometry)
    loses = () if place else step.removes
    rests = () if held else step.cells
    return Look(
        number, before, place, house, ringed, crossed, held, drops, loses, rests, name, words
    )


def _name(step: Step) -> str:
    """The trade's name of a mark that rules something out by itself, or ""."""
    return "" if step.technique == "mark" else technique_of(step).name


def _closing(
    before: Values, place: tuple[int, int] | None, house: int, geometry: Geometry
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The placed digits that close, few and in reading order, and the cells that are closed."""
    if place is None:
        return (), ()
    cell, d = place
    if house < 0:
        seen: dict[int, int] = {}
        for peer in sorted(geometry.peers[cell], key=lambda at: _far(at, cell, geometry.size)):
            if before[peer]:
                seen.setdefault(before[peer], peer)
        return tuple(sorted(seen.values())), ()
    closed = [at for at in geometry.houses[house].cells if not before[at] and at != cell]
    copies = [at for at, value in enumerate(before) if value == d]
    left, chosen = set(closed), []
    while left:
        best = max(copies, key=lambda at: len(left & geometry.peers[at]), default=None)
        if best is None or not left & geometry.peers[best]:
            break
        chosen.append(best)
        left -= geometry.peers[best]
    return tuple(sorted(chosen)), tuple(closed)


def _far(one: int, other: int, size: int) -> int:
    return abs(one // size - other // size) + abs(one % size - other % size)


def where(look: Look, geometry: Geometry) -> str:
    """The house of a look: ``row 4``; "" where it is about one cell."""
    return label(look.house, geometry) if look.house >= 0 else ""


def pointed(look: Look) -> tuple[int, ...]:
    """The cells to point at, in the order of looking: what is held, what closes, what falls."""
    held = (cell for mark in look.held for cell in mark.cells)
    lost = (cell for cell, _ in look.loses)
    last = (look.place[0],) if look.place else ()
    return _once((*held, *look.ringed, *look.rests, *lost, *last))


def _once(cells: Iterable[int]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(cells))
