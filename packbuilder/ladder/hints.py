"""Hints: three tiers for a point of the solve at which a reader gets stuck."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.grid import Values
from packbuilder.ladder.step import Step


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
