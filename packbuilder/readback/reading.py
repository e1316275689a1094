"""The read-back from end to end: open, survey, then each eye in turn, and the proof."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from packbuilder.book.book import Book
from packbuilder.readback import document, first_eye, second_eye
from packbuilder.readback.allowed import check_allowed
from packbuilder.readback.editions import ordinary
from packbuilder.readback.editions.booklet import check_alignment
from packbuilder.readback.editions.fields import check_fields, form_of
from packbuilder.readback.editions.sampler import check_sampler
from packbuilder.readback.furniture import check_furniture
from packbuilder.readback.links import FIELDS, Signposts, signposts
from packbuilder.readback.match import due, has_corners
from packbuilder.readback.metadata import check_metadata
from packbuilder.readback.primer import check_primer
from packbuilder.readback.proofs import Prove, by_engines, check_proofs
from packbuilder.readback.references import check_references
from packbuilder.readback.report import Finding, ReadBack
from packbuilder.readback.survey import Item, Leaf, items_of, survey
from packbuilder.readback.tags import check_links, check_tags, tree_of
from packbuilder.readback.typefaces import check_fonts, fonts_of

if TYPE_CHECKING:
    from pypdf import PdfReader


TAGS_REQUIRED = True
"""Whether a tagged edition without a structure tree is refused."""


def read(pdf: Path | bytes, book: Book, *, prove: Prove | None = None) -> ReadBack:
    """Read a printed book and hold it against the verified one, in the book's edition.

    ``prove`` says how many solutions a grid has with the parts of its rules; by default that is
    asked of the proof engines. Raises InputError where the file cannot be read at all; whatever
    can be read and is wrong is a finding.
    """
    data = document.load(pdf)
    reader = document.structure(data)
    foreign = [*check_allowed(reader, book.edition)]  # first: later looks leave keys of their own
    raw, posts, edition = document.sheets(data), signposts(reader), book.edition
    with document.readable("its page boxes"):
        pages = ordinary(raw, posts, reader, book)
    cornered = {e.number for e in book.entries if has_corners(e.puzzle)}
    leaves = [survey(sheet, edition, cornered) for sheet in pages.sheets]
    titles = {entry.number: entry.puzzle.title for entry in book.entries}
    items = [item for leaf in leaves for item in items_of(leaf, titles)]
    with pages.pixels(data) as pixels:
        findings = [
            *_agree(len(posts.papers), len(raw), pixels.sheets),
            *pages.findings,
            *check_fonts(fonts_of(reader)),
            *foreign,
            *check_metadata(reader, book),
            *_check_edition(leaves, items, pages.posts, reader, book),
            *first_eye.check_pages(leaves, pages.posts, book),
            *first_eye.check_prose(leaves, book),
            *first_eye.check_items(leaves, items, book),
            *check_furniture(leaves, items, book),
            *check_references(leaves, items, book),
            *check_proofs(items, leaves, book, prove or by_engines),
            *second_eye.check_ink(pixels, leaves, items, book),
            *pages.check(pixels),
        ]
    findings = sorted(set(findings), key=lambda f: (f.page or 0, f.number or 0, f.code, f.message))
    known = [item for item in items if item.lattice and due(book, item)]
    return ReadBack(len(leaves), len(known), tuple(findings))


def _check_edition(
    leaves: Sequence[Leaf], items: Sequence[Item], posts: Signposts, reader: PdfReader, book: Book
) -> Iterator[Finding]:
    """What an edition has, or must not have, beside its pages."""
    edition = book.edition
    form = form_of(reader) if edition.fields else None
    if form:
        posts = replace(posts, active=tuple(one for one in posts.active if one[1] not in FIELDS))
        yield from check_fields(form, items, book)
    tree = tree_of(reader) if edition.tagged else None
    if tree:
        names = {field.number: field.name for field in form.fields} if form else {}
        yield from check_tags(tree, leaves, items, book, names)
    elif edition.tagged and TAGS_REQUIRED:
        yield Finding("tag", "the file has no structure for screen readers")
    if edition.folded:
        yield from check_alignment([(leaf.number, leaf.runs) for leaf in leaves])
    yield from check_links(posts.links, leaves)
    if edition.links:
        yield from first_eye.check_signposts(leaves, items, posts, book)
    yield from first_eye.check_active(posts)
    yield from check_sampler(leaves, book)
    yield from check_primer(leaves, items, book)


def _agree(*counts: int) -> Iterator[Finding]:
    """Three readers that share no code must find the same pages in the file."""
    if len(set(counts)) > 1:
        told = ", ".join(str(count) for count in counts)
        yield Finding("page-missing", f"three readers find different numbers of pages: {told}")
