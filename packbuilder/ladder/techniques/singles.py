"""Singles: the words of the steps that place a digit. `path` finds them, all at once."""

from __future__ import annotations

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.english import digit, label
from packbuilder.ladder.step import Step


def tell_full_house(step: Step, geometry: Geometry) -> str:
    """The words of a full house."""
    cell, d, house = _parts(step, geometry)
    return f"{cell} is the last empty cell of {house}, so it is {d}."


def tell_hidden_single(step: Step, geometry: Geometry) -> str:
    """The words of a hidden single."""
    cell, d, house = _parts(step, geometry)
    return f"In {house}, {d} fits only in {cell}."


def tell_naked_single(step: Step, geometry: Geometry) -> str:
    """The words of a naked single."""
    cell, d, _ = _parts(step, geometry)
    return f"{cell} can only be {d}: every other digit is ruled out there."


def _parts(step: Step, geometry: Geometry) -> tuple[str, str, str]:
    cell, d = step.places[0]
    house = label(step.houses[0], geometry) if step.houses else ""
    return cell_name(cell, geometry.size), digit(d), house
