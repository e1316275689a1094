"""Step: one move of a solve, with what it rests on."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.grid import Geometry
from packbuilder.rules.contract import Part


@dataclass(frozen=True, slots=True)
class Step:
    """One application of a technique.

    ``places`` holds (cell, digit) pairs that the step writes into the grid, ``removes`` (cell,
    digit) pairs that it strikes from the candidates. ``cells``, ``digits`` and ``houses`` (indices
    into the geometry's houses) are what the step rests on, in the order in which they are told.
    ``nodes`` are the links of a chain in order, or the two colours of a colouring: some cells and
    the digit that one of them (or, of a colour, each of them) may hold. ``ties`` are the houses
    that say so: of a chain, for each node but the last, the house in which the next one follows
    from it (-1 within a cell); of a colouring, the houses of its pairs. ``told`` is the sentence of
    a step that came with its find: of one that a rule of the puzzle allows, only the rule knows
    how to say it. ``part`` is the part of that rule. ``untold`` are (cell, digit) pairs that it
    strikes too, where it is told in part: nothing later rests on them.
    """

    technique: str
    rung: int
    places: tuple[tuple[int, int], ...]
    removes: tuple[tuple[int, int], ...]
    cells: tuple[int, ...]
    digits: tuple[int, ...]
    houses: tuple[int, ...]
    nodes: tuple[tuple[tuple[int, ...], int], ...] = ()
    ties: tuple[int, ...] = ()
    told: str = ""
    part: Part | None = None
    untold: tuple[tuple[int, int], ...] = ()


def as_told(step: Step, _geometry: Geometry) -> str:
    """The words that came with the find."""
    return step.told
