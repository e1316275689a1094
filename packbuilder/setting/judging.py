"""Judging: is a grid what was asked for? All that the ladder says of it, in one place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rounds import Rating, rate, solves
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.phrases import counted
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.rules.contract import Part
from packbuilder.setting.request import Request

HARDEST = 7
"""The grade up to which a grid may be where none is asked for. What is harder is trying one thing
after another, and few would call that solving (common practice, no source)."""


def within_reach(request: Request, grade: Grade) -> bool:
    """Whether a grade will do where none is asked for; what must be needed may ask for more."""
    return grade != BEYOND and (grade <= HARDEST or bool(request.turns_on))


@dataclass(frozen=True)
class Judged:
    """What was found of a grid, what is quickest to know first.

    ``failed`` is the part of the request that it does not meet, in words; "" where it meets all.
    ``rating`` is None where that was known before the whole was rated.
    """

    failed: str
    rating: Rating | None = None


@dataclass
class Tally:
    """How a search stands: grids looked at, the grades that were met, what failed first."""

    tried: int = 0
    grades: Counter[str] = field(default_factory=Counter)
    failed: Counter[str] = field(default_factory=Counter)

    def add(self, judged: Judged, times: int = 1) -> None:
        """Note one grid more, or so many."""
        self.tried += times
        self.grades.update({str(judged.rating.grade): times} if judged.rating else {})
        self.failed.update({judged.failed: times} if judged.failed and times else {})

    def merge(self, other: Tally) -> None:
        """Note what another search noted."""
        self.tried += other.tried
        self.grades.update(other.grades)
        self.failed.update(other.failed)

    @property
    def as_json(self) -> dict[str, object]:
        """For ``set --json``."""
        met = {"grades": dict(self.grades), "failed": dict(self.failed)}
        return {"tried": self.tried, "met": met}

    def advice(self) -> str:
        """What stood in the way, and what to do about it, as a clause."""
        if not self.failed:
            return "raise the budget, allow more clue counts, or try another picture or symmetry"
        what, times = self.failed.most_common(1)[0]
        grades = ", ".join(f"{grade} ({n})" for grade, n in sorted(self.grades.items()))
        met = f"; grades met: {grades}" if grades and what.startswith("grade") else ""
        return (
            f"{what} failed most, in {times} of {counted(self.tried, 'grid')} looked at{met}; "
            "ask for less, allow more clue counts, or raise the budget"
        )


def judge(
    request: Request,
    geometry: Geometry,
    clues: Values,
    parts: Sequence[Part] = (),
    rating: Rating | None = None,
) -> Judged:
    """Hold a grid with one solution against a request, but for its clues' number and places.

    ``rating`` spares the work where it is known.
    """
    ladder = with_rules(DEFAULT, parts)
    for slugs in (request.needs, request.only):
        for slug in slugs:
            if not _is_needed(slug, slugs, geometry, clues, ladder):
                return Judged(f"needs {slug}", rating)
    for slug in request.only:
        top = max(ladder.rung_of(one) for one in request.only)
        if solves(geometry, clues, ladder.without(slug).up_to(top + 1)):
            return Judged(f"only {slug}", rating)
    rating = rating or rate(geometry, clues, ladder=ladder)
    if request.grade is None and not within_reach(request, rating.grade):
        return Judged(f"a grade up to {HARDEST}", rating)
    if request.grade not in (None, rating.grade):
        return Judged(f"grade {request.grade}", rating)
    if request.no_notes is not None:
        load = no_notes(geometry, clues, ladder.parts)
        if not load.solved or load.marks is None or load.marks > request.no_notes:
            return Judged(f"no-notes {request.no_notes}", rating)
    return Judged("", rating)


def _is_needed(
    slug: str, slugs: Sequence[str], geometry: Geometry, clues: Values, ladder: Ladder
) -> bool:
    """What `promises.needs` says of one of several techniques, without the paths.

    First the solve without it: most grids that do not need it end there.
    """
    allowance = ladder.up_to(max(ladder.rung_of(one) for one in slugs), *slugs)
    return not solves(geometry, clues, allowance.without(slug)) and solves(
        geometry, clues, allowance
    )
