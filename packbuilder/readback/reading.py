"""The read-back from end to end: open, survey, then each eye in turn, and the proof."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from packbuilder.book import Book
from packbuilder.readback import document, first_eye, second_eye
from packbuilder.readback.links import signposts
from packbuilder.readback.match import due
from packbuilder.readback.proofs import Prove, by_engines, check_proofs
from packbuilder.readback.report import Finding, ReadBack
from packbuilder.readback.survey import items_of, survey
from packbuilder.readback.typefaces import check_fonts, fonts_of
from packbuilder.readback.view import Pixels


def read(pdf: Path | bytes, book: Book, *, prove: Prove | None = None) -> ReadBack:
    """Read a printed book and hold it against the verified one.

    ``prove`` says how many solutions a grid has with the parts of its rules; by default that is
    asked of the proof engines. Raises InputError where the file cannot be read at all; whatever
    can be read and is wrong is a finding.
    """
    data = document.load(pdf)
    reader = document.structure(data)
    posts, fonts = signposts(reader), fonts_of(reader)
    leaves = [survey(sheet) for sheet in document.sheets(data)]
    titles = {entry.number: entry.puzzle.title for entry in book.entries}
    items = [item for leaf in leaves for item in items_of(leaf, titles)]
    with Pixels(data) as pixels:
        findings = [
            *_agree(len(posts.papers), len(leaves), pixels.count),
            *check_fonts(fonts),
            *first_eye.check_pages(leaves, posts, book),
            *first_eye.check_prose(leaves, book),
            *first_eye.check_signposts(leaves, items, posts, book),
            *first_eye.check_items(leaves, items, book),
            *check_proofs(items, leaves, book, prove or by_engines),
            *second_eye.check_ink(pixels, leaves, items, book),
        ]
    findings = sorted(set(findings), key=lambda f: (f.page or 0, f.number or 0, f.code, f.message))
    known = [item for item in items if item.lattice and due(book, item)]
    return ReadBack(len(leaves), len(known), tuple(findings))


def _agree(*counts: int) -> Iterator[Finding]:
    """Three readers that share no code must find the same pages in the file."""
    if len(set(counts)) > 1:
        told = ", ".join(str(count) for count in counts)
        yield Finding("page-missing", f"three readers find different numbers of pages: {told}")
