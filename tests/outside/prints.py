"""What is judged: every edition of a small book of many kinds, and of a whole pack."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pypdf

from packbuilder.book.assembling import assemble, book_of
from packbuilder.book.book import Book, Entry
from packbuilder.editions import EDITIONS, edition
from packbuilder.gate import check
from packbuilder.manifest import load
from packbuilder.puzzle import Puzzle
from tests.conftest import ROOT
from tests.outside.pixels import Box, frames, pdfium
from tests.printing import print_book, tell_book

PDFS = [name for name, one in EDITIONS.items() if one.suffix == ".pdf"]
UNFOLDED = [name for name in PDFS if not EDITIONS[name].folded]
TAGGED = [name for name in PDFS if EDITIONS[name].tagged]
FILLABLE = [name for name in PDFS if EDITIONS[name].fields]

PICKED = {
    "night-train": ("ticket-window", "viaduct", "strangers", "branch-line", "fog"),
    "cold-kettle-hill": ("lantern", "chimneys", "hooves", "gallery", "shooting-home", "moons"),
}
"""A few puzzles of each kind: plain, Latin, irregular; marks in cells, on edges and outside."""

LINKS = {
    "viaduct": "https://example.org/night-train/viaduct?from=print#start",
    "branch-line": "https://example.org/the-long-way-round/branch%20line",
    "hooves": "HTTPS://EXAMPLE.ORG/HOOVES",
}
"""Links of three lengths and alphabets, which the packs do not have of their own."""


@cache
def book(which: str = "small") -> Book:
    """The small book, or the whole pack of that name."""
    if which != "small":
        return assemble(check(load(ROOT / "packs" / which)))
    packs = [load(ROOT / "packs" / name) for name in PICKED]
    puzzles = tuple(_puzzle(pack.puzzles, i) for pack in packs for i in PICKED[pack.slug])
    return assemble(check(replace(packs[0], puzzles=puzzles)))


def _puzzle(puzzles: Sequence[Puzzle], name: str) -> Puzzle:
    (one,) = (p for p in puzzles if p.id == name)
    link = LINKS.get(name)  # stands where the intro stood: there is not room for both in any layout
    intro = None if link else one.intro
    return replace(one, link=link, intro=intro, permission="as in the pack it comes from")


def edited(name: str, which: str = "small", **changes: Any) -> Book:
    """The book as an edition has it; ``changes`` are fields of its pack."""
    whole = book(which)
    return book_of(replace(whole, pack=replace(whole.pack, **changes)), edition(name))


def printed(one: Book) -> bytes:
    """The book as a file: a PDF, or the text edition's text."""
    out = io.BytesIO()
    write = tell_book if one.edition.suffix == ".txt" else print_book
    write(one, out)
    return out.getvalue()


@cache
def pdf(name: str, which: str = "small") -> bytes:
    """An edition of a book, made once in a process."""
    return printed(edited(name, which))


class Prints:
    """The same as files on the disk, for programs that read files."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def file(self, name: str, which: str = "small") -> Path:
        """The path of an edition."""
        path = self._folder / f"{which}-{name}.pdf"
        if not path.exists():
            path.write_bytes(pdf(name, which))
        return path

    def other(self, data: bytes, name: str) -> Path:
        """The path of some other file."""
        path = self._folder / f"{name}.pdf"
        path.write_bytes(data)
        return path


class Printed(NamedTuple):
    """A grid in print: whose it is, its page (from 0), and where on it."""

    entry: Entry
    page: int
    frame: Box


def destination_pages(data: bytes, kind: str, entries: Sequence[Entry]) -> dict[int, list[Entry]]:
    """Page (from 0) -> the entries whose named destination ``kind-number`` is there, in order."""
    reader = pypdf.PdfReader(io.BytesIO(data))
    names, places = reader.named_destinations, {}
    for entry in entries:
        page = reader.get_destination_page_number(names[f"{kind}-{entry.number}"])
        assert page is not None
        places.setdefault(page, []).append(entry)
    return places


def grids(data: bytes, kind: str, one: Book, dpi: float) -> list[Printed]:
    """Every puzzle or answer grid of a file, found in its pixels; as many as there must be."""
    found = []
    places = destination_pages(data, kind, one.entries)
    for number, page in zip(places, pdfium(data, list(places), dpi), strict=True):
        seen = frames(page, least=round(0.7 * dpi), dark=one.edition.dark)
        entries = places[number]
        assert len(seen) == len(entries), f"page {number + 1}: grids at {seen}"
        found += [Printed(e, number, frame) for e, frame in zip(entries, seen, strict=True)]
    return found


def section_pages(data: bytes) -> dict[str, int]:
    """The first page (from 0) of each section that the bookmarks name."""
    reader = pypdf.PdfReader(io.BytesIO(data))
    heads = [one for one in reader.outline if not isinstance(one, list)]
    return {str(one.title): reader.get_destination_page_number(one) or 0 for one in heads}
