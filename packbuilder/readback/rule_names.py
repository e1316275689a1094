"""The names of rules in print: beside each puzzle, and on the how-to-play pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.book.book import Book, Entry
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import HOW_TO_PLAY, Run, plain
from packbuilder.readback.survey import ALIGNED, Item, Leaf
from packbuilder.rules import kinds

LABEL = "Rules:"


def names_beside(item: Item, leaf: Leaf) -> list[str] | None:
    """The names that stand behind ``Rules:`` in a puzzle's place; None where nothing says so.

    A line that ends in a comma goes on in the next one below.
    """
    beside = [run for run in leaf.runs if item.holds(run.x0, run.y)]
    start = next((run for run in beside if run.text.startswith(LABEL)), None)
    if start is None:
        return None
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


def check_names(item: Item, leaf: Leaf, entry: Entry) -> Iterator[Finding]:
    """The names beside a puzzle are the titles of its rules, in the manifest's order."""
    due = [kinds()[slug].title for slug in entry.puzzle.rule_names]
    found = names_beside(item, leaf) or []
    if [plain(name) for name in found] != [plain(title) for title in due]:
        yield Finding(
            "rule-name",
            f"the rules named beside it are {_listed(found)}; the manifest has {_listed(due)}",
            item.page,
            number=entry.number,
            puzzle=entry.puzzle.id,
        )


def check_taught(leaves: Sequence[Leaf], book: Book) -> Iterator[Finding]:
    """The how-to-play pages have a line that begins with the title of each rule in use."""
    pages = [leaf for leaf in leaves if leaf.section == HOW_TO_PLAY]
    lines = [plain(run.text) for leaf in pages for run in leaf.runs]
    used = dict.fromkeys(slug for e in book.entries for slug in e.puzzle.rule_names)
    for slug in used:
        title = kinds()[slug].title
        if pages and not any(line.startswith(plain(title)) for line in lines):
            yield Finding(
                "rule-name", f"the how-to-play pages do not explain {title!r}", pages[0].number
            )


def _listed(names: Sequence[str]) -> str:
    return ", ".join(repr(name) for name in names) or "none"
