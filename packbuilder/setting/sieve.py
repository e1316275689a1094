"""The sieve: what of a request the compiled search can see for itself.

It knows singles, locked candidates, subsets and fish without fins. What it lets pass is a little
more than what was asked for, never less; the ladder has the last word.
"""

from __future__ import annotations

from collections.abc import Iterable

from packbuilder.ladder.table import DEFAULT
from packbuilder.proof.picture_kernel import STEPS, Asked
from packbuilder.puzzle import BEYOND
from packbuilder.setting.request import Request

_LOCKED = ("pointing", "claiming")
STUCK, OPEN, DONE = 1, 2, 3
"""Scores: see `proof.picture_search`."""


def anything(request: Request) -> Asked:
    """Any grid with one solution, whatever its steps."""
    return Asked(0, 0, 0, DONE, *request.clues, False)


def asked_of(request: Request) -> Asked:
    """What the compiled search is to look for."""
    below, steps, low, high = _scores(request)
    return Asked(bits(below), bits(steps), low, high, *request.clues, request.minimal)


def _scores(request: Request) -> tuple[set[str], set[str], int, int]:
    needs, grade = request.turns_on, request.grade
    if needs:
        top = max((DEFAULT.rung_of(slug) for slug in needs if slug in DEFAULT.slugs), default=0)
        steps = _known(needs)
        below = _known(slug for slug in DEFAULT.slugs if DEFAULT.rung_of(slug) < top) - steps
        if top < 3:
            return set(), set(), 0, DONE
        if not steps:
            return below, steps, STUCK, DONE
        if any(slug not in STEPS and slug not in _LOCKED for slug in needs):
            return below, steps, OPEN, OPEN  # another is needed, too: it must not be done yet
        # On rung 5 all that is easier is known here, where every house holds every digit.
        exact = top == 5 and all(
            len(house.cells) == request.geometry.size for house in request.geometry.houses
        )
        return below, steps, DONE if exact else OPEN, DONE
    if grade == BEYOND:
        return set(STEPS), set(), STUCK, DONE
    if grade is None:
        return set(), set(), 0, DONE
    if grade < 3:
        return set(), set(), 0, 0
    below = _known(slug for slug in DEFAULT.slugs if DEFAULT.rung_of(slug) < min(grade, 5))
    return below, set(), STUCK, DONE


def _known(slugs: Iterable[str]) -> set[str]:
    """Those that the compiled search knows, by the names that it has for them."""
    return {"locked" if slug in _LOCKED else slug for slug in slugs} & set(STEPS)


def bits(steps: Iterable[str]) -> int:
    """A set of `STEPS` as a number."""
    return sum(1 << STEPS.index(step) for step in steps)
