"""The tests' press with a structure for screen readers, to the letter of the house style.

Marked content is written as the press prints; the tree is put on afterwards by pypdf, from plain
nodes that a test may change: ``change`` is given the whole tree.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import groupby
from typing import Any

import pypdf
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    NameObject,
    NullObject,
    NumberObject,
    TextStringObject,
)

from packbuilder.book.book import Entry
from packbuilder.grid import Values
from packbuilder.ladder.hints import Hint
from tests.readback.signed import reopened
from tests.readback.tiny_press import Mark, Press, Spot


@dataclass(eq=False)
class Node:
    """An element: its role, what it holds (nodes, (page, number) contents, links by page and
    place), and its texts."""

    role: str
    kids: list[Any] = field(default_factory=list)
    more: dict[str, str] = field(default_factory=dict)

    def all(self, role: str) -> list[Node]:
        """Every node of a role in and below it."""
        found = [self] if self.role == role else []
        return found + [n for k in self.kids if isinstance(k, Node) for n in k.all(role)]


class LinkOf(tuple[int, int]):
    """A link: its page, and its place among the annotations there, from 0."""


class TaggedPress(Press):
    """Prints a book and tags it. Only for books without rules."""

    def change(self, document: Node) -> None:
        """What a test does to the tree."""

    def edit(self, writer: pypdf.PdfWriter) -> None:
        """What a test does to the file."""

    def summary(self, words: str) -> str:
        return words

    # --- marked content ---

    def mark(self, node: Node | None) -> None:
        """Begin the content of a node, or furniture."""
        if node is None:
            self.c._code.append("/Artifact BMC")
            return
        content = (self.number, self.tags.setdefault(self.number, 0))
        self.tags[self.number] += 1
        node.kids.append(content)
        self.c._code.append(f"/{node.role} <</MCID {content[1]}>> BDC")

    def unmark(self) -> None:
        self.c._code.append("EMC")

    def print(self) -> bytes:
        self.document = Node("Document")
        self.tags: dict[int, int] = {}
        self.links: dict[int, int] = {}
        self.table: Node | None = None
        data = super().print()
        self.change(self.document)
        return tagged(data, self.document, self.edit)

    def page(self, section: str, some: list[tuple[Entry, int]]) -> None:
        if not self.document.kids or self.section != section:
            self.document.kids.append(Node("Sect"))
            self.begun = False
        self.section, self.sect = section, self.document.kids[-1]
        super().page(section, some)

    def text(self, x: float, y: float, words: str, size: float, face: str = "") -> None:
        number = words == str(self.number) and y < 50
        if number or (words == self.section and self.begun):
            node = None  # a folio, or a running head
        elif not self.begun:
            node = Node("H1")
            self.begun = True
        elif words == self.heading:
            node = Node("H2")
        else:
            node = Node("P")
        if node and not self.linked:
            self.sect.kids.append(node)
        if self.linked:
            node = self.linked
        self.mark(node)
        super().text(x, y, words, size, *([face] if face else []))
        self.unmark()

    heading = ""
    linked: Node | None = None

    def caption(self, section: str, number: int, text: str) -> str:
        self.heading = super().caption(section, number, text)
        return self.heading

    def contents_line(self, y: float, entry: Entry) -> None:
        self.heading = ""
        super().contents_line(y, entry)

    def link(self, section: str, x: float, y: float, words: str, name: str,
             size: float = 9.5) -> None:  # fmt: skip
        if name not in self.where:
            return
        place = self.links.setdefault(self.number, 0)
        self.links[self.number] += 1
        self.linked = Node("Link")
        super().link(section, x, y, words, name, size)
        self.linked.kids.append(LinkOf((self.number, place)))
        self.sect.kids.append(Node("P", [self.linked]))
        self.linked = None

    # --- grids ---

    def grid(self, section: str, entry: Entry, part: int, values: Iterable[int], left: float,
             top: float, side: float, hint: Hint | None = None) -> None:  # fmt: skip
        n, shown = entry.puzzle.size, tuple(values)
        kind = {"Puzzles": "Puzzle", "Answers": "Answer", "Third hints": "Hint for puzzle"}
        words = self.summary(f"{kind[section]} {entry.number}: {entry.puzzle.geometry.name()}.")
        self.cells = [Node("TD") for _ in range(n * n)]
        head = Node("TR", [_head("", "Column"), *(_head(f"column {k + 1}", "Column")
                                                   for k in range(n))])  # fmt: skip
        rows = [Node("TR", [_head(f"row {r + 1}", "Row"), *self.cells[r * n : r * n + n]])
                for r in range(n)]  # fmt: skip
        self.sect.kids.append(Node("Table", [head, *rows], {"/Summary": words}))
        self.waiting: list[tuple[int, Mark]] = []
        self.mark(None)
        super().grid(section, entry, part, shown, left, top, side, hint)
        self.unmark()
        for cell, some in groupby(sorted(self.waiting, key=lambda w: w[0]), lambda w: w[0]):
            self.mark(self.cells[cell])
            for _, mark in some:
                super().stamp(mark)
            self.unmark()

    def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
        self.waiting.append((spot.cell, mark))
        return []


def _head(words: str, scope: str) -> Node:
    return Node("TH", [], {"/ActualText": words, "/Scope": scope})


def tagged(data: bytes, document: Node, edit: Callable[[pypdf.PdfWriter], None]) -> bytes:
    """The file with a tree on it."""
    writer = reopened(data)
    owners: dict[int, dict[int, Any]] = {}
    entries: list[tuple[int, Any]] = []
    top = DictionaryObject({NameObject("/Type"): NameObject("/StructTreeRoot")})
    root = writer._add_object(top)
    keys = iter(range(len(writer.pages), 10**6))

    def add(node: Node, parent: Any) -> Any:
        here = DictionaryObject(
            {NameObject("/S"): NameObject(f"/{node.role}"), NameObject("/P"): parent}
        )
        reference = writer._add_object(here)
        for key in ("/ActualText", "/Alt"):
            if key in node.more:
                here[NameObject(key)] = TextStringObject(node.more[key])
        table = DictionaryObject({NameObject("/O"): NameObject("/Table")})
        if "/Scope" in node.more:
            table[NameObject("/Scope")] = NameObject(f"/{node.more['/Scope']}")
        if "/Summary" in node.more:
            table[NameObject("/Summary")] = TextStringObject(node.more["/Summary"])
        if len(table) > 1:
            here[NameObject("/A")] = table
        kids = ArrayObject()
        for kid in node.kids:
            if isinstance(kid, Node):
                kids.append(add(kid, reference))
                continue
            page = writer.pages[kid[0] - 1]
            one = DictionaryObject({NameObject("/Pg"): page.indirect_reference})
            if isinstance(kid, LinkOf):
                note = page["/Annots"][kid[1]]
                one[NameObject("/Type")] = NameObject("/OBJR")
                one[NameObject("/Obj")] = note
                key = next(keys)
                note.get_object()[NameObject("/StructParent")] = NumberObject(key)
                entries.append((key, reference))
            else:
                one[NameObject("/Type")] = NameObject("/MCR")
                one[NameObject("/MCID")] = NumberObject(kid[1])
                owners.setdefault(kid[0], {})[kid[1]] = reference
            kids.append(one)
        here[NameObject("/K")] = kids
        return reference

    top[NameObject("/K")] = add(document, root)
    for number, some in owners.items():
        page = writer.pages[number - 1]
        page[NameObject("/StructParents")] = NumberObject(number - 1)
        found = ArrayObject(some.get(k, NullObject()) for k in range(max(some) + 1))
        entries.append((number - 1, found))
    nums = ArrayObject()
    for key, value in sorted(entries, key=lambda entry: entry[0]):
        nums += [NumberObject(key), value]
    tree = DictionaryObject({NameObject("/Nums"): nums})
    top[NameObject("/ParentTree")] = writer._add_object(tree)
    catalogue = writer.root_object
    catalogue[NameObject("/StructTreeRoot")] = root
    catalogue[NameObject("/Lang")] = TextStringObject("en")
    catalogue[NameObject("/MarkInfo")] = _true("/Marked")
    edit(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _true(key: str) -> DictionaryObject:
    return DictionaryObject({NameObject(key): BooleanObject(True)})


__all__ = ["LinkOf", "Node", "TaggedPress", "Values"]
