"""Printed page numbers against the pages, by their words alone: on paper nothing else leads on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from math import hypot
from typing import NamedTuple

from packbuilder.book import Book, Entry
from packbuilder.readback.links import WITH_ITEMS
from packbuilder.readback.report import Finding
from packbuilder.reader.marks import Box
from packbuilder.reader.pages import ALIGNED, SeenItem, SeenPage
from packbuilder.reader.text import (
    ANSWERS,
    CONTENTS,
    COVER,
    NOTES,
    ORDER,
    PUZZLES,
    TIERS,
    Run,
    body,
    plain,
)

NEAR = 6.0
"""Items whose distances from a reference differ by less than this (points) are equally near."""

_COLUMNS = 3
"""So many pages end a row of the contents."""
_REFERENCE = re.compile(r"([^\W\d_]+(?: [^\W\d_]+)?): pages? (\d+)(?!\w)")
_LAST = re.compile(r"(\d+)\W*$")
_ORDINALS = {"first": 0, "second": 1, "third": 2}

Pages = Mapping[tuple[str, int, int], int]
"""The page on which each puzzle's item of a section stands; of hints, each of them from 1."""

_AGAIN = "stuck again"
"""Leads from a third hint to the first tier of the puzzle's next one."""

Line = tuple[str, ...]
"""A printed line: the text of each of its runs, from left to right."""


class Reference(NamedTuple):
    """Words that lead on: in which section, beside whose item, to which section, to which page.

    ``part`` is which of a puzzle's hints it stands beside, ``leads`` to which one it leads; 1 where
    there is one alone. Words that the pack has itself, such as the title of a puzzle, ``may`` be
    no reference.
    """

    page: int
    section: str
    number: int
    goal: str
    told: int
    text: str
    part: int = 1
    leads: int = 1
    may: bool = False


def goal_of(label: str, section: str) -> str | None:
    """The section that a reference's words name, in the section where they stand."""
    words = label.casefold().split()
    last = words[-1].rstrip("s") if words else ""
    if last == "hint":
        if words[0] in _ORDINALS:
            return TIERS[_ORDINALS[words[0]]]
        return _next(section)
    if label.casefold() == _AGAIN:
        return TIERS[0] if section == TIERS[2] else None
    goals = {"answer": ANSWERS, "puzzle": PUZZLES, "note": NOTES, "more": _next(section)}
    return goals.get(last)


def _next(section: str) -> str | None:
    """The tier of hints that comes after a section."""
    after = {PUZZLES: TIERS[0], TIERS[0]: TIERS[1], TIERS[1]: TIERS[2]}
    return after.get(section)


def references(page: SeenPage, items: Sequence[SeenItem]) -> Iterator[Reference]:
    """All printed references beside a page's items. Words that lead nowhere are a puzzle's own."""
    if page.section not in WITH_ITEMS:
        return
    for run in body(page.runs):
        for found in _REFERENCE.finditer(run.text):
            goal = goal_of(found[1], page.section)
            for number, part in sorted(owners(_box_of(run, found), items)) if goal else ():
                told = int(found[2])
                again = found[1].casefold() == _AGAIN
                leads = part + again if goal in TIERS else 1
                yield Reference(page.number, page.section, number, goal or "", told, found[0],
                                part, leads, run not in page.leads)  # fmt: skip


def owners(box: Box, items: Sequence[SeenItem]) -> set[tuple[int, int]]:
    """The numbers and parts of the items to which words in a box may belong: in whose place they
    stand, else the nearest."""
    here = [i for i in items if i.number is not None]
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    inside = {(i.number, i.part or 1) for i in here if i.holds(x, y)}
    near = min((_distance(box, i.box) for i in here), default=0.0)
    nearest = {(i.number, i.part or 1) for i in here if _distance(box, i.box) <= near + NEAR}
    return {(n, part) for n, part in inside or nearest if n is not None}


def _distance(a: Box, b: Box) -> float:
    dx = max(b[0] - a[2], a[0] - b[2], 0.0)
    dy = max(b[1] - a[3], a[1] - b[3], 0.0)
    return hypot(dx, dy)


def _box_of(run: Run, found: re.Match[str]) -> Box:
    """About where words stand in a run: by their share of its characters."""
    share = (run.x1 - run.x0) / max(len(run.text), 1)
    x0 = run.x0 + share * found.start()
    return x0, run.box[1], x0 + share * (found.end() - found.start()), run.box[3]


def lines_of(page: SeenPage) -> list[Line]:
    """The printed lines of a page of contents that begin at its left edge: rows and sections."""
    lines: list[list[Run]] = []
    for run in body(page.runs):
        if not lines or lines[-1][0].y - run.y > 0.5:
            lines.append([])
        lines[-1].append(run)
    rows = [sorted(line, key=lambda r: r.x0) for line in lines]
    left = min((row[0].x0 for row in rows), default=0.0)
    return [tuple(r.text for r in row) for row in rows if row[0].x0 < left + ALIGNED]


# --- over all pages ------------------------------------------------------------------------------


def check_references(
    found: Sequence[Reference], items: Sequence[SeenItem], book: Book, *, cards: bool = False
) -> Iterator[Finding]:
    """Every printed page number is that of the page that it names, and none is lacking; but puzzles
    on ``cards`` that have their answers lead to no hint or answer: they are cut out."""
    where = pages_of(items)
    ids = {e.number: e.puzzle.id for e in book.entries}
    led = {
        (one.section, one.number, one.part, one.goal, one.leads)
        for one in found
        if not one.may or one.told == where.get((one.goal, one.number, one.leads))
    }
    for one in found:
        page = where.get((one.goal, one.number, one.leads))
        if page is not None and page != one.told and not one.may:
            told = f"{one.text!r} beside puzzle {one.number}: that is on page {page}"
            yield Finding("reference", told, one.page, (), one.number, ids.get(one.number))
    for entry in book.entries:
        noted = (NOTES, entry.number, 1) in where
        for section, part, goal, leads in _promised(entry, noted=noted):
            if cards and section == PUZZLES and goal != NOTES:
                continue
            if (section, entry.number, part, goal, leads) not in led:
                told = f"nothing printed in {section} leads to its page in {goal}"
                page = where.get((section, entry.number, part))
                yield _finding("reference-missing", told, entry, page)


def pages_of(items: Sequence[SeenItem]) -> Pages:
    """The page on which each puzzle's item of a section stands, or each of its hints."""
    where: dict[tuple[str, int, int], int] = {}
    for item in items:
        if item.number is not None:
            where.setdefault((item.section, item.number, item.part or 1), item.page)
    return where


def _promised(entry: Entry, *, noted: bool) -> list[tuple[str, int, str, int]]:
    """From which section to which the reader is led: of hints, from each tier to the next. (From a
    third hint too, but the words of one may go on on a page of their own.) ``noted`` where there is
    a note on it."""
    ways = [(PUZZLES, 1, ANSWERS, 1), (ANSWERS, 1, PUZZLES, 1)]
    ways += [(PUZZLES, 1, NOTES, 1), (NOTES, 1, PUZZLES, 1)] if noted else []
    ways += [(PUZZLES, 1, TIERS[0], 1)] if entry.hints else []
    for k in range(1, len(entry.hints) + 1):
        ways += [(TIERS[0], k, TIERS[1], k), (TIERS[1], k, TIERS[2], k)]
    return ways


def check_contents(
    lines: Sequence[tuple[int, Line]],
    items: Sequence[SeenItem],
    first: Mapping[str, int],
    book: Book,
) -> Iterator[Finding]:
    """Each row of the contents ends in the pages of its puzzle, its first hint and its answer;
    each section named there is followed by its first page.

    ``lines`` are those of the contents, each with its page; ``first`` the first page of sections.
    """
    where = pages_of(items)
    for entry in book.entries if CONTENTS in first else ():
        columns = [PUZZLES, TIERS[0], ANSWERS] if entry.hints else [PUZZLES, ANSWERS]
        due = [where.get((section, entry.number, 1)) for section in columns]
        row = next((one for one in lines if _is_row(one[1], entry)), None)
        if row is None:
            told = "no row of the contents begins with its number and title"
            yield _finding("reference-missing", told, entry, first[CONTENTS])
            continue
        page, line = row
        found = _numbers_at_end(line, len(due))
        if None not in due and found != due:
            shown, wanted = (" ".join(map(str, some)) or "none" for some in (found, due))
            words = f"its row in the contents ends in the pages {shown}, and they are {wanted}"
            yield _finding("reference", words, entry, page)
    for page, line in lines:
        for k, text in enumerate(() if any(_is_row(line, e) for e in book.entries) else line):
            yield from _check_section(page, text, line[k + 1 : k + 2], first)


def _finding(code: str, words: str, entry: Entry, page: int | None) -> Finding:
    return Finding(code, words, page, (), entry.number, entry.puzzle.id)


def _is_row(line: Line, entry: Entry) -> bool:
    """Whether a line begins with a puzzle's number, and its title or the first line of that."""
    text = " ".join(line)
    found = re.match(rf"{entry.number}(?!\d)", text)
    if not found:
        return False
    said, due = plain(text[found.end() :]), plain(entry.puzzle.title)
    if said.startswith(due):
        return True
    words = text[found.end() :].split()
    ends = [len(words) - k for k in range(_COLUMNS + 1)]  # in front of its pages, or some of them
    first_lines = [plain("".join(words[:end])) for end in ends if end > 0]
    of_title = entry.puzzle.title.split()
    short = {plain("".join(of_title[:k])) for k in range(1, len(of_title))}
    return any(one in short or (len(one) > 2 and due.startswith(one)) for one in first_lines)


def _numbers_at_end(line: Line, most: int) -> list[int]:
    """The whole numbers with which a line ends, no more than so many."""
    found: list[int] = []
    for word in reversed(" ".join(line).split()):
        if not word.isdecimal() or len(found) == most:
            break
        found.insert(0, int(word))
    return found


def _check_section(
    page: int, text: str, after: Line, first: Mapping[str, int]
) -> Iterator[Finding]:
    """The name of a section, alone in its run, is followed by the section's first page."""
    name = _LAST.sub("", text).strip()
    if name not in ORDER or name in (COVER, CONTENTS):
        return
    told = _LAST.search(text) or (_LAST.fullmatch(after[0]) if after else None)
    if told and name in first and int(told[1]) != first[name]:
        words = f"the contents have {name} on page {told[1]}; it begins on page {first[name]}"
        yield Finding("reference", words, page)
