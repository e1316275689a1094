"""Answers that stand on their head at the feet of cards: each puzzle's on the card of another."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from packbuilder.book import Book
from packbuilder.book.how_to_play import card_answer
from packbuilder.readback.report import Finding
from packbuilder.reader.pages import SeenItem, SeenPage
from packbuilder.reader.text import PUZZLES, Run, plain

_BEGINS = re.compile(r"Answer to (\d+): ")


class CardAnswer(NamedTuple):
    """An answer as it stands on a page, and the number of the puzzle on whose card it stands."""

    page: int
    card: int | None
    number: int | None
    text: str


def card_answers(page: SeenPage, items: Sequence[SeenItem]) -> Iterator[CardAnswer]:
    """All text of a page that stands on its head, line by line from where an answer begins."""
    if page.section != PUZZLES:
        return
    told: list[list[Run]] = []
    for run in page.on_its_head:  # from the top, when the page is turned
        above = (one for one in told if _goes_on(one[-1], run))
        before = None if _BEGINS.match(run.text) else next(above, None)
        if before is None:
            told.append([run])
        else:
            before.append(run)
    for one in told:
        text = " ".join(run.text for run in one)
        found, (x, y) = _BEGINS.match(text), (-(one[0].x0 + one[0].x1) / 2, -one[0].y)
        card = next((item.number for item in items if item.holds(x, y)), None)
        yield CardAnswer(page.number, card, int(found[1]) if found else None, text)


def _goes_on(run: Run, other: Run) -> bool:
    return abs(run.x0 - other.x0) < 1 and 0 < run.y - other.y < 2 * run.size


def check_card_answers(found: Sequence[CardAnswer], book: Book) -> Iterator[Finding]:
    """Where cards have answers at all, each puzzle's stands on one card, and never on its own."""
    entries = {entry.number: entry for entry in book.entries}
    for one in found:
        entry = entries.get(one.number or 0)
        due = card_answer(entry) if entry else ""
        if entry is None or plain(one.text) != plain(due):
            what = f"{one.text[:40]!r} stands on its head, which is no answer of the book"
        elif one.card in (None, one.number):
            what = "its answer stands on its head on its own card, or on none"
        else:
            continue
        yield Finding("card-answer", what, one.page, (), one.number)
    for number, entry in entries.items() if found else ():
        count = sum(one.number == number for one in found)
        if count != 1:
            what = f"its answer stands on {count or 'no'} other card{'s' * (count != 1)}"
            yield Finding("card-answer", what, None, (), number, entry.puzzle.id)
