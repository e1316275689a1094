"""Hints from the head: for a reader who writes nothing but digits, and is stuck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packbuilder.grid import Geometry
from packbuilder.ladder.english import by_kind, cells
from packbuilder.ladder.evidence import Because, Scene
from packbuilder.ladder.head.sentences import NamedMark, Voice
from packbuilder.ladder.head.solve import Told
from packbuilder.ladder.hints import APART, FEW, Hint, unlike
from packbuilder.puzzle import HintWords


def head_hints(
    told: Sequence[Told], geometry: Geometry, own: Sequence[HintWords] = ()
) -> tuple[Hint, ...]:
    """A hint for each of the hardest placements, those for which most must be held; in order.

    None where nothing need be held. In the creator's ``own`` words where there are any.
    """
    knots = [k for k, one in enumerate(told) if one.step.places and one.uses]
    chosen: list[int] = []
    for k in sorted(knots, key=lambda k: (-len(told[k].uses), k)):
        if len(chosen) < FEW and all(abs(k - other) >= APART for other in chosen):
            chosen.append(k)
    return unlike((_hint(told[k], geometry) for k in sorted(chosen)), own)


def _hint(one: Told, geometry: Geometry) -> Hint:
    """Where what is held is to be seen; how much it is; and the argument."""
    voice = Voice(geometry)
    held = tuple(dict.fromkeys(cell for mark in one.uses for cell in mark.cells))
    step = replace(one.step, removes=(), cells=held, told=_argument(one))
    return Hint(
        where=f"Look at {_where(one.uses, geometry)}.",
        idea=voice.say(f"idea {len(one.uses)}"),
        told=step.told,
        step=step,
        position=one.before,
        shown=tuple(_shown(one)),
        because=tuple(_because(one, held, geometry)),
    )


def _shown(one: Told) -> Iterator[tuple[int, tuple[int, ...]]]:
    """The digits that are held in each cell, but for that which gets its digit."""
    found: dict[int, set[int]] = {}
    for mark in one.uses:
        for cell in mark.cells:
            found.setdefault(cell, set()).update(mark.digits)
    for cell in sorted(found.keys() - dict(one.step.places).keys()):
        yield cell, tuple(sorted(found[cell]))


def _because(one: Told, held: Sequence[int], geometry: Geometry) -> Iterator[Because]:
    """What is held, with what it closes; and placed digits, where these close all the rest."""
    ((cell, digit),), house = one.step.places, one.step.houses[0] if one.step.houses else -1
    lost: dict[int, list[int]] = {}
    for at, d in one.step.removes:
        lost.setdefault(d, []).append(at)
    for d, closes in lost.items():
        yield Because("held", d, tuple(held), tuple(closes), house)
    scene = Scene(geometry, one.before)
    if house < 0:
        yield from scene.digits([cell])
        return
    among = {cell, *lost.get(digit, ())}
    rest = [c for c in geometry.houses[house].cells if c not in among and not one.before[c]]
    if all(scene.seen(c, digit) for c in rest):
        yield from scene.places(house, digit, among)


def _argument(one: Told) -> str:
    """The words of the step without what is said of forgetting, which a page has no use for."""
    return one.words.removesuffix(one.ending).rstrip()


def _where(uses: Sequence[NamedMark], geometry: Geometry) -> str:
    houses = sorted({mark.house for mark in uses if mark.house >= 0})
    if not houses:
        return cells(sorted({cell for mark in uses for cell in mark.cells}), geometry.size)
    return by_kind(houses, geometry)
