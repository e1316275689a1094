"""Structure: what a screen reader is told, as the plan says it, element by element.

An element stands in its section, or within another one, where it is first needed; its parts are in
the order in which they are painted, the live places of a page after its marks (ISO 32000-1, 14.7).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from packbuilder.plan import items as it
from packbuilder.readback.as_planned.marks import PlannedSide
from packbuilder.readback.as_planned.notes import Note
from packbuilder.readback.as_planned.objects import Planned
from packbuilder.readback.as_planned.syntax import text_string

_SCOPES = ("Column", "Row")


class Structure:
    """The structure of a book, as it grows page by page. ``pages`` are the objects of all."""

    def __init__(self, pages: Sequence[Planned]) -> None:
        self.root = Planned("tag", "the structure", self._root)
        self._pages = pages
        self._document = _Element("Document", self.root)
        self._section, self._name = self._document, ""
        self._elements: dict[it.Tag, _Element] = {}
        self._contents: list[list[Planned]] = []  # of each page: whose its content is
        self._live: list[Planned] = []  # whose the live places are
        entries = [{"O": "Table", "Scope": scope} for scope in _SCOPES]
        self._heads = [Planned("tag", "headings", partial(dict, one)) for one in entries]

    def add(self, side: PlannedSide, notes: Sequence[Note]) -> None:
        """The next page."""
        page = self._pages[len(self._contents)]
        contents: list[Planned] = []
        grids: dict[int, _Grid] = {}  # by identity: a grid may be there twice
        for one, owners in side.owners:
            self._enter(one.section)
            for owner in owners:
                if isinstance(owner, it.Table):
                    grid = grids[id(owner)] = _Grid(owner, self._section.planned, page, self._heads)
                    self._section.add(grid.planned)
                elif isinstance(owner, it.Tag):
                    contents.append(self._element(owner).content(page, len(contents)))
                else:
                    contents.append(grids[id(owner.table)].cell(owner.cell, len(contents)))
        self._contents.append(contents)
        for note in sorted(notes, key=lambda note: isinstance(note.owner, it.Tag)):
            if note.owner is None:
                continue
            note.entries["StructParent"] = len(self._pages) + len(self._live)
            live = {"Type": "OBJR", "Obj": note.planned, "Pg": page}
            if isinstance(note.owner, it.Tag):
                self._live.append(self._element(note.owner).add(live))
            else:
                table, cell = note.owner
                self._live.append(grids[id(table)].field(cell, live))

    def _enter(self, name: str) -> None:
        """What follows stands in the section of that name."""
        if name != self._name:
            self._name = name
            self._section = _Element("Sect", self._document.planned, T=text_string(name))
            self._document.add(self._section.planned)

    def _element(self, tag: it.Tag) -> _Element:
        if tag not in self._elements:
            around = self._element(tag.within) if tag.within else self._section
            more = {"Alt": text_string(tag.alt)} if tag.alt else {}
            self._elements[tag] = _Element(tag.role, around.planned, **more)
            around.add(self._elements[tag].planned)
        return self._elements[tag]

    def _root(self) -> dict[str, Any]:
        nums: list[Any] = [part for pair in enumerate(self._contents) for part in pair]
        nums += [part for pair in enumerate(self._live, len(self._pages)) for part in pair]
        return {
            "Type": "StructTreeRoot", "K": self._document.planned,
            "ParentTree": Planned("tag", "the way back to elements", lambda: {"Nums": nums}),
            "ParentTreeNextKey": len(self._pages) + len(self._live),
        }  # fmt: skip


class _Element:
    """An element in the making."""

    def __init__(self, role: str, parent: Planned, **more: Any) -> None:
        self.kids: list[Any] = []
        self.planned = Planned("tag", f"an element {role}", lambda: self._entries)
        self._entries = {"S": role, "P": parent, "K": self.kids, **more}

    def add(self, kid: Any) -> Planned:
        """One part more; gives the element's own object."""
        self.kids.append(kid)
        return self.planned

    def content(self, page: Planned, number: int) -> Planned:
        """The same for marked content. That of the first page is called by its number alone."""
        if self._entries.setdefault("Pg", page) is page:
            self.planned.page = page.page
            return self.add(number)
        return self.add({"Type": "MCR", "Pg": page, "MCID": number})


class _Grid:
    """A grid in the making: a row of headings, then rows of a heading and the cells. What has
    nothing in it is only worked out when it is met: it is most of a book's objects."""

    def __init__(
        self, table: it.Table, section: Planned, page: Planned, heads: Sequence[Planned]
    ) -> None:
        self.planned = Planned("tag", "a table", self._table, page.page)
        self._grid, self._section, self._page, self._heads = table, section, page, heads
        self._cells: dict[int, tuple[Planned, int | Planned]] = {}

    def cell(self, cell: int, inside: int | Planned) -> Planned:
        """A cell that has something in it: content of its page, by number, or an element."""
        planned = Planned("tag", "a cell", None, self._page.page)
        self._cells[cell] = planned, inside
        return planned

    def field(self, cell: int, live: dict[str, Any]) -> Planned:
        """A cell to type into: gives the element of its field."""
        entries: dict[str, Any] = {"S": "Form", "K": live}
        form = Planned("tag", "the element of a field", lambda: entries, self._page.page)
        entries["P"] = self.cell(cell, form)
        return form

    def _table(self) -> dict[str, Any]:
        rows = [Planned("tag", "a row", None, self._page.page) for _ in range(self._grid.size + 1)]
        for down, row in enumerate(rows):
            row.value = partial(self._row, row, down)
        told = {"O": "Table", "Summary": text_string(self._grid.summary)}
        return {"S": "Table", "P": self._section, "K": rows, "A": told}

    def _row(self, row: Planned, down: int) -> dict[str, Any]:
        columns = range(self._grid.size + 1)
        return {"S": "TR", "P": self.planned, "K": [self._part(row, down, k) for k in columns]}

    def _part(self, row: Planned, down: int, across: int) -> Planned:
        if down and across:
            cell = (down - 1) * self._grid.size + across - 1
            planned, inside = self._cells.pop(cell, (None, None))
            planned = planned or Planned("tag", "a cell", None, self._page.page)
            entries = {"S": "TD", "P": row}
            entries |= {"Pg": self._page} if isinstance(inside, int) else {}
            entries |= {} if inside is None else {"K": inside}
        else:
            told = f"row {down}" if down else f"column {across}" if across else ""
            planned = Planned("tag", "a heading", None, self._page.page)
            head = self._heads[1 if down else 0]
            entries = {"S": "TH", "P": row, "A": head, "ActualText": text_string(told)}
        planned.value = lambda: entries
        return planned
