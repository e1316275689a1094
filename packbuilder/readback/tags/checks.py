"""All checks of what a screen reader is told, in one call."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from packbuilder.book.book import Book
from packbuilder.readback.report import Finding
from packbuilder.readback.survey import Item, Leaf
from packbuilder.readback.tags.figures import check_figures
from packbuilder.readback.tags.heard import Heard
from packbuilder.readback.tags.order import check_order
from packbuilder.readback.tags.tables import check_tables
from packbuilder.readback.tags.told import check_captions, check_sections
from packbuilder.readback.tags.tree import Tree
from packbuilder.readback.tags.whole import (
    check_catalogue,
    check_contents,
    check_owners,
    check_said,
)


def check_tags(
    tree: Tree,
    leaves: Sequence[Leaf],
    items: Sequence[Item],
    book: Book,
    fields: Mapping[int, str],
) -> Iterator[Finding]:
    """The structure holds all text once, tells it in order, and says every grid as proved.

    ``fields`` are the names of form fields by their objects' numbers.
    """
    heard = Heard(leaves)
    yield from check_catalogue(tree)
    yield from check_contents(tree, heard)
    yield from check_owners(tree)
    yield from check_said(tree, heard, [(e.puzzle.link or "").strip() for e in book.entries])
    yield from check_sections(tree, heard, book)
    yield from check_order(tree, heard)
    yield from check_captions(tree, heard, items, book)
    yield from check_figures(tree, heard)
    yield from check_tables(tree, heard, items, book, fields)
