"""Tags: the structure for screen readers, element by element, against the plan's.

An element stands in its section, or within another one, where it is first needed; its parts are in
the order in which they are painted, the live places of a page after its marks (ISO 32000-1, 14.7).
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from packbuilder.plan import items as it
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.marks import Planned
from packbuilder.readback.as_planned.notes import Note
from packbuilder.readback.as_planned.syntax import Ref, text_string, unlike

Fault = tuple[int | None, str]
"""A page, from 1, and words."""


class _Content(NamedTuple):
    page: int
    number: int


class _Live(NamedTuple):
    page: int
    index: int


@dataclass(eq=False)
class _Element:
    role: str
    more: dict[str, Any] = field(default_factory=dict)
    kids: list[_Element | _Grid | _Content | _Live] = field(default_factory=list)
    page: int | None = None


@dataclass(eq=False)
class _Grid:
    table: it.Table
    page: int
    contents: dict[int, int] = field(default_factory=dict)
    fields: dict[int, int] = field(default_factory=dict)


class Structure:
    """The structure that a plan asks for, added to page by page, and then held against the file's.

    Pages count from 0 here.
    """

    def __init__(self) -> None:
        self._document = _Element("Document")
        self._section = self._document
        self._name = ""
        self._elements: dict[it.Tag, _Element] = {}
        self._counts: list[int] = []

    def add(self, planned: Planned, notes: Sequence[Note]) -> None:
        """The next page."""
        here, count = len(self._counts), 0
        grids: dict[it.Table, _Grid] = {}
        for page, owners in planned.owners:
            if page.section != self._name:
                self._name = page.section
                self._section = _Element("Sect", {"T": text_string(self._name)})
                self._document.kids.append(self._section)
            for owner in owners:
                if isinstance(owner, it.Table):
                    grids[owner] = _Grid(owner, here)
                    self._section.kids.append(grids[owner])
                    continue
                if isinstance(owner, it.Tag):
                    element = self._element(owner)
                    element.page = here if element.page is None else element.page
                    element.kids.append(_Content(here, count))
                else:
                    grids[owner.table].contents[owner.cell] = count
                count += 1
        for k, note in enumerate(notes):
            if isinstance(note.owner, it.Tag):
                self._element(note.owner).kids.append(_Live(here, k))
            elif note.owner is not None:
                table, cell = note.owner
                grids[table].fields[cell] = k
        self._counts.append(count)

    def _element(self, tag: it.Tag) -> _Element:
        found = self._elements.get(tag)
        if found is None:
            around = self._element(tag.within) if tag.within else self._section
            found = _Element(tag.role, {"Alt": text_string(tag.alt)} if tag.alt else {})
            self._elements[tag] = found
            around.kids.append(found)
        return found

    def faults(
        self, file: File, root: object, pages: Sequence[Ref], notes: Sequence[Sequence[Live]]
    ) -> Iterator[Fault]:
        """Where the file's structure, which begins at ``root``, differs. Raises Damaged."""
        have = file.dictionary(root)
        walk = _Walk(file, pages, notes, self._counts)
        yield from walk.element(self._document, have.get("K"), root)
        keys = range(len(pages), len(pages) + len(walk.keys))
        planned = {
            "Type": "StructTreeRoot", "K": have.get("K"), "ParentTree": have.get("ParentTree"),
            "ParentTreeNextKey": keys.stop,
        }  # fmt: skip
        yield from ((None, words) for words in unlike(have, planned))
        nums: list[Any] = [part for pair in enumerate(walk.owners) for part in pair]
        nums += [part for key in keys for part in (key, walk.keys.get(key))]
        if file.dictionary(have.get("ParentTree")) != {"Nums": nums}:
            yield None, "marked content and live places do not lead back to their elements"


class Live(NamedTuple):
    """A live place of the file: its object, and its key in the parent tree where it has one."""

    ref: object
    key: object


class _Walk:
    """One walk through the file's elements, in order. It notes what leads to which of them."""

    def __init__(
        self, file: File, pages: Sequence[Ref], notes: Sequence[Sequence[Live]],
        counts: Sequence[int],
    ) -> None:  # fmt: skip
        self._file, self._pages, self._notes = file, pages, notes
        self.owners: list[list[object]] = [[None] * count for count in counts]
        self.keys: dict[object, object] = {}
        self._scopes: dict[str, object] = {}

    def element(self, element: _Element, ref: object, parent: object) -> Iterator[Fault]:
        """An element, and all that is in it."""
        kids = self._file.dictionary(ref)
        have = kids.pop("K", None)
        page = {} if element.page is None else {"Pg": self._pages[element.page]}
        planned = {"S": element.role, "P": parent, **page, **element.more}
        yield from self._unlike(kids, planned, element.role, element.page)
        if not isinstance(have, list) or len(have) != len(element.kids):
            yield _folio(element.page), f"{element.role} does not have the parts that are planned"
            return
        for kid, part in zip(have, element.kids, strict=True):
            if isinstance(part, _Element):
                yield from self.element(part, kid, ref)
            elif isinstance(part, _Grid):
                yield from self._grid(part, kid, ref)
            elif kid != self._leaf(part, element.page, ref):
                yield _folio(part.page), f"{element.role} has a part that is not the planned one"

    def _leaf(self, part: _Content | _Live, page: int | None, owner: object) -> object:
        """What an element must have for marked content or a live place."""
        here = self._pages[part.page]
        if isinstance(part, _Live):
            return self._live(part, owner)
        self.owners[part.page][part.number] = owner
        if part.page == page:
            return part.number
        return {"Type": "MCR", "Pg": here, "MCID": part.number}

    def _live(self, part: _Live, owner: object) -> object:
        notes = self._notes[part.page]
        ref, key = notes[part.index] if part.index < len(notes) else Live(None, None)
        self.keys[key] = owner
        return {"Type": "OBJR", "Obj": ref, "Pg": self._pages[part.page]}

    def _grid(self, grid: _Grid, ref: object, parent: object) -> Iterator[Fault]:
        """A table: a row of headings, then rows of a heading and the cells."""
        size = grid.table.size
        told = {"O": "Table", "Summary": text_string(grid.table.summary)}
        rows = yield from self._parts(grid, ref, size + 1, {"S": "Table", "P": parent, "A": told})
        for row, one in enumerate(rows):
            cells = yield from self._parts(grid, one, size + 1, {"S": "TR", "P": ref})
            for column, cell in enumerate(cells):
                if row and column:
                    yield from self._cell(grid, cell, one, (row - 1) * size + column - 1)
                else:
                    yield from self._heading(grid, cell, one, row, column)

    def _parts(
        self, grid: _Grid, ref: object, count: int, planned: dict[str, Any]
    ) -> Generator[Fault, None, list[object]]:
        """The parts of a table or a row, when the rest of it has been looked at."""
        have = self._file.dictionary(ref)
        parts = have.pop("K", None)
        yield from self._unlike(have, planned, planned["S"], grid.page)
        if isinstance(parts, list) and len(parts) == count:
            return parts
        yield _folio(grid.page), f"{planned['S']} does not have {count} parts"
        return []

    def _heading(
        self, grid: _Grid, ref: object, row: object, down: int, across: int
    ) -> Iterator[Fault]:
        have = self._file.dictionary(ref)
        scope, told = ("Row", f"row {down}") if down else ("Column", f"column {across}")
        if scope not in self._scopes:  # all headings of a kind share what says so
            self._scopes[scope] = have.get("A")
            shared = self._file.take(have.get("A"))
            yield from self._unlike(shared, {"O": "Table", "Scope": scope}, "TH", grid.page)
        words = text_string(told if down or across else "")
        planned = {"S": "TH", "P": row, "A": self._scopes[scope], "ActualText": words}
        yield from self._unlike(have, planned, f"the heading of {told}", grid.page)

    def _cell(self, grid: _Grid, ref: object, row: object, cell: int) -> Iterator[Fault]:
        have = self._file.dictionary(ref)
        planned: dict[str, Any] = {"S": "TD", "P": row}
        if cell in grid.contents:
            number = grid.contents[cell]
            planned |= {"Pg": self._pages[grid.page], "K": number}
            self.owners[grid.page][number] = ref
        elif cell in grid.fields:
            form = planned["K"] = have.get("K")
            live = self._live(_Live(grid.page, grid.fields[cell]), form)
            entries = {"S": "Form", "P": ref, "K": live}
            yield from self._unlike(self._file.take(form), entries, "Form", grid.page)
        yield from self._unlike(have, planned, "TD", grid.page)

    def _unlike(self, have: Any, planned: Any, name: str, page: int | None) -> Iterator[Fault]:
        if have != planned:
            yield from ((_folio(page), words) for words in unlike(have, planned, name))


def _folio(page: int | None) -> int | None:
    return None if page is None else page + 1
