"""Hint words: the first two tiers of a hint. Where to look, and which idea will help.

The first names the place of the argument: what closes the places of a digit lies elsewhere, and so
may what a strike takes. The second is the idea in the terms of the puzzle: its houses and digits,
no cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from packbuilder.grid import Geometry, Values, losses
from packbuilder.ladder.basis import basis_of
from packbuilder.ladder.bit_layout import AREA_KINDS
from packbuilder.ladder.english import (
    a_digit,
    by_kind,
    digit,
    digits,
    digits_plural,
    in_regions,
    labels,
    number,
)  # fmt: skip
from packbuilder.ladder.part_names import kinds_named, part_name
from packbuilder.ladder.step import Step

_SETTLED = re.compile(r"so r\d+c\d+ is \w(?: too)?\.$")
_NAMING = re.compile(r"(?:(?:An?|Two) [^:.]*|\w+(?: \w+)?): ")
"""How an idea begins that begins with a technique's name."""

_AGAIN = ("", "once more", "a third time", "a fourth time", "a fifth time")

_LINES = ("row", "column")
_FEW = 3
"""Parts of the grid that a first hint names at most."""


def where(step: Step, values: Values, geometry: Geometry) -> str:
    """Where to look, and no more: a part of the rules, or the houses in which the step reasons."""
    areas = _areas(step.cells, geometry)
    if step.part and set(step.cells) <= set(step.part.cells):
        wide = len(step.part.cells) > 2 * geometry.size
        houses = step.houses or (areas if len(areas) <= _FEW else ())
        there = f", in {by_kind(houses, geometry)}" if wide and houses else ""
        return f"Look at {part_name(step.part, (), geometry.size)}{there}."
    houses = _argued(step, geometry)
    if len(houses) == 1:
        cells = [c for c in geometry.houses[houses[0]].cells if not values[c]]
        here, many = labels(houses, geometry), f"{number(len(cells))} empty cells"
        if len(cells) == 1:
            return f"{_look(houses, geometry)} {here}."
        if step.technique == "naked-single":
            return f"Look at {here}: one of its {many} is hemmed in."
        return f"{_look(houses, geometry)} {here}, at its {many}."
    if 0 < len(houses) <= _FEW:
        return f"{_look(houses, geometry)} {by_kind(houses, geometry)}."
    if len(areas) <= _FEW:
        what = f"{kinds_named([step.part], geometry.size)} in " if step.part else ""
        return f"Look at {what}{labels(areas, geometry)}."
    if len(step.digits) == 1:
        return f"Follow the {digits_plural(step.digits[0])} through the grid."
    start = _areas(step.nodes[0][0] if step.nodes else step.cells[:1], geometry)
    return f"Begin in {labels(start, geometry)}, and follow what it leads to."


def _look(houses: Iterable[int], geometry: Geometry) -> str:
    kinds = {geometry.houses[h].kind for h in houses}
    return "Look along" if kinds == {"row"} else "Look down" if kinds == {"column"} else "Look at"


def idea(step: Step, text: str, geometry: Geometry, *, settles: bool = False) -> str:
    """The idea of a technique, of which ``text`` speaks in general, as it is in this puzzle.

    ``settles`` says that the step leaves a cell one digit.
    """
    if step.part:
        gone, left = {d for _, d in step.removes}, len({cell for cell, _ in step.removes})
        where = f"{number(left)} cell{'s' * (left > 1)}"
        if left == 1 and (settles or _SETTLED.search(step.told)):
            return f"{text} Here that settles a cell."
        if len(gone) <= _FEW and len(losses(step.removes)) > 1:
            return f"{text} Here that rules out digits in {where}."
        if len(gone) <= _FEW:
            return f"{text} Here that rules out {digits(sorted(gone))} in {where}."
        return f"{text} Here that leaves {where} few digits."
    houses = _argued(step, geometry)
    if step.technique == "naked-single":
        return text.replace("one cell sees", f"one cell of {labels(houses, geometry)} sees")
    if step.technique in ("chain", "xy-chain"):
        text = f"{text.removesuffix('.')}, {_from_end_to_end(step)}."
    d = digit(step.digits[0]) if len(step.digits) == 1 else ""
    if step.technique == "pointing" and geometry.houses[step.houses[1]].kind not in _LINES:
        text = text.replace("a line", "another house")
    text = in_terms(text, d, labels(houses, geometry) if len(houses) == 1 else "")
    return in_regions(text) if any(h.kind == "region" for h in geometry.houses) else text


def once_more(where: str, idea: str, times: tuple[int, int]) -> tuple[str, str]:
    """A first and a second hint of a puzzle, each said the so-manieth time: ``Look once more at``,
    ``Once more a hidden single``."""
    look, said = (_AGAIN[n - 1] for n in times)
    if look:
        verb, _, rest = where.partition(" ")
        where = f"{verb} {look} {rest}"
    if said:
        between = " " if _NAMING.match(idea) else ": "
        idea = f"{said[0].upper()}{said[1:]}{between}{idea[0].lower()}{idea[1:]}"
    return where, idea


def in_terms(text: str, d: str, here: str) -> str:
    """A technique's idea in the terms of one digit and one house, where it has them."""
    if d:
        text = re.sub(r"\b(one|a) digit has", f"the {d} has", text, count=1)
        text = re.sub(r"\b(one|a) digit is", f"the {d} is", text, count=1)
        text = text.replace("one digit of", f"the {d} of").replace("for one digit", f"for the {d}")
    if here:
        for general in ("a row or a column", "a house", "a block", "a line"):
            if re.search(rf"\b(in|of) {general}\b|: {general}\b", text):
                text = text.replace(general, here, 1)
                break
    return text


def _argued(step: Step, geometry: Geometry) -> list[int]:
    """The houses in which a step reasons."""
    if step.technique == "naked-single":
        return _areas(step.cells, geometry)
    if step.places:
        return list(step.houses)
    if step.nodes and len(step.nodes) != 2:
        return []
    basis = basis_of(step, geometry)
    if basis is None:
        return list(step.houses)
    held = list(dict.fromkeys(h for h, _ in basis.held))
    return held or list(step.houses[:1])


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


def _from_end_to_end(step: Step) -> str:
    """The digits at which a chain starts and ends."""
    (one, d), (other, e) = step.nodes[0], step.nodes[-1]
    if (one, d) == (other, e):
        return f"from {a_digit(d)} round to itself"
    if d == e:
        return f"from one {digit(d)} to another"
    return f"from {a_digit(d)} to {a_digit(e)}"
