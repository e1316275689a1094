"""What reading a month's pack back costs: both eyes on one core, and each part of the way.

Seconds of this process alone, the best of a few runs. The first rows are of the press's own pages,
the rest of a plain press's.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from time import process_time
from typing import Any

from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS
from packbuilder.readback import document, read
from packbuilder.readback.links import signposts
from packbuilder.readback.second_eye import check_ink
from packbuilder.readback.survey import items_of, survey
from packbuilder.readback.typefaces import fonts_of
from packbuilder.readback.view import Pixels
from packbuilder.rules import kinds
from tests.benchmarks.month import month
from tests.printing import print_book
from tests.readback import books
from tests.readback.rule_press import RulePress
from tests.readback.tiny_press import STYLES, Press

Row = tuple[str, str, str]

RUNS = 3


def rows() -> list[Row]:
    """(what, figure, target): a month's pack in every edition, then sixteen puzzles plainly set."""
    return [*_editions(), *_plainly()]


def _editions() -> Iterator[Row]:
    for one in EDITIONS.values():
        if one.suffix != ".pdf":
            continue
        book, out = book_of(month(), one), io.BytesIO()
        print_book(book, out)
        data = out.getvalue()
        seen = read(data, book)
        assert seen.ok, seen.findings[:3]
        what = f"read back: {one.name} edition, {seen.pages} pages, {seen.grids} grids"
        target = "under 8 s on two cores" if one.name == "print" else ""
        yield what, _seconds(lambda: read(data, book)), target  # noqa: B023


def _plainly() -> list[Row]:
    book = books.sixteen()
    data = Press(book).print()
    seen = read(data, book)  # loads the libraries, and compiles the proof where it is not yet
    assert seen.ok
    what = f"read back {seen.pages} pages, {seen.grids} grids"
    found = [(what, _seconds(lambda: read(data, book)), "under 3 s")]
    leaves = [survey(sheet) for sheet in document.sheets(data)]
    titles = {entry.number: entry.puzzle.title for entry in book.entries}
    items = [item for leaf in leaves for item in items_of(leaf, titles)]
    parts: dict[str, Callable[[], Any]] = {
        "signposts and fonts": lambda: _structure(data),
        "first eye: glyphs and lines": lambda: document.sheets(data),
        "first eye: grids, captions, items": lambda: [survey(leaf.sheet) for leaf in leaves],
        "second eye: draw and compare": lambda: _ink(data, leaves, items, book),
    }
    found += [(f"- {name}", _seconds(part), "") for name, part in parts.items()]
    ruled = books.ruled(*kinds())
    drawn = RulePress(ruled).print()
    seen = read(drawn, ruled)
    assert seen.ok
    what_too = f"read back {seen.pages} pages, {seen.grids} grids with rules, every rule there"
    found.append((what_too, _seconds(lambda: read(drawn, ruled)), ""))
    for style in STYLES[1:]:
        other = Press(book, style).print()
        found.append((f"{what}, lines by {style}", _seconds(lambda: read(other, book)), ""))  # noqa: B023
    return found


def _structure(data: bytes) -> None:
    reader = document.structure(data)
    signposts(reader)
    fonts_of(reader)


def _ink(data: bytes, leaves: Any, items: Any, book: Any) -> None:
    with Pixels(data) as pixels:
        assert list(check_ink(pixels, leaves, items, book)) == []


def _seconds(part: Callable[[], Any]) -> str:
    best = float("inf")
    for _ in range(RUNS):
        start = process_time()
        part()
        best = min(best, process_time() - start)
    return f"{best:.2f} s"
