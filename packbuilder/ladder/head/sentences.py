"""The words of a solve without notes: each mark by place and digit, what it shows, and its end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from packbuilder.grid import Geometry
from packbuilder.ladder import words
from packbuilder.ladder.english import (
    cells,
    digits,
    digits_plural,
    joined,
    label,
    labels,
    listed,
    struck,
)
from packbuilder.ladder.step import Step


@dataclass(frozen=True, slots=True)
class NamedMark:
    """A mark for people: these digits are in these cells; ``house`` (index) is where it shows.

    One digit in two or three cells, or as many digits as cells.
    """

    digits: tuple[int, ...]
    cells: tuple[int, ...]
    house: int


def name(mark: NamedMark, geometry: Geometry) -> str:
    """``the 5s of block 3``, or ``the pair 3 and 7 of row 1``."""
    house = label(mark.house, geometry)
    if len(mark.digits) == 1:
        return f"the {digits_plural(mark.digits[0])} of {house}"
    return f"the {_kind(mark.digits)} {digits(mark.digits)} of {house}"


def tell_mark(step: Step, uses: Sequence[NamedMark], geometry: Geometry) -> str:
    """A mark that is set: what shows it, and what it rules out."""
    size, house = geometry.size, labels(step.houses[:1], geometry)
    if len(step.digits) == 1:
        both = "both" if len(step.cells) == 2 else "all"
        shows = (
            f"the {digits_plural(step.digits[0])} of {house} can only be in "
            f"{cells(step.cells, size, 'or')}, {both} in {labels(step.houses[1:], geometry)}"
        )
        what = "this"
    elif step.technique.startswith("hidden"):
        shows = (
            f"the digits {digits(step.digits)} of {house} can only be in {cells(step.cells, size)}"
        )
        what = f"this {_kind(step.digits)}"
    else:
        shows = f"{cells(step.cells, size)} can only be {digits(step.digits)}"
        what = f"this {_kind(step.digits)} of {house}"
    return (
        f"{_with(uses, shows, geometry)}. Keep {what} in mind: it rules out "
        f"{joined(struck(step.removes, 'in', size))}."
    )


def tell_placement(step: Step, uses: Sequence[NamedMark], geometry: Geometry) -> str:
    """A digit that is placed, with the marks that show it."""
    if not uses:
        return words.tell(step, geometry)
    cell, digit = cells(step.cells, geometry.size), digits(step.digits)
    if step.houses:
        shows = f"{digit} fits in {labels(step.houses, geometry)} only in {cell}"
    else:
        shows = f"{cell} can only be {digit}"
    return f"{_with(uses, shows, geometry)}."


def tell_end(ends: Sequence[NamedMark], uses: Sequence[NamedMark], geometry: Geometry) -> str:
    """That marks have done their work; without their names if they were all named just before."""
    if set(ends) == set(uses):
        what = "This mark" if len(ends) == 1 else "These marks"
    else:
        what = _sentence(listed(name(mark, geometry) for mark in ends))
    return f"{what} can be forgotten now."


def _with(uses: Sequence[NamedMark], shows: str, geometry: Geometry) -> str:
    if not uses:
        return _sentence(shows)
    return f"With {listed(name(mark, geometry) for mark in uses)} in mind, {shows}"


def _sentence(text: str) -> str:
    """The text with a capital, unless it begins with a cell: those are written small everywhere."""
    return text if text[1:2].isdigit() else text[0].upper() + text[1:]


def _kind(found: Iterable[int]) -> str:
    return "pair" if len(tuple(found)) == 2 else "triple"
