"""Painting: the order in which a page's items are painted, and what each is to a screen reader.

The press paints by it, and the file is read back by it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from packbuilder.plan.items import (
    FURNITURE,
    Destination,
    Disc,
    Figure,
    Fills,
    Glyphs,
    Item,
    Link,
    Lozenges,
    NotesField,
    Reference,
    Rings,
    Strokes,
    Table,
    Tag,
    Text,
    Trace,
    WebLink,
)

Painted = Text | Glyphs | Strokes | Fills | Rings | Lozenges | Trace | Disc
"""What leaves a mark on paper."""


@dataclass(frozen=True, eq=False)
class Cell:
    """The content of one cell of a grid, to a screen reader."""

    table: Table
    cell: int


@dataclass(frozen=True)
class Span:
    """Items that are painted one after another and belong to one element; None: to none.

    A span of a whole table holds nothing: the spans of those of its cells that have letters follow.
    A line of text of an element ends in a blank, which parts it from the next one when it is read
    out.
    """

    owner: Tag | Table | Cell | None
    items: tuple[Painted, ...]

    @property
    def read_out(self) -> bool:
        """Whether its lines of text are read out as they stand."""
        owner = self.owner
        return isinstance(owner, Tag) and owner is not FURNITURE and owner.role != "Figure"


def paragraphs(items: Iterable[Item]) -> tuple[Item, ...]:
    """The items, each line of text outside grids and figures with its tag.

    Lines without one that follow each other are a paragraph.
    """
    found: list[Item] = []
    before: Tag | None = None  # what the last mark belongs to
    plain: Tag | None = None  # the paragraph of the lines without a tag
    for item in items:
        if isinstance(item, Text):
            if item.tag is None:
                plain = plain if plain is not None and plain is before else Tag("P")
                item = item.tagged(plain)
            else:
                plain = None
            before = item.tag
        elif isinstance(item, Figure):
            before = None if item.tag.role == "Figure" else item.tag
        elif isinstance(item, Table):
            before = None
        elif not isinstance(item, Link | WebLink | Destination | NotesField | Reference):
            before = FURNITURE
        found.append(item)
    return tuple(found)


def spans(items: Iterable[Item], *, tagged: bool) -> Iterator[Span]:
    """What is painted of items, in order; all of it one span without an owner where not tagged."""
    if not tagged:
        yield Span(None, tuple(_plain(items)))
        return
    for owner, group in groupby(_owned(items), lambda pair: pair[0]):
        parts = tuple(part for _, part in group if part is not None)
        if parts or isinstance(owner, Table):
            yield Span(owner, parts)


def _plain(items: Iterable[Item]) -> Iterator[Painted]:
    for item in items:
        if isinstance(item, Figure | Table):
            yield from _plain(item.items)
        elif isinstance(item, Painted) and item != Fills(()):
            yield item


def _owned(items: Iterable[Item]) -> Iterator[tuple[Tag | Table | Cell, Painted | None]]:
    """Each item that is painted, with its owner. A figure's or a grid's end parts what follows.

    The letters of a grid are painted in the order of its cells, after all else of it: so they are
    read.
    """
    for item in items:
        if isinstance(item, Figure):
            yield from ((item.tag, part) for part in _plain(item.items))
        elif isinstance(item, Table):
            yield from ((FURNITURE, part) for part in _plain(item.items) if not _celled(part))
            yield item, None
            for cell, letters in groupby(_letters(item), lambda letter: letter[0]):
                owner = Cell(item, cell)
                yield from ((owner, letter) for _, letter in letters)
        elif isinstance(item, Text):
            assert item.tag is not None, "a page's items go through `paragraphs`"
            yield item.tag, item
        else:
            yield from ((FURNITURE, part) for part in _plain([item]))


def _celled(item: Item) -> bool:
    return isinstance(item, Glyphs) and bool(item.cells)


def _letters(table: Table) -> list[tuple[int, Glyphs]]:
    """The letters of a grid one by one, each with its cell, in the order of the cells."""
    found = [
        (cell, Glyphs(item.face, item.size, (place,), item.ink, (cell,)))
        for item in table.items
        if isinstance(item, Glyphs) and item.cells
        for cell, place in zip(item.cells, item.places, strict=True)
    ]
    return sorted(found, key=lambda letter: letter[0])
