"""A post to paste: what the month's pack is, in plain text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from packbuilder import rules
from packbuilder.book.wording import month_name, numerals
from packbuilder.editions import SAMPLER
from packbuilder.issuing.ledger import Reissue
from packbuilder.phrases import counted, listed
from packbuilder.puzzle import BEYOND, Pack

NAME = "post.txt"
TO_FILL_IN = "Until [fill in: day, hour and time zone] to [fill in: where entries are sent]."


def post(pack: Pack, record: Mapping[str, Any], reissues: Sequence[Reissue] = ()) -> str:
    """Title, theme, what there is of each grade, guests, a taste; paragraphs in a line each.

    Until when solvers may enter, and where, is no part of a manifest: blanks are left for it.
    """
    return "\n\n".join(_paragraphs(pack, record["puzzles"], record["files"], reissues)) + "\n"


def _paragraphs(
    pack: Pack,
    puzzles: Sequence[Mapping[str, Any]],
    files: Sequence[Mapping[str, Any]],
    reissues: Sequence[Reissue],
) -> Iterator[str]:
    yield f"{pack.title}\n{month_name(pack.issue)}, by {pack.byline}"
    if pack.theme:
        yield pack.theme
    yield f"{counted(len(puzzles), 'puzzle')}: {_grades(puzzles)}."
    if named := dict.fromkeys(slug for one in puzzles for slug in one["rules"]):
        titles = (rules.kinds()[slug].title for slug in named)
        yield f"Rules beyond rows, columns and blocks: {', '.join(titles)}."
    if guests := dict.fromkeys(one["setter"] for one in puzzles if one["setter"] != pack.byline):
        yield f"With guests: {listed(guests)}."
    if prizes := sorted(one["number"] for one in puzzles if "entry" in one):
        what = "puzzle" if len(prizes) == 1 else "puzzles"
        yield (
            f"Be first: solve {what} {numerals(prizes, to='-')} and send in the digits of the "
            f"lettered cells, in order. {TO_FILL_IN}"
        )
    sampler = next((one for one in files if one["edition"] == SAMPLER.name), None)
    if sampler and pack.sampler < len(puzzles):
        held = f"{pack.sampler} of the {len(puzzles)} puzzles"
        yield f"A taste, free to pass on: {sampler['name']}, with {held}."
    for one in reissues:
        yield f"Put right on {one.date}: {one.reason} The slip {one.errata} says what changed."


def _grades(puzzles: Sequence[Mapping[str, Any]]) -> str:
    """``2 of grade 1, 3 of grade 4 and 1 beyond the ladder``."""
    found = Counter(one["grade"] for one in puzzles)
    told = [f"{found[grade]} of grade {grade}" for grade in sorted(set(found) - {BEYOND})]
    return listed([*told, *([f"{found[BEYOND]} beyond the ladder"] if found[BEYOND] else [])])
