"""Plan: what stands on which page, decided before anything is drawn."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

from packbuilder.book.book import Book
from packbuilder.book.wording import month_name
from packbuilder.errors import InputError
from packbuilder.layouts.model import Layout
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.pages.answer_pages import answers
from packbuilder.pages.back_cover import back_cover
from packbuilder.pages.colophon import credits
from packbuilder.pages.contents import contents
from packbuilder.pages.cover import cover
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import CannotSet, Source, worst
from packbuilder.pages.full_pack import full_pack
from packbuilder.pages.hint_pages import hints
from packbuilder.pages.how_to_play import foreword, how_to_play
from packbuilder.pages.notes_pages import notes
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.primer import primer
from packbuilder.pages.prose import tidy
from packbuilder.pages.puzzle_pages import puzzles
from packbuilder.pages.rule_entries import rules
from packbuilder.plan.inks import inks
from packbuilder.plan.items import Plan

SECTIONS: tuple[Callable[[Draft, Book], None], ...] = (
    cover, contents, foreword, how_to_play, primer, puzzles, notes, rules, hints, answers, credits,
)  # fmt: skip
"""The book from cover to credits, in the order of the house style."""

SAMPLER: tuple[Callable[[Draft, Book], None], ...] = (
    cover, how_to_play, puzzles, notes, full_pack, answers, credits,
)  # fmt: skip
"""The few pages of a sampler."""


def plan(book: Book, layout: Layout, floors: Mapping[str, int] | None = None) -> Plan:
    """Every page of the book. Raises CannotSet for all that cannot be set in that layout.

    ``floors`` are the least numbers of pages of sections, by their names.
    """
    if not book.entries:
        raise InputError("the pack has no puzzles; there is nothing to print")
    sheet = PageDesign(layout, book.pack.paper, book.edition)
    draft = _drafted(book, sheet, floors, ())
    if draft.noted:  # the contents must know beforehand that there is a page of notes
        draft = _drafted(book, sheet, floors, draft.noted)
    if book.edition.folded:
        with draft.going_on():
            back_cover(draft, book)
            _check_creep(book, sheet, draft.folio)
    if draft.faults:
        raise CannotSet(*worst(draft.faults))
    theme, setters = tidy(book.pack.theme), (tidy(entry.puzzle.setter) for entry in book.entries)
    return bound(
        draft,
        tidy(book.pack.title),
        f"{theme} ({month_name(tidy(book.pack.issue))})".lstrip(),
        dict.fromkeys(("number-placement puzzles", *dict.fromkeys(_kinds(book)), *setters)),
    )


def _drafted(
    book: Book, sheet: PageDesign, floors: Mapping[str, int] | None, noted: Iterable[int]
) -> Draft:
    draft = Draft(sheet, book.pack, book.edition, floors, noted)
    for section in SAMPLER if book.whole else SECTIONS:
        with draft.going_on():
            section(draft, book)
    draft.fill_up()
    return draft


def bound(draft: Draft, title: str, subject: str, keywords: Iterable[str]) -> Plan:
    """The pages of a draft as a plan that says what it is."""
    sheet, pack = draft.sheet, draft.pack
    greys = sheet.greys
    return Plan(
        width=sheet.width,
        height=sheet.height,
        pages=draft.pages(),
        bookmarks=tuple(draft.bookmarks),
        edition=draft.edition,
        inks=inks(greys.quiet, greys.rule, greys.shade, dark=draft.edition.dark),
        creep=pack.creep * MM,
        title=title,
        author=tidy(pack.byline),
        subject=subject,
        keywords=tuple(keywords),
        dated=_dated(pack.issue),
        stamp=sheet.stamp,
    )


def _check_creep(book: Book, sheet: PageDesign, pages: int) -> None:
    """Raise CannotSet where pages of inner sheets would move too near to each other."""
    creep, sheets = book.pack.creep, -(-pages // 4)
    moved, room = creep * (sheets - 1), (sheet.inner / MM - SAFE) / 2
    if moved > room:
        most = int(room / (sheets - 1) * 1000) / 1000
        raise Source("pack: creep").fault(
            f"{creep:g} mm a sheet moves the pages of the innermost of {sheets} "
            f"sheets {moved:.1f} mm towards the fold, and the layout {sheet.layout.name} has room "
            f"for {room:.1f} mm on {sheet.paper} pages: {moved - room:.1f} mm too much",
            f"give {most:g} mm or less, or take a layout with a wider inner margin",
        )


def _kinds(book: Book) -> list[str]:
    return [entry.puzzle.geometry.name().replace(",", "") for entry in book.entries]


def _dated(issue: str) -> tuple[int, int]:
    """Year and month of the issue: the only date in the file, so that the same book is the same."""
    found = re.fullmatch(r"(\d{4})-(\d{2})", issue)
    if found and 1 <= int(found[2]) <= 12:
        return int(found[1]), int(found[2])
    return 2000, 1
