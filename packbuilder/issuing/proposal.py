"""A proposal for next month: what was long unused, and what `set` would have to make of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from packbuilder.issuing.year import (
    PICTURES,
    RULES,
    SETTERS,
    SYMMETRIES,
    TECHNIQUES,
    Use,
    Year,
    after,
)
from packbuilder.ladder.table import DEFAULT

HARDEST = 6
"""Techniques above this rung turn up too seldom to make a month of."""


@dataclass(frozen=True)
class Proposal:
    """A theme for a month: a technique, a rule, a symmetry, a picture; ``guests`` to ask again.

    ``words`` say why, ``commands`` what would make the grids.
    """

    issue: str
    technique: str
    rule: str
    symmetry: str
    picture: str
    guests: tuple[str, ...]
    words: tuple[str, ...]
    commands: tuple[str, ...]


def proposal(year: Year) -> Proposal:
    """What was unused for longest of each kind; of equals the easiest."""
    rungs = {one.slug: one.rung for one in DEFAULT.techniques if one.rung <= HARDEST}
    ways = [use for use in year.kind(TECHNIQUES).uses if use.name in rungs]
    technique, rule = _longest(ways), _longest(year.kind(RULES).uses)
    symmetry, picture = (_longest(year.kind(one).uses) for one in (SYMMETRIES, PICTURES))
    absent = [one for one in year.kind(SETTERS).uses if one.long_unused]
    guests = tuple(one.name for one in absent)
    issue = after(year.issues[-1].issue)
    seed = issue.replace("-", "")
    words = [
        f"technique: {technique.name}, {_since(technique)}",
        f"rule: {rule.name}, {_since(rule)}",
        f"symmetry: {symmetry.name}, {_since(symmetry)}",
        f"picture: {picture.name}, {_since(picture)}",
        *(f"guest: {one.name}, {_since(one)}" for one in absent),
    ]
    grade, name = rungs[technique.name], symmetry.name
    commands = (
        f"packbuilder set --count 3 --grade {grade} --needs {technique.name} --symmetry {name} "
        f"--seed {seed}",
        f"packbuilder set --rule {rule.name} --seed {seed}",
        f"packbuilder set --picture {picture.name} --seed {seed}",
    )
    return Proposal(
        issue, technique.name, rule.name, name, picture.name, guests, tuple(words), commands
    )


def _longest(uses: tuple[Use, ...] | list[Use]) -> Use:
    """Never comes before long ago; of equals the first."""
    return max(uses, key=lambda use: float("inf") if use.idle is None else use.idle)


def _since(use: Use) -> str:
    return "never used" if use.last is None else f"last used in {use.last}"


def as_json(found: Proposal) -> dict[str, Any]:
    """The proposal as a part of a JSON document."""
    return {
        "issue": found.issue,
        "technique": found.technique,
        "rule": found.rule,
        "symmetry": found.symmetry,
        "picture": found.picture,
        "guests": list(found.guests),
        "commands": list(found.commands),
    }
