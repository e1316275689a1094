"""A file read back that was printed before: also one of another edition, or with bare pages."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2

from packbuilder import __version__, pages, plaintext, readback
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.confined import confined, seconds_for
from packbuilder.editions import EDITIONS, Edition
from packbuilder.errors import InputError
from packbuilder.grid import blocks
from packbuilder.phrases import counted
from packbuilder.plan.items import Plan
from packbuilder.readback import Finding, ReadBack
from packbuilder.readback.as_planned import differences
from packbuilder.readback.form import Form, form_of, planned_form
from packbuilder.readback.uniqueness import by_engines
from packbuilder.readback.witness import check_witness
from packbuilder.reader.file import load, readable
from packbuilder.reader.sections import sections_of

_TOOL = re.compile(rb"<xmp:CreatorTool>packbuilder ([0-9A-Za-z.+-]{1,40})</xmp:CreatorTool>")
_OTHER_VERSION = (
    "the file says that packbuilder {} made it, and this is {}: what stands round its puzzles "
    "could not be held against a plan, only what a reader sees against the pack"
)


def read_back(file: Path, whole: Book, edition: Edition) -> ReadBack:
    """Hold a file against the verified pack in an edition.

    One that is its plan to the last byte is read here; any other may be made to harm, and is read
    in a process of its own, within ceilings (`confined`).

    A file of another edition, or of another pack, is told as that and nothing else. A file that
    `build --watch` made may have bare pages at the ends of sections, which keep page numbers
    steady; they are noted. The plan of one that another version of packbuilder made is not known
    here: it is held by the first proof alone, which is noted too. Raises InputError where the file
    cannot be read at all.
    """
    book = book_of(whole, edition)
    if edition.suffix == ".txt":
        return readback.read_text(file, book, plaintext.outline_of(book))
    data, plan = load(file), pages.plan_book(book)
    if next(differences(data, plan), None) is None:
        return _witnessed(replace(readback.read(data, book), planned=True), data)
    seconds = seconds_for(len(plan.pages))
    return confined(file.name, _ready, seconds, _read_strange, data, whole, edition)


def _ready() -> None:
    """What a reading needs is loaded and compiled, so that none of its time is spent on that."""
    by_engines(blocks(2, 2), (0,) * 16, ())


def _read_strange(data: bytes, whole: Book, edition: Edition) -> ReadBack:
    book = book_of(whole, edition)
    plan = pages.plan_book(book)
    found, due = form_of(data), planned_form(plan)
    if found != due:
        other = _other_edition(found, whole, edition)
        if other:
            words = f"this is the {other} edition, not the {edition.name}: say --edition {other}"
            return ReadBack(0, 0, (Finding("other-edition", words),))
        if (title := _said(data, "Title")) and title != plan.title:
            words = f"this is {title!r}, not {plan.title!r}: name the manifest of that pack"
            return ReadBack(0, 0, (Finding("other-pack", words),))
        longer = _with_bare_pages(data, book, plan) if found.pages > due.pages else plan
        if planned_form(longer) == found:
            seen = readback.read(data, book, longer)
            bare = counted(len(longer.pages) - len(plan.pages), "page")
            return replace(seen, note=f"{bare} left bare, as build --watch leaves them")
    version = made_by(data)
    if version in (None, __version__):
        seen = readback.read(data, book, plan)
    else:
        seen = replace(readback.read(data, book), note=_OTHER_VERSION.format(version, __version__))
    return _witnessed(seen, data)


def _witnessed(seen: ReadBack, data: bytes) -> ReadBack:
    return replace(seen, findings=tuple(check_witness(data))) if seen.ok else seen


def made_by(data: bytes) -> str | None:
    """The version of packbuilder that made a file, if its packet of metadata says one, and its
    information dictionary the same: a slip in one of the two is no other version."""
    said = {found[1].decode() for found in _TOOL.finditer(data)}
    version = _said(data, "Creator").removeprefix("packbuilder ")
    return version if said == {version} else None


def _said(data: bytes, key: str) -> str:
    """An entry of a file's information dictionary; "" where it has none."""
    with readable("what it says of itself"):
        document: Any = pypdfium2.PdfDocument(data)
        value = document.get_metadata_value(key)
        document.close()
    return str(value)


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


def _with_bare_pages(data: bytes, book: Book, plan: Plan) -> Plan:
    """The plan with as many pages in each section as the file has."""
    least = Counter(name for name in sections_of(data) if name)
    return pages.plan_book(book, floors=least) if least else plan
