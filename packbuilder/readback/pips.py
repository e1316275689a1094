"""The pips of grades: seven lozenges before each `Grade 3`, as many of them filled as it says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from packbuilder.book.book import Book
from packbuilder.readback.document import Drawing, Track
from packbuilder.readback.match import due
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import CONTENTS, FULL_PACK, PRIMER, PUZZLES, Run
from packbuilder.readback.survey import Item, Leaf

COUNT = 7
PITCH, REACH, BEFORE, ABOVE = 0.92, 0.31, 0.7, 0.32
"""In sizes of the words: from lozenge to lozenge, from a middle to a corner, from the last corner
to the words, and from the baseline up to the middles."""
OPEN, OPEN_LESS = 0.5, 0.25
"""An open one is drawn with a line of so many points, and so much smaller."""
OFF = 0.4
"""How far one may stand off its place (points)."""

SIGNED = (CONTENTS, PRIMER, PUZZLES, FULL_PACK)
"""Where grades are told with lozenges; elsewhere in words alone, but for one in how to play."""

_WORDS = re.compile(r"(?:Grade ([1-7])|Beyond 7)(?=\s|$)")


class Pip(NamedTuple):
    """A lozenge: its middle, from there to a corner, and whether it is filled."""

    x: float
    y: float
    reach: float
    filled: bool
    drawing: Drawing


def pips_of(drawings: Sequence[Drawing]) -> tuple[list[Pip], list[Drawing]]:
    """The lozenges among some drawings, and all the other drawings."""
    found: list[Pip] = []
    others = []
    for drawing in drawings:
        some = [_lozenge(track, drawing) for track in drawing.tracks]
        if _is_pen(drawing) and all(some):
            found += [one for one in some if one]
        else:
            others.append(drawing)
    return found, others


def _is_pen(drawing: Drawing) -> bool:
    """Whether it is painted as pips are: filled in black, or a thin black line."""
    pen = drawing.pen
    if pen:
        thin = abs(pen.width - OPEN) < 0.05 and not pen.dash and not drawing.filled
        return thin and pen.colour is not None and max(pen.colour) < 0.05
    return drawing.fill is not None and max(drawing.fill) < 0.05


def _lozenge(track: Track, drawing: Drawing) -> Pip | None:
    if len(track.points) != 4 or not track.closed or track.curved:
        return None
    x = sum(p[0] for p in track.points) / 4
    y = sum(p[1] for p in track.points) / 4
    reach = max(p[0] for p in track.points) - x
    corners = {(x + reach, y), (x - reach, y), (x, y + reach), (x, y - reach)}
    for px, py in track.points:
        near = {c for c in corners if abs(c[0] - px) < 0.1 and abs(c[1] - py) < 0.1}
        if not near:
            return None
        corners -= near
    return Pip(x, y, reach, drawing.pen is None, drawing)


def check_grades(
    leaf: Leaf, items: Sequence[Item], book: Book, pips: Sequence[Pip]
) -> tuple[set[Drawing], list[Finding]]:
    """Hold the lozenges before each grade against its words, and these against the book.

    Gives the drawings that are lozenges in their places.
    """
    used: set[Drawing] = set()
    findings = []
    rows = [(run, words, _before(run, pips))
            for run in leaf.runs if (words := _WORDS.match(run.text))]  # fmt: skip
    signed = [run for run, _, mine in rows if any(mine)]
    for run, words, mine in rows:
        if not any(mine) and not _needs_pips(run, leaf, signed, items, book):
            continue
        grade = int(words[1]) if words[1] else COUNT
        used |= {pip.drawing for pip in mine if pip}
        filled = [bool(pip and pip.filled) for pip in mine]
        if None in mine:
            there = sum(pip is not None for pip in mine)
            told = f"{there} of {COUNT} lozenges stand before {words[0]!r}"
            findings.append(Finding("grade", told, leaf.number))
        elif filled != [k < grade for k in range(COUNT)]:
            told = f"{sum(filled)} of the lozenges before {words[0]!r} are filled"
            findings.append(Finding("grade", told, leaf.number))
        findings += _against_the_book(run, words[1], items, book)
    return used, findings


def _needs_pips(
    run: Run, leaf: Leaf, signed: Sequence[Run], items: Sequence[Item], book: Book
) -> bool:
    """Whether words without any lozenges must have them: not amid text, in a title, or once more
    beside a puzzle whose grade is ``signed``."""
    if leaf.section not in SIGNED or not _WORDS.fullmatch(run.text):
        return False
    if any(run.text == entry.puzzle.title for entry in (*book.entries, *book.whole)):
        return False
    here = [item for item in items if item.section == PUZZLES and item.holds(run.x0, run.y)]
    return not any(item.holds(other.x0, other.y) for item in here for other in signed)


def _before(run: Run, pips: Sequence[Pip]) -> list[Pip | None]:
    """The lozenge at each place before some words; None where there is none, or two."""
    first = run.glyphs[0]
    size = first.size
    last = first.x - (BEFORE + REACH) * size
    found: list[Pip | None] = []
    for k in range(COUNT):
        x, y = last - (COUNT - 1 - k) * PITCH * size, run.y + ABOVE * size
        here = [p for p in pips if abs(p.x - x) < OFF and abs(p.y - y) < OFF]
        sized = [p for p in here if abs(p.reach + (not p.filled) * OPEN_LESS - REACH * size) < OFF]
        found.append(sized[0] if len(here) == 1 and sized else None)
    return found


def _against_the_book(
    run: Run, grade: str | None, items: Sequence[Item], book: Book
) -> list[Finding]:
    """Whether a grade in a puzzle's place is that puzzle's."""
    for item in items:
        match = due(book, item)
        if item.section == PUZZLES and match and item.holds(run.x0, run.y):
            entry = match[0]
            wanted = str(entry.grade) if isinstance(entry.grade, int) else None
            if grade != wanted:
                told = f"{run.text!r} stands beside it, and its grade is {entry.grade}"
                return [Finding("grade", told, item.page, (), entry.number, entry.puzzle.id)]
    return []
