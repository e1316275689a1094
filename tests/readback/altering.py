"""Altered plans: what a press might do wrong, one item at a time.

An alteration takes a plan to another plan, which the real press prints. The first proof is asked
with the *altered* plan in hand, or with none, so that nothing but what a reader sees can tell the
difference; the second proof with the true one.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from packbuilder.book import Book
from packbuilder.pages import plan_book
from packbuilder.plan.items import Figure, Glyphs, Item, Page, Plan, Table
from packbuilder.press import write_pdf
from packbuilder.readback import CODES, Finding, read

Change = Callable[[Any], Item | tuple[Item, ...] | None]
"""What becomes of an item: another one, several, or (None) nothing."""

Items = tuple[Item, ...]

OF_THE_PLAN = {"not-as-planned", "file-damaged", "file-entries", "page-entries", "font",
               "bookmark", "metadata"}  # fmt: skip
"""Codes of the second proof alone."""

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


# --- alterations ---------------------------------------------------------------------------------


def altered(
    plan: Plan,
    section: str,
    where: Callable[[Any], bool],
    change: Change,
    *,
    at: int = 0,
    gridded: bool = False,
) -> Plan:
    """A plan in which something becomes of an item of a section.

    It is the ``at``-th for which ``where`` holds; items inside grids and figures count too, or, if
    ``gridded``, those in grids alone. Fails where there is none.
    """
    left = [at]

    def walk(items: Items, inside: bool = not gridded) -> Iterator[Item]:
        for item in items:
            if inside and left[0] >= 0 and where(item):
                left[0] -= 1
                if left[0] < 0:
                    yield from _some(change(item))
                    continue
            within = inside or isinstance(item, Table)
            yield replace(item, items=tuple(walk(item.items, within))) if _has_parts(item) else item

    pages = tuple(
        replace(page, items=tuple(walk(page.items))) if page.section == section else page
        for page in plan.pages
    )
    assert left[0] < 0, f"no such item in {section}"
    return replace(plan, pages=pages)


def _some(found: Item | Items | None) -> Items:
    return found if isinstance(found, tuple) else (found,) if found else ()


def _has_parts(item: Item) -> bool:
    return isinstance(item, Table | Figure)


def drawn(plan: Plan, section: str, *more: Item, under: bool = False) -> Plan:
    """A plan with items more on a section's last page with a grid, over all or under all."""
    own = [page for page in plan.pages if page.section == section]
    gridded = [page for page in own if any(isinstance(item, Table) for item in page.items)]
    last = (gridded or own)[-1].folio  # a bare page may follow

    def change(page: Page) -> Page:
        return replace(page, items=(*more, *page.items) if under else (*page.items, *more))

    return with_pages(plan, lambda pages: tuple(change(p) if p.folio == last else p for p in pages))


def with_pages(plan: Plan, change: Callable[[tuple[Page, ...]], tuple[Page, ...]]) -> Plan:
    """A plan with other pages, or in another order; their folios stay as they were planned."""
    return replace(plan, pages=change(plan.pages))


def in_grid(plan: Plan, name: str, change: Callable[[Items], Items]) -> Plan:
    """A plan with other items in a grid: ``Puzzle 2``, ``Hint for puzzle 2`` or ``Answer 2``."""
    found = []

    def walk(item: Item) -> Item:
        if isinstance(item, Table) and item.summary.startswith(f"{name}:"):
            found.append(item)
            return replace(item, items=change(item.items))
        return item

    pages = [replace(page, items=tuple(map(walk, page.items))) for page in plan.pages]
    assert found, name
    return replace(plan, pages=tuple(pages))


def of_letter(plan: Plan, grid: str, cell: int, change: Change, candidate: str = "") -> Plan:
    """A plan in which something becomes of a cell's digit, or of one of its candidates.

    What changes is a letter with a place of its own.
    """
    count = 0

    def parted(items: Items) -> Iterator[Item]:
        nonlocal count
        large = 0.6 * max(item.size for item in items if isinstance(item, Glyphs))
        for item in items:
            small = isinstance(item, Glyphs) and item.size < large
            k = _index(item, cell, candidate) if small == bool(candidate) else None
            if isinstance(item, Glyphs) and k is not None:
                count += 1
                yield _only(item, [j for j in range(len(item.places)) if j != k])
                yield from _some(change(_only(item, [k])))
            else:
                yield item

    plan = in_grid(plan, grid, lambda items: tuple(parted(items)))
    assert count == 1, f"{count} letters in cell {cell} of {grid}"
    return plan


def letter_in(plan: Plan, grid: str, cell: int, candidate: str = "") -> Glyphs:
    """A cell's digit, or one of its candidates, as a letter by itself."""
    found: list[Glyphs] = []

    def note(letter: Glyphs) -> Item:
        found.append(letter)
        return letter

    of_letter(plan, grid, cell, note, candidate)
    return found[0]


def _index(item: Item, cell: int, candidate: str) -> int | None:
    if not isinstance(item, Glyphs):
        return None
    for k, (place, (_, _, letter)) in enumerate(zip(item.cells, item.places, strict=False)):
        if place == cell and candidate in ("", letter):
            return k
    return None


def _only(item: Glyphs, some: list[int]) -> Glyphs:
    places = tuple(item.places[k] for k in some)
    return replace(item, places=places, cells=tuple(item.cells[k] for k in some))


# --- what is told --------------------------------------------------------------------------------

_last: list[tuple[Plan | bytes, Book, bool, tuple[Finding, ...]]] = []


def findings(made: Plan | bytes, book: Book, *, known: bool = True) -> tuple[Finding, ...]:
    """What a reader finds in a print: of a plan, which is ``known``, or of a press that lies.

    It is read once for questions that follow each other.
    """
    plan = made if isinstance(made, Plan) and known else None
    if not _last or _last[0][0] is not made or _last[0][1:3] != (book, known):
        data = printed(made) if isinstance(made, Plan) else made
        _last[:] = [(made, book, known, read(data, book, plan).findings)]
    return _last[0][3]


def told(
    made: Plan | bytes,
    book: Book,
    code: str,
    words: str = "",
    *,
    page: int | None = None,
    number: int | None = None,
    cell: str | None = None,
) -> Finding:
    """The first finding of a code in a print that must be refused.

    A code of the second proof is what is found by the true plan, and by it alone.
    """
    assert code in CODES
    found = findings(made, book)
    if code in OF_THE_PLAN:
        data = printed(made) if isinstance(made, Plan) else made
        assert found == (), "a reader sees it: " + found[0].words()
        found = read(data, book, planned(book)).findings
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
