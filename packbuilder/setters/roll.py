"""The roll: each setter's puzzles, the permission for each, and what is missing before release."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from packbuilder.gate import Checked, Report
from packbuilder.phrases import listed
from packbuilder.puzzle import Pack
from packbuilder.setters.permission_date import permission_date

NO_PERMISSION = "permission"


@dataclass(frozen=True)
class Given:
    """A puzzle that a setter gave. ``date`` is the permission's, as ISO 8601 has it.

    ``missing`` says in a few words each what the creator still has to ask for.
    """

    id: str
    title: str
    where: str
    permission: str | None
    date: str | None
    missing: tuple[str, ...]


@dataclass(frozen=True)
class Setter:
    """A setter and what they gave; ``guest`` is false for the pack's own byline."""

    name: str
    guest: bool
    given: tuple[Given, ...]

    @property
    def withheld(self) -> bool:
        """Whether a permission is missing altogether."""
        return any(NO_PERMISSION in one.missing for one in self.given)


def roll(report: Report) -> tuple[Setter, ...]:
    """Every setter of a pack, in the order of the manifest."""
    found: dict[str, list[Given]] = {}
    for one in report.checked:
        found.setdefault(one.puzzle.setter, []).append(_given(one, report.pack))
    byline = report.pack.byline
    return tuple(Setter(name, name != byline, tuple(given)) for name, given in found.items())


def _given(one: Checked, pack: Pack) -> Given:
    puzzle = one.puzzle
    date = permission_date(puzzle.permission or "")
    return Given(
        puzzle.id,
        puzzle.title,
        puzzle.where,
        puzzle.permission,
        date.isoformat() if date else None,
        tuple(_missing(one, pack, dated=date is not None)),
    )


def _missing(one: Checked, pack: Pack, *, dated: bool) -> Iterator[str]:
    puzzle = one.puzzle
    if puzzle.setter != pack.byline:
        if not puzzle.permission:
            yield NO_PERMISSION
        elif not dated:
            yield "the permission's day, month and year"
        if puzzle.solution is None:
            yield "the setter's own solution"
    answered = {name for name, _ in puzzle.answers}
    if names := [name for name, _ in pack.questions if name not in answered]:
        yield f"answers: {listed(names)}"
    codes = dict.fromkeys(f.code for f in one.findings if f.refuses and f.code != "no-permission")
    if codes:
        yield f"a grid that the gate lets pass ({', '.join(codes)})"


def as_json(setters: tuple[Setter, ...]) -> dict[str, Any]:
    """The roll as one JSON document."""
    return {
        "setters": [
            {
                "setter": setter.name,
                "guest": setter.guest,
                "puzzles": [
                    {
                        "id": one.id,
                        "permission": one.permission,
                        "date": one.date,
                        "missing": list(one.missing),
                    }
                    for one in setter.given
                ],
            }
            for setter in setters
        ]
    }
