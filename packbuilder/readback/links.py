"""Links and named places: does each lead where its words say?"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from math import hypot
from typing import NamedTuple

from packbuilder.book import Entry
from packbuilder.readback.report import Finding
from packbuilder.reader.marks import Box
from packbuilder.reader.navigation import Link, Target
from packbuilder.reader.pages import SeenItem, SeenPage
from packbuilder.reader.text import ANSWERS, CONTENTS, PUZZLES, TIERS, Run

REACH = 60.0
"""A place's caption stands at most so far below the point it leads to."""
ABOVE = 4.0
"""Or so little above it."""
NEAR = 6.0
"""Items whose distances from a link differ by less than this (points) are equally near."""
WITH_ITEMS = (PUZZLES, ANSWERS, *TIERS)

_NAME = re.compile(r"(puzzle|hint|answer)-(\d+)(?:-([123]))?")
_FOLIO = re.compile(r"(\d+)\W*$")
_REFERENCE = re.compile(r"\bpages? (\d+)\W*$")


class Aim(NamedTuple):
    """What a destination's name means: a section and a puzzle's number in it."""

    section: str
    number: int


def aim(name: str | None) -> Aim | None:
    """The meaning of a destination's name; None where the house style does not know it."""
    found = _NAME.fullmatch(name or "")
    if not found or (found[1] == "hint") != bool(found[3]):
        return None
    section = {"puzzle": PUZZLES, "answer": ANSWERS}.get(found[1]) or TIERS[int(found[3]) - 1]
    return Aim(section, int(found[2]))


# --- on one page ---------------------------------------------------------------------------------


def check_links(
    page: SeenPage, items: Sequence[SeenItem], links: Sequence[Link], uris: Collection[str]
) -> Iterator[Finding]:
    """Each link covers text that ends in the folio it leads to, and belongs to the right item.

    ``uris`` are the outside addresses that the book has.
    """
    for link in links:
        told = _amiss(link, page, items, uris)
        if told:
            yield Finding("link", told, page.number)
    if page.section in WITH_ITEMS:
        yield from _check_references(page, links)


def _amiss(link: Link, page: SeenPage, items: Sequence[SeenItem], uris: Collection[str]) -> str:
    if link.action:
        return f"a link runs {link.action}, which print cannot show"
    if link.uri is not None:
        known = link.uri in uris
        return "" if known else f"a link leads to {link.uri}, which the pack does not name"
    target = link.place.page if link.place else None
    if target is None:
        return f"a link leads to {link.name or 'a page'}, which is not in the file"
    text = text_under(link.box, page.runs)
    folio = _FOLIO.search(text)
    if not folio or int(folio[1]) != target:
        printed = "its printed text must end in that number"
        return f"the link {text[:40]!r} leads to page {target}: {printed}"
    goal = aim(link.name)
    whose = _owners(link, page, items)
    if goal and whose and goal.number not in whose:
        named = " or ".join(str(n) for n in sorted(whose))
        where = f"{goal.section} {goal.number}"
        return f"the link {text[:40]!r} beside puzzle {named} leads to {where}"
    return ""


def text_under(box: Box, runs: Iterable[Run]) -> str:
    """The printed text that a box covers."""
    x0, y0, x1, y1 = box
    covered = []
    near = (run for run in runs if run.x0 <= x1 and run.x1 >= x0)
    for run in sorted(near, key=lambda r: (-r.y, r.x0)):
        inside = [
            g for g in run.glyphs if x0 <= (g.x0 + g.x1) / 2 <= x1 and y0 <= (g.y0 + g.y1) / 2 <= y1
        ]
        if inside:
            covered.append(Run(tuple(inside)).text)
    return " ".join(covered)


def _owners(link: Link, page: SeenPage, items: Sequence[SeenItem]) -> set[int]:
    """The numbers of the puzzles that a link may belong to, by where it stands.

    Beside items that is the one in whose place it stands, else the nearest; in the contents, the
    number that its row begins with.
    """
    if page.section in WITH_ITEMS:
        return owners(link.box, items)
    row = sorted((r for r in page.runs if link.box[1] <= r.y <= link.box[3]), key=lambda r: r.x0)
    words = " ".join(r.text for r in row)
    first = re.match(r"(\d+)\s", words)
    return {int(first[1])} if first else set()


def owners(box: Box, items: Sequence[SeenItem]) -> set[int]:
    """The numbers of the items of a page to which what stands in a box may belong: in whose place
    it stands, else the nearest."""
    here = [i for i in items if i.number is not None]
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    inside = {i.number for i in here if i.holds(x, y)}
    near = min((_distance(box, i.box) for i in here), default=0.0)
    nearest = {i.number for i in here if _distance(box, i.box) <= near + NEAR}
    return {n for n in inside or nearest if n is not None}


def _distance(a: Box, b: Box) -> float:
    dx = max(b[0] - a[2], a[0] - b[2], 0.0)
    dy = max(b[1] - a[3], a[1] - b[3], 0.0)
    return hypot(dx, dy)


def _check_references(page: SeenPage, links: Sequence[Link]) -> Iterator[Finding]:
    """Every printed ``page 24`` beside an item is a live link, so that its truth is checked."""
    for run in page.house:
        if not _REFERENCE.search(run.text):
            continue
        last = run.glyphs[-1]
        x, y = (last.x0 + last.x1) / 2, (last.y0 + last.y1) / 2
        boxes = (link.box for link in links)
        if not any(x0 <= x <= x1 and y0 <= y <= y1 for x0, y0, x1, y1 in boxes):
            yield Finding("link-missing", f"{run.text[:40]!r} is not a live link", page.number)


# --- over all pages ------------------------------------------------------------------------------


def check_promised_links(
    found: Collection[tuple[str, str | None]], entries: Iterable[Entry]
) -> Iterator[Finding]:
    """The reader can go from the contents to each puzzle, and between puzzle, hints and answer.

    ``found`` are the sections in which links stand, with the names of the places that they lead to.
    """
    for entry in entries:
        n = entry.number
        due = [(CONTENTS, f"puzzle-{n}"), (PUZZLES, f"answer-{n}"), (ANSWERS, f"puzzle-{n}")]
        if entry.hints:
            due += [(PUZZLES, f"hint-{n}-1"), (TIERS[0], f"hint-{n}-2"), (TIERS[1], f"hint-{n}-3")]
        for section, name in due:
            if (section, name) not in found:
                words = f"no link leads from {section} to {name}"
                yield Finding("link-missing", words, number=n, puzzle=entry.puzzle.id)


def check_places(
    places: Mapping[str, Target], items: Sequence[SeenItem], entries: Iterable[Entry]
) -> Iterator[Finding]:
    """Each named place of the house style exists and points at the top of its item."""
    for entry in entries:
        n = entry.number
        tiers = [f"hint-{n}-{t}" for t in (1, 2, 3)] if entry.hints else []
        for name in (f"puzzle-{n}", *tiers, f"answer-{n}"):
            place, goal = places.get(name), aim(name)
            told = ""
            if place is None or place.page is None:
                told = "is missing" if place is None else "leads to no page of the file"
            elif goal and not any(_is_goal(item, goal) for item in at_place(items, place)):
                where = f"page {place.page}, where no item of {goal.section} {n} begins"
                told = f"leads to {where}"
            if told:
                page = place.page if place else None
                words = f"the named place {name} {told}"
                yield Finding("destination", words, page, (), n, entry.puzzle.id)


def _is_goal(item: SeenItem, goal: Aim) -> bool:
    return (item.section, item.number) == goal and item.part in (None, 1)


def at_place(items: Iterable[SeenItem], place: Target) -> list[SeenItem]:
    """The items that begin just below a place; side by side there may be several."""
    if place.page is None or place.top is None:
        return []
    below = [
        item
        for item in items
        if item.page == place.page and -ABOVE <= place.top - item.head[1] <= REACH
    ]
    highest = max((item.head[1] for item in below), default=0.0)
    level = [item for item in below if highest - item.head[1] < ABOVE]
    if place.left is not None and len(level) > 1:
        near = min(abs(item.head[0] - place.left) for item in level)
        if near <= REACH:
            level = [item for item in level if abs(item.head[0] - place.left) <= near + ABOVE]
    return level
