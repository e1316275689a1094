"""A file read back that was printed before: also one of another edition, or with bare pages."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

from packbuilder import pages, plaintext, readback
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS, Edition
from packbuilder.errors import InputError
from packbuilder.phrases import counted
from packbuilder.plan.items import Plan
from packbuilder.readback import Finding, ReadBack
from packbuilder.readback.form import Form, form_of, planned_form
from packbuilder.readback.witness import check_witness
from packbuilder.reader.sections import sections_of


def read_back(file: Path, whole: Book, edition: Edition) -> ReadBack:
    """Hold a file against the verified pack in an edition.

    A file of another edition is told as that and nothing else. A file that `build --watch` made may
    have bare pages at the ends of sections, which keep page numbers steady; they are noted. Raises
    InputError where the file cannot be read at all.
    """
    book = book_of(whole, edition)
    if edition.suffix == ".txt":
        return readback.read_text(file, book, plaintext.outline_of(book))
    plan = pages.plan_book(book)
    found, due = form_of(file), planned_form(plan)
    if found != due:
        other = _other_edition(found, whole, edition)
        if other:
            words = f"this is the {other} edition, not the {edition.name}: say --edition {other}"
            return ReadBack(0, 0, (Finding("other-edition", words),))
        longer = _with_bare_pages(file, book, plan) if found.pages > due.pages else plan
        if planned_form(longer) == found:
            seen = readback.read(file, book, longer)
            bare = counted(len(longer.pages) - len(plan.pages), "page")
            return replace(seen, note=f"{bare} left bare, as build --watch leaves them")
    seen = readback.read(file, book, plan)
    return replace(seen, findings=tuple(check_witness(file.read_bytes()))) if seen.ok else seen


def _other_edition(found: Form, whole: Book, edition: Edition) -> str:
    """The edition whose form a file has; "" for none."""
    for other in EDITIONS.values():
        if other.suffix == ".pdf" and other.name != edition.name:
            try:
                planned = planned_form(pages.plan_book(book_of(whole, other)))
            except InputError:
                continue  # it cannot be set, so nobody has it
            if planned == found:
                return other.name
    return ""


def _with_bare_pages(file: Path, book: Book, plan: Plan) -> Plan:
    """The plan with as many pages in each section as the file has."""
    least = Counter(name for name in sections_of(file) if name)
    return pages.plan_book(book, floors=least) if least else plan
