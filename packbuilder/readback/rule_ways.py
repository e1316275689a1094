"""Ways to the rules: what a puzzle's rules mean stands beside it, or is led to by its page; how to
play leads to where they all stand."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from packbuilder.book import Book
from packbuilder.book.book import Entry
from packbuilder.readback.match import Match
from packbuilder.readback.report import Finding
from packbuilder.reader.pages import SeenPage
from packbuilder.reader.text import HOW_TO_PLAY, RULES, body
from packbuilder.rules import kinds


class RuleWay(NamedTuple):
    """Words beside a puzzle, or in how to play, that lead to a rule by its title, or to a section,
    and its page.

    Words that the pack has itself, such as the title of a puzzle, ``may`` be no way.
    """

    page: int
    entry: Entry | None
    goal: str
    told: int
    text: str
    may: bool


def ways_to_rules(page: SeenPage, match: Match | None = None) -> Iterator[RuleWay]:
    """What leads on from a puzzle, or from how to play, to what rules mean."""
    entry = match.entry if match else None
    goals = goals_of(entry) if entry else {RULES: RULES}
    label = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, goals))}): page (\d+)(?!\w)")
    for run in body(page.runs):
        if match is None or match.item.holds(run.x0, run.y):
            for found in label.finditer(run.text):
                goal, told, may = goals[found[1]], int(found[2]), run not in page.leads
                yield RuleWay(page.number, entry, goal, told, found[0], may)


def goals_of(entry: Entry) -> dict[str, str]:
    """To what the words before a page's number lead: how to play, or the rule of a title."""
    titles = _titles(entry)
    goals = {title: title for title in titles} | {HOW_TO_PLAY: HOW_TO_PLAY}
    return goals | ({RULES: titles[0]} if len(titles) == 1 else {})


def titles_on(page: SeenPage) -> dict[str, int]:
    """The page on which each rule stands whose title is the largest type of a line."""
    if page.section != RULES:
        return {}
    large = ("".join(g.text for g in run.glyphs if g.size > run.size - 0.1)
             for run in body(page.runs))  # fmt: skip
    return {" ".join(title.split()): page.number for title in large}


def check_ways_to_rules(
    found: Sequence[RuleWay],
    untold: Collection[int],
    where: Mapping[str, int],
    book: Book,
) -> Iterator[Finding]:
    """Each leads to the page that it names, and none is lacking in how to play, or at the puzzles
    of which nothing beside them tells what their rules mean; ``where`` are the pages of rules and
    of sections."""
    led = {(way.entry and way.entry.number, way.goal) for way in found
           if not way.may or way.told == where.get(way.goal)}  # fmt: skip
    for way in found:
        page = where.get(way.goal)
        if page != way.told and not way.may:
            there = f"on page {page}" if page else "on no page"
            beside = f"beside puzzle {way.entry.number}" if way.entry else f"in {HOW_TO_PLAY!r}"
            words = f"{way.text!r} {beside}: that is {there}"
            yield _finding("reference", words, way.entry, way.page)
    if {RULES, HOW_TO_PLAY} <= {*where} and (None, RULES) not in led:
        words = f"nothing printed in {HOW_TO_PLAY!r} leads to {RULES!r}"
        yield _finding("reference-missing", words, None, where[HOW_TO_PLAY])
    for entry in book.entries:
        for goal in (HOW_TO_PLAY,) if book.whole else _titles(entry):
            if entry.number in untold and (entry.number, goal) not in led:
                words = f"neither what its rules mean nor the way to {goal!r} stands beside it"
                yield _finding("reference-missing", words, entry, None)


def _titles(entry: Entry) -> list[str]:
    return [kinds()[slug].title for slug in entry.puzzle.rule_names]


def _finding(code: str, words: str, entry: Entry | None, page: int | None) -> Finding:
    of = (entry.number, entry.puzzle.id) if entry else ()
    return Finding(code, words, page, (), *of)
