"""The words of an item against the book: titles, setters, introductions, hints, names of rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.book import Book
from packbuilder.readback.match import Match
from packbuilder.readback.report import Finding, first_few
from packbuilder.reader.pages import ALIGNED, SeenItem, SeenPage
from packbuilder.reader.text import (
    ANSWERS,
    FOREWORD,
    HOW_TO_PLAY,
    PUZZLES,
    TIERS,
    Run,
    caption_in,
    plain,
    says,
    unsaid,
)
from packbuilder.rules import kinds

LABEL = "Rules:"


def check_words(match: Match, page: SeenPage) -> Iterator[Finding]:
    """Titles and setters are the manifest's; what stands beside a puzzle is its own."""
    item, puzzle = match.item, match.entry.puzzle
    if item.section in (PUZZLES, ANSWERS):
        printed = item.text.removeprefix(str(match.entry.number))
        whole = plain(printed).startswith(plain(puzzle.title))
        if not whole and (item.section == PUZZLES or not says(printed, puzzle.title)):
            words = f"the caption reads {item.text[:60]!r}; the title is {puzzle.title!r}"
            yield match.finding("caption", words)
    if item.section != PUZZLES:
        return
    beside = [run.text for run in page.pack if item.holds(run.x0, run.y)]
    if plain(puzzle.setter) not in plain("".join(beside)):
        yield match.finding("caption", f"nothing beside it names the setter, {puzzle.setter!r}")
    lost = unsaid(" ".join(beside), puzzle.intro or "")
    if lost:
        told = first_few(lost)
        yield match.finding("words", f"words of its introduction are not printed: {told}")
    yield from _check_names(match, page)


def check_hint_words(match: Match, page: SeenPage, later: str) -> Iterator[Finding]:
    """A hint says what the book's hint says. ``later`` are words that go on on the next page."""
    item, entry = match.item, match.entry
    tier = TIERS.index(item.section)
    for k, hint in enumerate(entry.hints, start=1):
        if tier == 2 and k != (item.part or 1):
            continue
        words = (hint.where, hint.idea, hint.told)[tier]
        label = f"{entry.number}.{k}" if tier < 2 and len(entry.hints) > 1 else ""
        foot = " ".join(r.text for r in page.runs if r.y - page.runs[-1].y <= 0.5)
        printed = plain(item.text)
        if tier == 2:
            printed += plain(f"{item.text.removesuffix(foot)} {later}")
        if plain(label + words) not in printed:
            told = f"{label} {words}".strip()[:60]
            yield match.finding("words", f"the hint does not say {told!r}")


def words_at_the_head(page: SeenPage) -> str:
    """What stands above all captions of a page of third hints: words that began on the last one."""
    words = []
    for run in page.runs[1:]:  # the first is the running head
        if caption_in(run, hint=True):
            break
        words.append(run.text)
    return " ".join(words)


def check_prose(text: str, section: str, book: Book, page: int) -> Iterator[Finding]:
    """The pack's own prose is printed whole; ``text`` is all that a section's pages say."""
    pack = book.pack
    if section == FOREWORD:
        lost = unsaid(text, pack.foreword)
        if lost:
            told = f"words of the foreword are not printed: {first_few(lost)}"
            yield Finding("words", told, page)
    elif section == HOW_TO_PLAY:
        for slug in dict.fromkeys(slug for e in book.entries for slug in e.puzzle.rule_names):
            title = kinds()[slug].title
            if plain(title) not in plain(text):
                told = f"the how-to-play pages do not explain {title!r}"
                yield Finding("rule-name", told, page)


def check_cover(page: SeenPage, book: Book) -> Iterator[Finding]:
    """The cover has the pack's title and theme."""
    words = " ".join(run.text for run in page.runs)
    if plain(book.pack.title).casefold() not in plain(words).casefold():
        told = f"the cover does not print the pack's title, {book.pack.title!r}"
        yield Finding("caption", told, page.number)
    lost = unsaid(words, book.pack.theme)
    if lost:
        told = f"words of the theme are not printed: {first_few(lost)}"
        yield Finding("words", told, page.number)


# --- names of rules ------------------------------------------------------------------------------


def names_beside(item: SeenItem, page: SeenPage) -> list[str]:
    """The names that stand behind ``Rules:`` in a puzzle's place.

    A line that ends in a comma goes on in the next one below.
    """
    beside = [run for run in page.house if item.holds(run.x0, run.y)]
    start = next((run for run in beside if run.text.startswith(LABEL)), None)
    if start is None:
        return []
    line, text = start, start.text.removeprefix(LABEL)
    while text.endswith(","):
        after = _below(line, beside)
        if after is None:
            break
        line, text = after, text + after.text
    return [name.strip() for name in text.split(",") if name.strip()]


def _below(line: Run, runs: Sequence[Run]) -> Run | None:
    under = [r for r in runs if r.y < line.y - 0.5 and abs(r.x0 - line.x0) < ALIGNED]
    return max(under, key=lambda r: r.y, default=None)


def _check_names(match: Match, page: SeenPage) -> Iterator[Finding]:
    """The names beside a puzzle are the titles of its rules, in the manifest's order."""
    due = [kinds()[slug].title for slug in match.entry.puzzle.rule_names]
    found = names_beside(match.item, page)
    if [plain(name) for name in found] != [plain(title) for title in due]:
        yield match.finding(
            "rule-name",
            f"the rules named beside it are {_listed(found)}; the manifest has {_listed(due)}",
        )


def _listed(names: Sequence[str]) -> str:
    return ", ".join(repr(name) for name in names) or "none"
