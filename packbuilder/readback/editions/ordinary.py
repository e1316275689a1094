"""Every edition as ordinary pages: one way into the proof, whatever the file is for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from packbuilder.book.book import Book
from packbuilder.readback.document import Sheet
from packbuilder.readback.editions.booklet import unfold
from packbuilder.readback.editions.dark import greys, lit
from packbuilder.readback.editions.print_shop import check_slug, trim
from packbuilder.readback.links import Paper, Signposts
from packbuilder.readback.report import Finding
from packbuilder.readback.view import Pixels, Window

if TYPE_CHECKING:
    from pypdf import PdfReader

COARSE = 40.0
"""Resolution at which bare pages are looked at."""
WHITE_FROM = 250
"""The least grey of bare paper: none, but for rounding."""


@dataclass(frozen=True)
class Ordinary:
    """A file as ordinary pages: their marks, their signposts, and where each is found in pixels.

    ``windows`` is None where the file's pages are the book's. ``bare`` are pages that must be
    bare; ``bleed`` is that of a print shop's file, in millimetres.
    """

    sheets: tuple[Sheet, ...]
    posts: Signposts
    findings: tuple[Finding, ...] = ()
    windows: tuple[Window, ...] | None = None
    bare: tuple[Window, ...] = ()
    dark: bool = False
    bleed: float = 0.0

    def pixels(self, data: bytes) -> Pixels:
        """The pages' pixels, on white paper."""
        found = Pixels(data, self.windows)
        return found.turned(greys()) if self.dark else found

    def check(self, pixels: Pixels) -> Iterator[Finding]:
        """What the ink tells beside the pages: bare ones are bare, and so is the rim of a sheet."""
        for window in self.bare:
            if pixels.through(window, COARSE).grey.min() < WHITE_FROM:
                yield Finding("blank", "a page that makes up the number is inked", window.page)
        if self.bleed and self.windows:
            yield from check_slug(pixels, self.windows, self.bleed)


def ordinary(sheets: Sequence[Sheet], posts: Signposts, reader: PdfReader, book: Book) -> Ordinary:
    """Undo what an edition does to its pages, and check what it adds to them."""
    edition, pack = book.edition, book.pack
    findings: list[Finding] = []
    if edition.dark:
        sheets, findings = lit(sheets)
    if edition.folded:
        found = unfold(sheets, pack.paper, pack.creep)
        findings += [*found.findings, *_check_bound(reader, posts)]
        posts = replace(posts, papers=tuple(_papers(posts, found.windows)))
        return Ordinary(
            found.sheets, posts, tuple(findings), found.windows, found.bare, edition.dark
        )
    if edition.bleed:
        cut = trim(sheets, posts, reader, edition.bleed)
        return Ordinary(
            cut.sheets,
            cut.posts,
            (*findings, *cut.findings),
            cut.windows,
            (),
            edition.dark,
            edition.bleed,
        )
    return Ordinary(tuple(sheets), posts, tuple(findings), dark=edition.dark)


def _papers(posts: Signposts, windows: Sequence[Window]) -> Iterator[Paper]:
    """The paper of each folded page: as wide as its window, turned as its sheet is."""
    for window in windows:
        assert window.box is not None
        x0, y0, x1, y1 = window.box
        sheet = posts.papers[window.page - 1]
        yield Paper(x1 - x0, y1 - y0, sheet.turned, sheet.cropped)


def _check_bound(reader: PdfReader, posts: Signposts) -> Iterator[Finding]:
    """A booklet is for paper: it has no links, places, bookmarks, labels or tags."""
    root: Any = reader.trailer["/Root"]
    for link in posts.links[:1]:
        yield Finding("link", "a booklet is folded from sheets: it has no links", link.page)
    for there, code, what in (
        (posts.bookmarks, "bookmark", "bookmarks"),
        (posts.places, "destination", "named places"),
        ("/PageLabels" in root, "label", "page labels"),
        ("/StructTreeRoot" in root, "tag", "tags"),
    ):
        if there:
            yield Finding(code, f"a booklet is folded from sheets: it has no {what}")
