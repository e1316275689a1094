"""What a screen reader is told of real pages, changed in one place: order, names, summaries."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pypdf
import pytest
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    TextStringObject,
)

from packbuilder.book.book import Book
from packbuilder.editions import PRINT
from packbuilder.readback import read
from packbuilder.readback.tags.summaries import summary_faults
from tests.pages.sample_book import sample_book, with_puzzle
from tests.printing import print_book
from tests.readback import books
from tests.readback.test_pages import edited
from tests.readback.told import told

Edit = Callable[[pypdf.PdfWriter], None]


@pytest.fixture(scope="module")
def book() -> Book:
    whole = with_puzzle(sample_book(), 0, link="https://example.org/harbour/first-ferry")
    entries = whole.entries[:2]
    return Book(replace(whole.pack, puzzles=tuple(e.puzzle for e in entries)), entries, PRINT)


@pytest.fixture(scope="module")
def data(book: Book) -> bytes:
    out = io.BytesIO()
    print_book(book, out)
    assert read(out.getvalue(), book).findings == ()
    return out.getvalue()


def elements(writer: pypdf.PdfWriter, role: str) -> Iterator[Any]:
    for reference in writer._objects:
        one = reference.get_object() if reference is not None else None
        if isinstance(one, DictionaryObject) and one.get("/S") == f"/{role}":
            yield one


def on_each(role: str, key: str, value: Any, bare: bool = False) -> Edit:
    def edit(writer: pypdf.PdfWriter) -> None:
        for one in elements(writer, role):
            if not bare or "/K" not in one:
                one[NameObject(key)] = value

    return edit


def words(text: str) -> TextStringObject:
    return TextStringObject(text)


def of_root(key: str, value: Any) -> Edit:
    def edit(writer: pypdf.PdfWriter) -> None:
        writer.root_object[NameObject(key)] = value

    return edit


def next_key(writer: pypdf.PdfWriter) -> None:
    tree: Any = writer.root_object["/StructTreeRoot"]
    tree[NameObject("/ParentTreeNextKey")] = NumberObject(3)


def lying_links(writer: pypdf.PdfWriter) -> None:
    notes: Any = writer.pages[1]["/Annots"]
    notes[0].get_object()[NameObject("/Contents")] = words("page 99, the answer is 5")


def spanning(writer: pypdf.PdfWriter) -> None:
    span = {NameObject("/O"): NameObject("/Table"), NameObject("/ColSpan"): NumberObject(5)}
    on_each("TD", "/A", DictionaryObject(span))(writer)


@pytest.mark.parametrize(
    "edit, code, message",
    [
        (of_root("/Lang", words("fr")), "tag", "its language is 'fr'"),
        (on_each("P", "/Lang", words("zh")), "tag", "an element has Lang"),
        (on_each("TD", "/E", words("nine")), "tag", "an element has E"),
        (on_each("TD", "/Alt", words("nine"), bare=True), "tag-heading", "a TD without text"),
        (on_each("TD", "/ActualText", words("9"), bare=True), "tag-heading", "a TD without text"),
        (on_each("TH", "/Alt", words("nine")), "tag-heading", "a heading of a table"),
        (spanning, "tag", "an element has ColSpan"),
        (on_each("Sect", "/T", words("Wrong")), "tag-heading", "is named 'Wrong'"),
        (
            of_root(
                "/MarkInfo",
                DictionaryObject(
                    {
                        NameObject("/Marked"): BooleanObject(True),
                        NameObject("/Suspects"): BooleanObject(True),
                    }
                ),
            ),
            "active",
            "Suspects",
        ),
        (next_key, "tag", "next key is in use"),
        (lying_links, "link", "a link is called 'page 99"),
    ],
)
def test_each_fault_is_told(book: Book, data: bytes, edit: Edit, code: str, message: str) -> None:
    told(edited(data, edit), book, code, message)


def marked(key: str) -> Edit:
    """Content that is told by something else, where it stands on the page."""

    def edit(writer: pypdf.PdfWriter) -> None:
        for page in writer.pages:
            content = page.get_contents()
            if content is not None and b"/TD<</MCID" in content.get_data():
                old, new = b"/TD<</MCID", b"/TD<</%b(nine)/MCID" % key.encode()
                content.set_data(content.get_data().replace(old, new, 1))
                page.replace_contents(content)
                return
        raise AssertionError(key)

    return edit


@pytest.mark.parametrize("key", ["ActualText", "Alt", "E", "Lang"])
def test_a_digit_that_its_page_tells_otherwise_is_told(book: Book, data: bytes, key: str) -> None:
    told(edited(data, marked(key)), book, "tag-cell", "would be heard as 'nine'", number=1)


def test_a_code_that_is_called_something_else_is_told(book: Book, data: bytes) -> None:
    def rename(writer: pypdf.PdfWriter) -> None:
        for figure in elements(writer, "Figure"):
            if "QR code" in figure["/Alt"]:
                figure[NameObject("/Alt")] = words("QR code of the link https://example.net")

    told(edited(data, rename), book, "tag-heading", "the picture of a link would be heard as")


@pytest.mark.parametrize("which", ["Cover", "Contents", "How to play", "Credits"])
def test_a_section_told_backwards_is_told(book: Book, data: bytes, which: str) -> None:
    def turn(writer: pypdf.PdfWriter) -> None:
        (sect,) = [s for s in elements(writer, "Sect") if s["/T"] == which]
        sect[NameObject("/K")] = ArrayObject(list(sect["/K"])[::-1])

    told(edited(data, turn), book, "tag", "stands before it")


def test_a_summary_that_goes_on_is_told(book: Book, data: bytes) -> None:
    def more(writer: pypdf.PdfWriter) -> None:
        for table in elements(writer, "Table"):
            told_of = table["/A"].get_object()
            told_of[NameObject("/Summary")] = words(f"{told_of['/Summary']} Row 1: 5, 5, 5.")

    lying = edited(data, more)
    told(lying, book, "tag-heading", "tells 'Row 1: 5, 5, 5.', which is none of its", number=1)
    told(lying, book, "tag-heading", "goes on with 'Row 1: 5, 5, 5.'", number=1)


CAGES = "Puzzle {}: 6x6, blocks 2x3. Rules: {}. Cages: {}."


def cages() -> tuple[Any, str, str]:
    """A puzzle of cages, the names of its parts, and its cages as the house style tells them."""
    (entry,) = books.ruled("cages").entries
    names = "; ".join(part.name(6) for part in entry.puzzle.rules)
    clues = []
    for part in entry.puzzle.rules:
        cells = getattr(part, "cells", ())
        if cells and getattr(part, "total", None):
            named = " ".join(f"r{c // 6 + 1}c{c % 6 + 1}" for c in cells)
            clues.append(f"cage {part.total}: {named}")  # type: ignore[attr-defined]
    return entry, names, "; ".join(clues)


def test_a_summary_of_other_clues_is_told() -> None:
    entry, names, clues = cages()
    good = CAGES.format(entry.number, names, clues)
    assert list(summary_faults(good, entry, "Puzzle", whole=True)) == []
    first = clues.split("; ")[0]
    changed = first.replace("cage 15", "cage 16", 1)
    assert changed != first
    (fault,) = summary_faults(good.replace(first, changed), entry, "Puzzle", whole=True)
    assert "tells 'Cages' otherwise" in fault
    (fault,) = summary_faults(good.replace(f"{first}; ", ""), entry, "Puzzle", whole=True)
    assert "is not printed" in fault
    without = good.partition(" Cages:")[0]
    assert list(summary_faults(without, entry, "Puzzle", whole=True))
    (fault,) = summary_faults(good, entry, "Answer", whole=False)
    assert "does not tell 'Answer" in fault
