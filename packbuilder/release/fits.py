"""Fits: what of a pack cannot be set in the editions that are asked for, told with the gate's own.

Every edition is planned as it would be for print, and nothing is drawn. So `check` and `build` say
the same, and what the gate lets pass is built.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from packbuilder import pages, plaintext
from packbuilder.book.assembling import book_of, whole_book
from packbuilder.book.book import Book
from packbuilder.editions import PRINT, Edition
from packbuilder.errors import InputError
from packbuilder.gate import Checked, Finding, Report
from packbuilder.gate.report import does_not_fit
from packbuilder.pages.faults import CannotSet, Fault, Source
from packbuilder.phrases import listed

Unset = Mapping[str, InputError]
"""By the names of editions, why they cannot be set."""


def with_fits(report: Report, editions: Iterable[Edition]) -> Report:
    """The report with what cannot be set in these editions, as far as its puzzles are solved.

    All is told at once: each text with the edition in which it is most of all too long.
    """
    whole = whole_book(report)
    unset: dict[str, InputError] = {}
    for edition in editions if whole.entries else ():
        try:
            plan(book_of(whole, edition))
        except InputError as fault:
            unset[edition.name] = fault
    return with_unset(report, unset)


def plan(book: Book) -> None:
    """Plan a book in the form of its edition. Raises InputError for all that cannot be set."""
    if book.edition.suffix == ".txt":
        plaintext.outline_of(book)
    else:
        pages.plan_book(book)


def with_unset(report: Report, unset: Unset) -> Report:
    """The report with what keeps editions from being set."""
    found = _findings(unset)
    known = {one.message for one in report.findings}
    own = [one for one in found.get(None, ()) if one.message not in known]
    checked = tuple(_with(one, found.get(one.puzzle.id, ())) for one in report.checked)
    return replace(report, checked=checked, findings=(*report.findings, *own))


def told(report: Report) -> str:
    """What does not fit, for a build that ends with it."""
    lines = ["the pack cannot be set in all that was asked for; nothing was released"]
    named = [(f"{one.puzzle.where}: {one.puzzle.id}", one.findings) for one in report.checked]
    for where, findings in (*named, (report.pack.slug, report.findings)):
        for one in findings:
            if one.editions:
                lines.append(f"{where}: {one.message}\n    To mend: {one.mend}")
    return "\n".join(lines)


def _with(one: Checked, found: Iterable[Finding]) -> Checked:
    """A puzzle with more findings, but for grids of which the gate has said that they are too large
    for the pack's own layout."""
    roomless = any(finding.code == "no-room" for finding in one.findings)
    return one.also(*(f for f in found if not (roomless and f.field == "size")))


def _findings(unset: Unset) -> dict[str | None, list[Finding]]:
    """What cannot be set, by the puzzle that it is of; None: of the pack. A finding a text."""
    texts: dict[Source, list[tuple[str, Fault]]] = {}
    found: dict[str | None, list[Finding]] = {}
    for name, error in unset.items():
        if isinstance(error, CannotSet):
            for fault in error.faults:
                texts.setdefault(fault.source, []).append((name, fault))
        else:
            mend = str(error).partition("; ")[2]
            if all(one.message != str(error) for one in found.get(None, ())):
                found.setdefault(None, []).append(does_not_fit(str(error), mend, "", (name,)))
    for source, some in texts.items():
        name, worst = max(some, key=lambda one: one[1].over)
        names = tuple(dict.fromkeys(edition for edition, _ in some))
        where = f"in the {listed(names)} edition{'s' if len(names) > 1 else ''}"
        what = source.field if source.puzzle else source.label.replace("pack: ", "pack.")
        most = f", most of all in {name}" if len({fault.told for _, fault in some}) > 1 else ""
        mend = worst.mend
        if PRINT.name not in names:
            mend += f"; or build no {listed(names, 'or')} edition"
        one = does_not_fit(f"{what}: {worst.told} ({where}{most})", mend, what, names)
        found.setdefault(source.puzzle, []).append(one)
    return found
