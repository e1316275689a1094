"""Printed page numbers against the pages, by their words alone: on paper nothing else leads on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from packbuilder.book.book import Book, Entry
from packbuilder.readback.link_checks import owners
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import (
    ANSWERS,
    CONTENTS,
    COVER,
    ORDER,
    PUZZLES,
    TIERS,
    Run,
    plain,
)
from packbuilder.readback.shapes import Box
from packbuilder.readback.survey import Item, Leaf

_REFERENCE = re.compile(r"([^\W\d_]+(?: [^\W\d_]+)?): pages? (\d+)(?!\w)")
_LAST = re.compile(r"(\d+)\W*$")
_ORDINALS = {"first": 0, "second": 1, "third": 2}

Pages = Mapping[tuple[str, int], int]
"""The page on which each puzzle's item of a section stands."""


class Reference(NamedTuple):
    """Words that lead on: in which section, beside whose item, to which section, to which page.

    ``goal`` is None where the words do not say where they lead.
    """

    page: int
    section: str
    number: int
    goal: str | None
    told: int
    text: str


def goal_of(label: str, section: str) -> str | None:
    """The section that a reference's words name, in the section where they stand."""
    words = label.casefold().split()
    last = words[-1].rstrip("s") if words else ""
    if last == "hint":
        if words[0] in _ORDINALS:
            return TIERS[_ORDINALS[words[0]]]
        return _next(section)
    return {"answer": ANSWERS, "puzzle": PUZZLES, "more": _next(section)}.get(last)


def _next(section: str) -> str | None:
    """The tier of hints that comes after a section."""
    after = {PUZZLES: TIERS[0], TIERS[0]: TIERS[1], TIERS[1]: TIERS[2]}
    return after.get(section)


def references(leaves: Sequence[Leaf], items: Sequence[Item]) -> Iterator[Reference]:
    """All printed references beside the book's items."""
    for leaf in leaves:
        if leaf.section not in (PUZZLES, ANSWERS, *TIERS):
            continue
        for run in leaf.runs:
            for found in _REFERENCE.finditer(run.text):
                box = _box_of(run, found)
                for number in owners(box, leaf.number, items):
                    goal = goal_of(found[1], leaf.section)
                    text = found[0]
                    yield Reference(leaf.number, leaf.section, number, goal, int(found[2]), text)


def _box_of(run: Run, found: re.Match[str]) -> Box:
    """About where words stand in a run: by their share of its characters."""
    share = (run.x1 - run.x0) / max(len(run.text), 1)
    x0 = run.x0 + share * found.start()
    return x0, run.box[1], x0 + share * (found.end() - found.start()), run.box[3]


def check_references(
    leaves: Sequence[Leaf], items: Sequence[Item], book: Book
) -> Iterator[Finding]:
    """Every printed page number is that of the page that it names, and none is lacking."""
    where: dict[tuple[str, int], int] = {}
    for item in items:
        if item.number is not None and item.part in (None, 1):
            where.setdefault((item.section, item.number), item.page)
    ids = {e.number: e.puzzle.id for e in book.entries}
    led = set()
    for one in references(leaves, items):
        if one.goal is None:
            continue  # words of a puzzle's own, such as those of its introduction
        led.add((one.section, one.number, one.goal))
        page = where.get((one.goal, one.number))
        if page is not None and page != one.told:
            yield Finding(
                "reference",
                f"{one.text!r} beside puzzle {one.number}: that is on page {page}",
                one.page,
                (),
                one.number,
                ids.get(one.number),
            )
    for entry in book.entries:
        for section, goal in _promised(entry):
            if (section, entry.number, goal) not in led:
                yield Finding(
                    "reference-missing",
                    f"nothing printed in {section} leads to its page in {goal}",
                    where.get((section, entry.number)),
                    (),
                    entry.number,
                    entry.puzzle.id,
                )
    yield from _check_contents(leaves, where, book)


def _promised(entry: Entry) -> list[tuple[str, str]]:
    """From which section to which the reader is led."""
    ways = [(PUZZLES, ANSWERS), (ANSWERS, PUZZLES)]
    if entry.hints:
        ways += [(PUZZLES, TIERS[0]), (TIERS[0], TIERS[1]), (TIERS[1], TIERS[2])]
    return ways


# --- contents ------------------------------------------------------------------------------------


def _check_contents(leaves: Sequence[Leaf], where: Pages, book: Book) -> Iterator[Finding]:
    """Each row of the contents ends in the pages of its puzzle, its first hint and its answer;
    each section named there is followed by its first page."""
    pages = [leaf for leaf in leaves if leaf.section == CONTENTS]
    lines = [(leaf.number, line) for leaf in pages for line in _lines(leaf.runs)]
    for entry in book.entries:
        due = [where.get((section, entry.number)) for section in _columns(entry)]
        row = next((one for one in lines if _is_row(one[1], entry)), None)
        if row is None:
            if pages:
                yield _finding("reference-missing", "no row of the contents begins with its "
                               "number and title", entry, pages[0].number)  # fmt: skip
            continue
        page, line = row
        told = _numbers_at_end(line, len(due))
        if None not in due and told != due:
            shown, wanted = (" ".join(map(str, some)) or "none" for some in (told, due))
            words = f"its row in the contents ends in the pages {shown}, and they are {wanted}"
            yield _finding("reference", words, entry, page)
    first: dict[str, int] = {}
    for leaf in leaves:
        first.setdefault(leaf.section, leaf.number)
    for page, line in lines:
        for k, run in enumerate(line):
            yield from _check_section(page, run, line[k + 1 : k + 2], first)


def _finding(code: str, words: str, entry: Entry, page: int) -> Finding:
    return Finding(code, words, page, (), entry.number, entry.puzzle.id)


def _columns(entry: Entry) -> list[str]:
    return [PUZZLES, TIERS[0], ANSWERS] if entry.hints else [PUZZLES, ANSWERS]


def _lines(runs: Sequence[Run]) -> Iterator[list[Run]]:
    """The lines of a page, each a list of runs from left to right."""
    line: list[Run] = []
    for run in sorted(runs, key=lambda r: (-r.y, r.x0)):
        if line and line[0].y - run.y > 0.5:
            yield sorted(line, key=lambda r: r.x0)
            line = []
        line.append(run)
    if line:
        yield sorted(line, key=lambda r: r.x0)


def _is_row(line: Sequence[Run], entry: Entry) -> bool:
    """Whether a line begins with a puzzle's number, and its title or the first line of that."""
    text = " ".join(r.text for r in line)
    found = re.match(rf"{entry.number}(?!\d)", text)
    if not found:
        return False
    said, due = plain(text[found.end() :]), plain(entry.puzzle.title)
    if said.startswith(due):
        return True
    words = [r.text for r in line]
    words[0] = words[0][found.end() :]
    title = next((plain(w) for w in words if plain(w)), "")
    return len(title) > 2 and due.startswith(title)


def _numbers_at_end(line: Sequence[Run], most: int) -> list[int]:
    """The whole numbers with which a line ends, no more than so many."""
    found: list[int] = []
    for word in reversed(" ".join(r.text for r in line).split()):
        if not word.isdecimal() or len(found) == most:
            break
        found.insert(0, int(word))
    return found


def _check_section(
    page: int, run: Run, after: Sequence[Run], first: Mapping[str, int]
) -> Iterator[Finding]:
    """The name of a section, alone in its run, is followed by the section's first page."""
    name = _LAST.sub("", run.text).strip()
    if name not in ORDER or name in (COVER, CONTENTS):
        return
    told = _LAST.search(run.text) or (_LAST.fullmatch(after[0].text) if after else None)
    if told and name in first and int(told[1]) != first[name]:
        yield Finding(
            "reference",
            f"the contents have {name} on page {told[1]}; it begins on page {first[name]}",
            page,
        )
