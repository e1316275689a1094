"""Hints from the head: for a reader who writes nothing but digits, and is stuck."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from packbuilder.grid import Geometry
from packbuilder.ladder.english import by_kind, cells
from packbuilder.ladder.head.sentences import NamedMark, Voice
from packbuilder.ladder.head.solve import Told
from packbuilder.ladder.hints import APART, FEW, Hint, unlike


def head_hints(told: Sequence[Told], geometry: Geometry) -> tuple[Hint, ...]:
    """A hint for each of the hardest placements, those for which most must be held; in order.

    None where nothing need be held.
    """
    knots = [k for k, one in enumerate(told) if one.step.places and one.uses]
    chosen: list[int] = []
    for k in sorted(knots, key=lambda k: (-len(told[k].uses), k)):
        if len(chosen) < FEW and all(abs(k - other) >= APART for other in chosen):
            chosen.append(k)
    return unlike(_hint(told[k], geometry) for k in sorted(chosen))


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
    )


def _argument(one: Told) -> str:
    """The words of the step without what is said of forgetting, which a page has no use for."""
    return one.words.removesuffix(one.ending).rstrip()


def _where(uses: Sequence[NamedMark], geometry: Geometry) -> str:
    houses = sorted({mark.house for mark in uses if mark.house >= 0})
    if not houses:
        return cells(sorted({cell for mark in uses for cell in mark.cells}), geometry.size)
    return by_kind(houses, geometry)
