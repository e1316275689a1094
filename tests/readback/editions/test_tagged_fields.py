"""In a tagged file each field stands in the cell that it lies over."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pypdf
from pypdf.generic import NameObject

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import SCREEN
from packbuilder.readback import read
from tests.printing import print_book
from tests.readback import books
from tests.readback.test_pages import edited
from tests.readback.told import told


@cache
def screen() -> tuple[Book, bytes]:
    book = book_of(books.single(), SCREEN)
    out = io.BytesIO()
    print_book(book, out)
    return book, out.getvalue()


def forms(writer: pypdf.PdfWriter) -> list[Any]:
    """The elements of fields, in the order of cells."""
    found, waiting = [], [writer.root_object["/StructTreeRoot"]["/K"]]
    while waiting:
        one: Any = waiting.pop().get_object()
        if one.get("/S") == "/Form":
            found.append(one)
        kids = one.get("/K")
        kids = [] if kids is None else kids.get_object()
        kids = kids if isinstance(kids, list) else [kids]
        waiting += [k for k in reversed(kids) if isinstance(k.get_object(), dict)]
    return found


def test_fields_pass_with_their_tags() -> None:
    book, data = screen()
    assert read(data, book).findings == ()


def test_two_fields_in_each_others_cell_are_told() -> None:
    book, data = screen()

    def swap(writer: pypdf.PdfWriter) -> None:
        one, other, *_ = forms(writer)
        key = NameObject("/K")
        one[key], other[key] = other.raw_get("/K"), one.raw_get("/K")

    found = told(edited(data, swap), book, "tag-cell", "the field that is its own", number=1)
    assert len(found.cells) == 2


def test_a_field_outside_the_structure_is_told() -> None:
    book, data = screen()

    def drop(writer: pypdf.PdfWriter) -> None:
        del forms(writer)[0][NameObject("/K")]

    told(edited(data, drop), book, "tag", "a Widget is not in the structure")
    told(edited(data, drop), book, "tag-cell", "the field that is its own", number=1)
