"""Altered plans: what a press might do wrong, one item at a time.

An alteration takes a plan to another plan, which the real press prints. The first proof is asked
with the altered plan in hand, so that nothing but what a reader sees can tell the difference.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from packbuilder.book import Book
from packbuilder.pages import plan_book
from packbuilder.plan.items import Figure, Item, Page, Plan, Table
from packbuilder.press import write_pdf
from packbuilder.readback import CODES, Finding, read

Change = Callable[[Any], Item | tuple[Item, ...] | None]
"""What becomes of an item: another one, several, or (None) nothing."""


_planned: dict[int, tuple[Book, Plan]] = {}


def planned(book: Book) -> Plan:
    """The plan of a book, made once."""
    if id(book) not in _planned:
        _planned[id(book)] = (book, plan_book(book))
    return _planned[id(book)][1]


def printed(plan: Plan) -> bytes:
    """A plan as a PDF."""
    out = io.BytesIO()
    write_pdf(plan, out)
    return out.getvalue()


def altered(
    plan: Plan,
    section: str,
    where: Callable[[Any], bool],
    change: Change,
    *,
    at: int = 0,
) -> Plan:
    """A plan in which something becomes of an item of a section.

    It is the ``at``-th for which ``where`` holds; items inside grids and figures count too. Fails
    where there is none.
    """
    left = [at]

    def walk(items: tuple[Item, ...]) -> Iterator[Item]:
        for item in items:
            if left[0] >= 0 and where(item):
                left[0] -= 1
                if left[0] < 0:
                    found = change(item)
                    yield from found if isinstance(found, tuple) else [found] if found else []
                    continue
            yield replace(item, items=tuple(walk(item.items))) if _has_parts(item) else item

    pages = tuple(
        replace(page, items=tuple(walk(page.items))) if page.section == section else page
        for page in plan.pages
    )
    assert left[0] < 0, f"no such item in {section}"
    return replace(plan, pages=pages)


def _has_parts(item: Item) -> bool:
    return isinstance(item, Table | Figure)


def with_pages(plan: Plan, change: Callable[[tuple[Page, ...]], tuple[Page, ...]]) -> Plan:
    """A plan with other pages, or in another order; their folios stay as they were planned."""
    return replace(plan, pages=change(plan.pages))


_last: list[tuple[Plan, Book, tuple[Finding, ...]]] = []


def findings(plan: Plan, book: Book) -> tuple[Finding, ...]:
    """What is found in a print of a plan; read once for questions that follow each other."""
    if not _last or _last[0][0] is not plan or _last[0][1] is not book:
        _last[:] = [(plan, book, read(printed(plan), book, plan).findings)]
    return _last[0][2]


def told(
    plan: Plan,
    book: Book,
    code: str,
    words: str = "",
    *,
    page: int | None = None,
    number: int | None = None,
    cell: str | None = None,
) -> Finding:
    """The first finding of a code in a print of a plan that must be refused."""
    assert code in CODES
    found = findings(plan, book)
    for f in found:
        if (
            f.code == code
            and words in f.message
            and page in (None, f.page)
            and number in (None, f.number)
            and (cell is None or cell in f.cells)
        ):
            return f
    raise AssertionError(
        f"no {code} {words!r} at page {page}, {number}, {cell}; told were:\n"
        + "\n".join(f.words() for f in found)
    )
