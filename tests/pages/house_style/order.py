"""Order: what follows what, what faces what, where a link leads, what is read when."""

from __future__ import annotations

from calendar import month_name
from collections.abc import Iterator
from itertools import groupby, pairwise

from packbuilder.plan.items import (
    FURNITURE,
    Box,
    Destination,
    Figure,
    Link,
    Table,
    Tag,
    Text,
    WebLink,
)
from tests.pages.house_style.measuring import (
    HEADS,
    HINTS,
    SAMPLER,
    Look,
    Printed,
    Told,
    around,
    bare,
    marks_of,
    within,
)


def sections_follow_one_another(p: Printed) -> Told:
    """Each section once, in order, and only those that have something to print; so do bookmarks,
    with one for each puzzle."""
    told = [section for section, _ in groupby(page.section for page in p.plan.pages)]
    hinted = any(entry.hints for entry in p.book.entries)
    there = {"Foreword": p.book.pack.foreword.strip(), "Primer": p.book.lessons,
             "Back cover": p.plan.edition.folded} | dict.fromkeys(HINTS, hinted)  # fmt: skip
    there["Ideas in the hints"] = hinted
    there["The rules"] = any(entry.puzzle.rule_names for entry in p.book.entries)
    there["Notes"] = any(item.name.startswith("note-") for page in p.plan.pages
                         for item in page.items if isinstance(item, Destination))  # fmt: skip
    due = [s for s in (SAMPLER if p.book.whole else HEADS) if there.get(s, True)]
    heads = [mark.title for mark in p.plan.bookmarks if mark.level == 0]
    names = [bare(mark.title) for mark in p.plan.bookmarks if mark.level]
    if not told == heads == due:
        yield f"sections {told} with bookmarks {heads}; due are {due}"
    if names != [bare(f"{e.number}{e.puzzle.title}") for e in p.book.entries]:
        yield f"bookmarks of puzzles are {names}"


def answers_face_nothing_that_is_unsolved(p: Printed) -> Told:
    """Pages 6 and 7 of a bound book face; answers begin on a leaf's front, or after other pages:
    those of a sampler after the list of the full pack."""
    for left, right in pairwise(p.plan.pages):
        harmless = left.section in ("Answers", "The full pack")
        if left.folio % 2 == 0 and right.section == "Answers" and not harmless:
            yield f"answers on page {right.folio} face {left.section}"


def solved_grids_stand_in_the_answers_alone(p: Printed) -> Told:
    """No other page shows a whole solution of the pack, or of the pack that a sampler is of."""
    solved = {"".join(".123456789ABCDEFG"[digit] for digit in entry.solution)
              for entry in (*p.book.entries, *p.book.whole)}  # fmt: skip
    for look in p.looks:
        for grid in look.grids if look.section != "Answers" else ():
            if "".join(grid.digits.get(k, ".") for k in range(grid.size**2)) in solved:
                yield f"page {look.folio} shows an answer"


def pages_are_numbered_at_their_outer_ends(p: Printed) -> Told:
    """Every page but covers has its number at the foot's outer end, its section's name so at the
    head: right on odd pages, which lie at the right (common practice, no source); on screens,
    where a page comes after the other, always right."""
    for number, look in enumerate(p.looks[1:-1] if p.plan.edition.folded else p.looks[1:], 2):
        outer = -1 if number % 2 or p.plan.edition.fields else 0
        if (look.folio, look.foot[outer].text) != (number, str(number)):
            yield f"page {number} is numbered {look.foot[outer].text!r}"
        if look.head[outer].text != look.section:
            yield f"page {number}, of {look.section}, is headed {look.head[outer].text!r}"


def links_lead_to_the_pages_that_they_print(p: Printed) -> Told:
    """What a link covers ends in the number of the page that it leads to."""
    places = [(item.name, page.folio) for page in p.plan.pages for item in page.items
              if isinstance(item, Destination)]  # fmt: skip
    goals = dict(places)
    for entry in p.book.entries:
        due = [f"{kind}-{entry.number}" for kind in ("puzzle", "answer")]
        due += [f"hint-{entry.number}-{k}" for k in (1, 2, 3) if entry.hints]
        if len(goals) != len(places) or not {*due} <= goals.keys():
            yield f"of {due} some places are not there, or one is there twice"
    for page in p.plan.pages:
        for item in page.items:
            if not isinstance(item, Link | WebLink):
                continue
            words = [one for one in page.items if isinstance(one, Text) and one.tag is item.tag]
            for mark in (mark for text in words for mark in marks_of(text)):
                if not within(mark.box, item.box, -0.3):
                    yield f"page {page.folio}: {mark.text!r} stands out of its link"
            if isinstance(item, Link):
                told = {text.text.split(" ")[-1] for text in words} | {item.words.split(" ")[-1]}
                if told != {str(goals.get(item.to))}:
                    yield f"page {page.folio}: {told} leads to {item.to}"


def contents_are_in_order(p: Printed) -> Told:
    """A row a puzzle, with its page, its hints and its answer; then the sections, as they come. A
    sampler has none."""
    if p.book.whole:
        return
    looks = [look for look in p.looks if look.section == "Contents"]
    told = [item.to for look in looks for item in look.page.items if isinstance(item, Link)]
    due = [f"{kind}-{e.number}{end}" for e in p.book.entries
           for kind, end in (("puzzle", ""), ("hint", "-1"), ("answer", ""))
           if kind != "hint" or e.hints]  # fmt: skip
    rest = [one for one in dict.fromkeys(page.section for page in p.plan.pages)
            if one not in ("Cover", "Contents", "Puzzles", "Back cover")]  # fmt: skip
    if told != [*due, *("section-" + name.lower().replace(" ", "-") for name in rest)]:
        yield f"contents lead to {told}"
    words = bare("".join(i.text for look in looks for i in look.page.items if isinstance(i, Text)))
    for name in (*(e.puzzle.title for e in p.book.entries), *rest):
        if bare(name) not in words:
            yield f"contents do not name {name}"


def nothing_is_read_before_what_stands_above_it(p: Printed) -> Told:
    """To a screen reader a page goes down each column (WCAG 2.2, 1.3.2, meaningful sequence); only
    the cover's picture comes last."""
    for look in p.looks[1:]:
        read: list[tuple[str, Box]] = []
        for name, mine in _read_out(look):
            for other, box in read:
                beside = min(mine[2], box[2]) - max(mine[0], box[0]) < 1
                if mine[1] > box[3] - 0.5 and not beside:
                    yield f"page {look.folio}: {name!r} after {other!r}"
            read.append((name, mine))


def _read_out(look: Look) -> Iterator[tuple[str, Box]]:
    """What is read out of a page, in order: each element, by its first words, with its box."""
    boxes = {id(grid.item): [grid.frame] for grid in look.grids}
    pictures = (*look.pictures, *look.cases)
    boxes |= {id(item): [mark.box for mark in marks] for item, marks in pictures}
    found: dict[int, tuple[str, list[Box]]] = {}
    for item in look.page.items:
        if isinstance(item, Table | Figure):
            found[id(item)] = ("a grid or picture", boxes[id(item)])
        elif isinstance(item, Text) and item.tag is not None and item.tag is not FURNITURE:
            element: Tag = item.tag
            while element.within is not None:
                element = element.within
            _, held = found.setdefault(id(element), (item.text, []))
            held += [mark.box for mark in marks_of(item)]
    return ((name, around(held)) for name, held in found.values() if held)


def tags_are_whole(p: Printed) -> Told:
    """One heading of level 1 a section; no level is left out on the way down; pictures and grids
    have words (PDF/UA-1, ISO 14289-1, 7.3 and 7.4.2; from memory)."""
    for section, pages in groupby(p.plan.pages, key=lambda page: page.section):
        items = [item for page in pages for item in page.items]
        tags = dict.fromkeys(item.tag for item in items if isinstance(item, Text))
        levels = [int(tag.role[1]) for tag in tags if tag and tag.role.startswith("H")]
        if levels.count(1) != 1 or any(b > a + 1 for a, b in pairwise(levels)):
            yield f"{section} has headings of the levels {levels}"
        for item in items:
            if isinstance(item, Figure) and len(item.tag.alt) < 10:
                yield f"{section}: a picture without words"
            if isinstance(item, Table) and f"{item.size}x{item.size}" not in item.summary:
                yield f"{section}: a grid called {item.summary!r}"


def the_file_says_what_it_is(p: Printed) -> Told:
    """Title, author, subject and key words are the pack's own, and its month is the only date."""
    plan, pack, (year, month) = p.plan, p.book.pack, p.plan.dated
    setters = {entry.puzzle.setter for entry in p.book.entries}
    kinds = {entry.puzzle.geometry.name() for entry in p.book.entries}
    keys = {bare(one) for one in (*setters, *kinds, "number-placement puzzles")}
    told = (bare(plan.title), bare(plan.author), f"{year}-{month:02}", bare(plan.subject))
    due = (bare(pack.title), bare(pack.byline), pack.issue,
           bare(f"{pack.theme} {month_name[month]} {year}"))  # fmt: skip
    if told != due or {*map(bare, plan.keywords)} != keys:
        yield f"the file says {told} and {plan.keywords}"
