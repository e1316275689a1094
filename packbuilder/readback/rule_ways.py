"""Ways to the rules: what a puzzle's rules mean stands beside it, or is led to by its page."""

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
    """Words beside a puzzle that lead to a rule by its title, or to a section, and its page."""

    page: int
    entry: Entry
    goal: str
    told: int
    text: str


def ways_to_rules(match: Match, page: SeenPage) -> Iterator[RuleWay]:
    """What leads on from a puzzle to what its rules mean."""
    titles = _titles(match.entry)
    goals = {title: title for title in titles} | {HOW_TO_PLAY: HOW_TO_PLAY}
    if len(titles) == 1:
        goals[RULES] = titles[0]
    label = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, goals))}): page (\d+)(?!\w)")
    for run in page.leads if titles else ():
        if match.item.holds(run.x0, run.y):
            for found in label.finditer(run.text):
                told = int(found[2])
                yield RuleWay(page.number, match.entry, goals[found[1]], told, found[0])


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
    """Each leads to the page that it names, and none is lacking at the puzzles of which nothing
    beside them tells what their rules mean; ``where`` are the pages of rules and of sections."""
    led = {(way.entry.number, way.goal) for way in found}
    for way in found:
        page = where.get(way.goal)
        if page is not None and page != way.told:
            words = f"{way.text!r} beside puzzle {way.entry.number}: that is on page {page}"
            yield _finding("reference", words, way.entry, way.page)
    for entry in book.entries:
        for goal in (HOW_TO_PLAY,) if book.whole else _titles(entry):
            if entry.number in untold and (entry.number, goal) not in led:
                words = f"neither what its rules mean nor the way to {goal!r} stands beside it"
                yield _finding("reference-missing", words, entry, None)


def _titles(entry: Entry) -> list[str]:
    return [kinds()[slug].title for slug in entry.puzzle.rule_names]


def _finding(code: str, words: str, entry: Entry, page: int | None) -> Finding:
    return Finding(code, words, page, (), entry.number, entry.puzzle.id)
