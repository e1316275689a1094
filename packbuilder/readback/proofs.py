"""Both proofs of a printed file, in one reading."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator
from pathlib import Path

from packbuilder.book import Book
from packbuilder.plan.items import Plan
from packbuilder.readback.as_planned import differences
from packbuilder.readback.report import ReadBack
from packbuilder.readback.seen import Reading
from packbuilder.readback.uniqueness import Prove, by_engines
from packbuilder.reader.fields import fields
from packbuilder.reader.file import load
from packbuilder.reader.pdfium import File


def read(
    pdf: Path | bytes, book: Book, plan: Plan | None = None, *, prove: Prove | None = None
) -> ReadBack:
    """Read a printed book and hold it against the verified one, in the book's edition.

    ``plan`` is what it was printed from: with it the file is held against the plan too, item by
    item. Without one, as for a file that another version of packbuilder made, only what a reader
    sees is proved. ``prove`` says how many solutions a grid has with the parts of its rules; by
    default that is asked of the proof engines. Raises InputError where the file cannot be read at
    all; whatever can be read and is wrong is a finding.
    """
    data = load(pdf)
    typed = fields(data) if book.edition.fields else {}
    reading = Reading(book, prove or by_engines, typed)
    with File(data) as file, _uncollected():
        findings = [*(differences(data, plan) if plan else ()), *reading.read(file)]
    order = sorted(set(findings), key=lambda f: (f.page or 0, f.number or 0, f.code, f.message))
    return ReadBack(reading.kept.pages, reading.kept.grids, tuple(order), planned=plan is not None)


@contextlib.contextmanager
def _uncollected() -> Iterator[None]:
    """Marks make no cycles: to look for some among a million of them takes a sixth of the time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
