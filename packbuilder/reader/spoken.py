"""What a screen reader is told of a page's grids: which marked content is heard in which cell.

pdfium gives, page by page, the elements of the structure tree that have content there.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import pypdfium2.raw as pdfium

DEEPEST = 40
"""No tree of a pack is deeper."""

MOST = 100_000
"""Elements of a page that are looked at: a full page of grids has 3,000. A tree that leads back
into itself has no end."""


class Heard(NamedTuple):
    """Where content is heard: the table (from 0 on its page), and the row and column in it.

    Rows and columns count the headings: the first of either has index 0.
    """

    table: int
    row: int
    column: int


class Spoken(NamedTuple):
    """What is heard of a page's tables: where its marked content is, and each one's summary."""

    cells: dict[int, list[Heard]]
    summaries: list[str]


def spoken(page: Any) -> Spoken:
    """The tables of a page (a pdfium page handle) as they are heard."""
    tree = pdfium.FPDF_StructTree_GetForPage(page)
    found: dict[int, list[Heard]] = {}
    summaries: list[str] = []
    if not tree:
        return Spoken(found, summaries)
    try:
        count = pdfium.FPDF_StructTree_CountChildren(tree)
        tops = [pdfium.FPDF_StructTree_GetChildAtIndex(tree, k) for k in range(count)]
        left = iter(range(MOST))
        tables = (table for top in tops if top for table in _tables(top, 0, left))
        for number, table in enumerate(tables):
            summaries.append(_summary(table))
            for row, line in _children(table, left):
                for column, cell in _children(line, left):
                    for content in _contents(cell, 0, left):
                        found.setdefault(content, []).append(Heard(number, row, column))
    finally:
        pdfium.FPDF_StructTree_Close(tree)
    return Spoken(found, summaries)


def _tables(element: Any, depth: int, left: Iterator[int]) -> Iterator[Any]:
    """The tables in and under an element, in order; ``left`` counts down what is looked at."""
    if _text(pdfium.FPDF_StructElement_GetType, element) == "Table":
        yield element
    elif depth < DEEPEST:
        for _, child in _children(element, left):
            yield from _tables(child, depth + 1, left)


def _children(element: Any, left: Iterator[int]) -> Iterator[tuple[int, Any]]:
    """The child elements that have content on the page, each with its place among all."""
    for k in range(pdfium.FPDF_StructElement_CountChildren(element)):
        _count(left)
        child = pdfium.FPDF_StructElement_GetChildAtIndex(element, k)
        if child:
            yield k, child


def _count(left: Iterator[int]) -> None:
    if next(left, None) is None:
        raise ValueError("its tags have no end")


def _contents(element: Any, depth: int, left: Iterator[int]) -> Iterator[int]:
    """The marked content in and under an element."""
    for k in range(pdfium.FPDF_StructElement_CountChildren(element)):
        _count(left)
        child = pdfium.FPDF_StructElement_GetChildAtIndex(element, k)
        if child and depth < DEEPEST:
            yield from _contents(child, depth + 1, left)
        elif not child:
            content = pdfium.FPDF_StructElement_GetChildMarkedContentID(element, k)
            if content >= 0:
                yield content


def _summary(table: Any) -> str:
    """Its attribute of that name, which a screen reader says before the cells."""
    for k in range(pdfium.FPDF_StructElement_GetAttributeCount(table)):
        owned = pdfium.FPDF_StructElement_GetAttributeAtIndex(table, k)
        value = owned and pdfium.FPDF_StructElement_Attr_GetValue(owned, b"Summary")
        if value:
            length = ctypes.c_ulong()
            ask = pdfium.FPDF_StructElement_Attr_GetBlobValue  # asked for text, it spoils UTF-16
            ask(value, None, 0, ctypes.byref(length))
            text = ctypes.create_string_buffer(length.value + 1)
            ask(value, text, length.value, ctypes.byref(length))
            return _decoded(text.raw[: length.value])
    return ""


def _decoded(text: bytes) -> str:
    """A PDF text string (ISO 32000-2, 7.9.2.2); of its other encodings, ASCII alone."""
    if text.startswith(b"\xfe\xff"):
        return text[2:].decode("utf-16-be", "replace")
    return text.decode("ascii", "replace")


def _text(ask: Callable[..., int], element: Any) -> str:
    length = ask(element, None, 0)
    if length <= 2:
        return ""
    text = ctypes.create_string_buffer(length)
    ask(element, text, length)
    return text.raw[: length - 2].decode("utf-16-le", "replace")
