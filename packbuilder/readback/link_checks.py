"""Links, places, bookmarks: does each lead where it says? Each check takes plain values."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import hypot
from typing import NamedTuple

from packbuilder.readback.links import Aim, Bookmark, Link, Place, aim
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import ANSWERS, COVER, PUZZLES, TIERS, Run, plain
from packbuilder.readback.shapes import Box
from packbuilder.readback.survey import Item

REACH = 60.0
"""A place's caption stands at most so far below the point it leads to."""
ABOVE = 4.0
"""Or so little above it."""
NEAR = 6.0
"""Items whose distances from a link differ by less than this (points) are equally near."""

_FOLIO = re.compile(r"(\d+)\W*$")
_REFERENCE = re.compile(r"\bpages? (\d+)\W*$")


class Entry(NamedTuple):
    """What the links of one puzzle are held against."""

    number: int
    id: str
    title: str
    hints: int


def due_names(entry: Entry) -> list[str]:
    """The named places that a puzzle must have."""
    n = entry.number
    tiers = [f"hint-{n}-{t}" for t in (1, 2, 3)] if entry.hints else []
    return [f"puzzle-{n}", *tiers, f"answer-{n}"]


def check_places(
    places: Mapping[str, Place], items: Sequence[Item], entries: Iterable[Entry]
) -> Iterator[Finding]:
    """Each named place of the house style exists and points at the top of its item."""
    for entry in entries:
        for name in due_names(entry):
            place, goal = places.get(name), aim(name)
            assert goal is not None
            if place is None or place.page is None:
                why = "is missing" if place is None else "leads to no page of the file"
                yield Finding(
                    "destination",
                    f"the named place {name} {why}",
                    number=entry.number,
                    puzzle=entry.id,
                )
            elif not any(_is_goal(item, goal) for item in at_place(items, place)):
                yield Finding(
                    "destination",
                    f"the named place {name} leads to page {place.page}"
                    + (f", {place.top:.0f} points up" if place.top is not None else "")
                    + f", where no item of {goal.section} {goal.number} begins",
                    place.page,
                    number=entry.number,
                    puzzle=entry.id,
                )


def _is_goal(item: Item, goal: Aim) -> bool:
    return (item.section, item.number) == goal and item.part in (None, 1)


def at_place(items: Iterable[Item], place: Place) -> list[Item]:
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


def text_under(link: Link, runs: Iterable[Run]) -> str:
    """The printed text that a link's rectangle covers."""
    x0, y0, x1, y1 = link.box
    covered = []
    for run in sorted(runs, key=lambda r: (-r.y, r.x0)):
        inside = [
            g for g in run.glyphs if x0 <= (g.x0 + g.x1) / 2 <= x1 and y0 <= (g.y0 + g.y1) / 2 <= y1
        ]
        if inside:
            covered.append(Run(tuple(inside)).text)
    return " ".join(covered)


def check_links(
    links: Iterable[Link],
    runs: Mapping[int, Sequence[Run]],
    sections: Mapping[int, str],
    items: Sequence[Item],
    uris: frozenset[str],
) -> Iterator[Finding]:
    """Each link covers text that ends in the folio it leads to, and belongs to the right item.

    ``runs`` and ``sections`` are by page; ``uris`` are the outside addresses that the book has.
    """
    for link in links:
        if link.action:
            yield Finding(
                "active", f"a link runs {link.action}, which print cannot show", link.page
            )
        elif link.uri is not None:
            if link.uri not in uris:
                yield Finding(
                    "link", f"a link leads to {link.uri}, which the pack does not name", link.page
                )
        elif link.place is None or link.place.page is None:
            yield Finding(
                "link",
                f"a link leads to {link.name or 'a page'}, which is not in the file",
                link.page,
            )
        else:
            yield from _check_inner(link, link.place.page, runs.get(link.page, ()), sections, items)


def _check_inner(
    link: Link,
    target: int,
    runs: Sequence[Run],
    sections: Mapping[int, str],
    items: Sequence[Item],
) -> Iterator[Finding]:
    text = text_under(link, runs)
    folio = _FOLIO.search(text)
    if not folio or int(folio[1]) != target:
        yield Finding(
            "link",
            f"the link {text[:40]!r} leads to page {target}: its printed text "
            "must end in that number",
            link.page,
        )
        return
    goal = aim(link.name)
    if goal is None:
        return
    owners = _owners(link, runs, sections.get(link.page, ""), items)
    if owners and goal.number not in owners:
        named = " or ".join(str(n) for n in sorted(owners))
        yield Finding(
            "link",
            f"the link {text[:40]!r} beside puzzle {named} leads to {goal.section} {goal.number}",
            link.page,
            number=goal.number,
        )


def _owners(link: Link, runs: Sequence[Run], section: str, items: Sequence[Item]) -> set[int]:
    """The numbers of the puzzles that a link may belong to, by where it stands.

    Beside items that is the one in whose place it stands, else the nearest; in the contents, the
    number that its row begins with.
    """
    if section in (PUZZLES, ANSWERS, *TIERS):
        return owners(link.box, link.page, items)
    row = _row(link.box, runs)
    first = re.match(r"(\d+)\s", row + " ")
    return {int(first[1])} if first and first[1] != row else set()


def owners(box: Box, page: int, items: Sequence[Item]) -> set[int]:
    """The numbers of the items to which what stands in a box may belong: in whose place it
    stands, else the nearest."""
    here = [i for i in items if i.page == page and i.number is not None]
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    inside = {i.number for i in here if i.holds(x, y)}
    near = min((_distance(box, i.box) for i in here), default=0.0)
    nearest = {i.number for i in here if _distance(box, i.box) <= near + NEAR}
    return {n for n in inside or nearest if n is not None}


def _row(box: Box, runs: Sequence[Run]) -> str:
    """The whole line of text that a box stands on."""
    return " ".join(r.text for r in sorted(runs, key=lambda r: r.x0) if box[1] <= r.y <= box[3])


def _distance(a: Box, b: Box) -> float:
    dx = max(b[0] - a[2], a[0] - b[2], 0.0)
    dy = max(b[1] - a[3], a[1] - b[3], 0.0)
    return hypot(dx, dy)


def check_references(
    links: Sequence[Link], runs: Mapping[int, Sequence[Run]], sections: Mapping[int, str]
) -> Iterator[Finding]:
    """Every printed ``page 24`` beside an item is a live link, so that its truth is checked."""
    for page, lines in runs.items():
        if sections.get(page) not in (PUZZLES, ANSWERS, *TIERS):
            continue
        here = [link for link in links if link.page == page]
        for run in lines:
            found = _REFERENCE.search(run.text)
            last = run.glyphs[-1]
            x, y = (last.x0 + last.x1) / 2, (last.y0 + last.y1) / 2
            if found and not any(
                k.box[0] <= x <= k.box[2] and k.box[1] <= y <= k.box[3] for k in here
            ):
                yield Finding("link-missing", f"{run.text[:40]!r} is not a live link", page)


def check_promised_links(
    links: Iterable[Link], sections: Mapping[int, str], entries: Iterable[Entry]
) -> Iterator[Finding]:
    """The reader can go from the contents to each puzzle, and between puzzle, hints and answer."""
    from_to = {(sections.get(link.page, ""), link.name) for link in links}
    for entry in entries:
        n = entry.number
        due = [("Contents", f"puzzle-{n}"), (PUZZLES, f"answer-{n}"), (ANSWERS, f"puzzle-{n}")]
        if entry.hints:
            due += [(PUZZLES, f"hint-{n}-1"), (TIERS[0], f"hint-{n}-2"), (TIERS[1], f"hint-{n}-3")]
        for section, name in due:
            if (section, name) not in from_to:
                yield Finding(
                    "link-missing",
                    f"no link leads from {section} to {name}",
                    number=n,
                    puzzle=entry.id,
                )


def check_bookmarks(
    bookmarks: Sequence[Bookmark],
    sections: Mapping[int, str],
    puzzle_pages: Mapping[int, int],
    entries: Sequence[Entry],
) -> Iterator[Finding]:
    """One bookmark a section, on its first page; under Puzzles one a puzzle, on its page.

    ``puzzle_pages`` gives the page on which each puzzle's number was found.
    """
    first: dict[str, int] = {}
    for page in sorted(sections):
        first.setdefault(sections[page], page)
    top = {b.title: b.page for b in bookmarks if b.level == 0}
    for name, page in first.items():
        if name == COVER and name not in top:
            continue  # the first page needs no signpost
        if name not in top:
            yield Finding("bookmark", f"no bookmark leads to {name}", page)
        elif top[name] != page:
            yield Finding(
                "bookmark",
                f"the bookmark {name} leads to page {top[name]}; the section begins on page {page}",
                page,
            )
    below = {plain(b.title): b.page for b in bookmarks if b.level > 0}
    for entry in entries:
        title = f"{entry.number}  {entry.title}"
        found = below.get(plain(title), 0)
        if found == 0:
            yield Finding(
                "bookmark", f"no bookmark is titled {title!r}", number=entry.number, puzzle=entry.id
            )
        elif entry.number in puzzle_pages and found != puzzle_pages[entry.number]:
            yield Finding(
                "bookmark",
                f"the bookmark {title!r} leads to page {found}; the puzzle is on page "
                f"{puzzle_pages[entry.number]}",
                found,
                number=entry.number,
                puzzle=entry.id,
            )
    if len(below) > len(entries):
        yield Finding("bookmark", "there are more bookmarks under the sections than puzzles")
