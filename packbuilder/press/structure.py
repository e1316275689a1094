"""Structure: what a screen reader is told of a book, as the structure tree of a tagged PDF.

The tree is that of ISO 32000-1, 14.7 and 14.8: elements in reading order, each with the marked
content on pages that it is made of. A grid is a table whose cells are named by row and column.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from packbuilder.plan.items import FURNITURE, Table, Tag
from packbuilder.press.pdf_file import PdfFile, text_string


@dataclass
class _Element:
    number: int
    role: str
    parent: int
    page: int = 0
    kids: list[str] = field(default_factory=list)
    more: str = ""

    def body(self) -> str:
        page = f"/Pg {self.page} 0 R" if self.page else ""
        return f"<</S/{self.role}/P {self.parent} 0 R{page}/K[{' '.join(self.kids)}]{self.more}>>"


class Structure:
    """The tree in the making. Pages and annotations are known by their object numbers."""

    def __init__(self, file: PdfFile, pages: int, *, tables: bool = True) -> None:
        self._file = file
        self.root = file.reserve()
        self._document = _Element(file.reserve(), "Document", self.root)
        self._all = [self._document]
        self._section = self._document
        self._elements: dict[Tag, _Element] = {}
        self._contents: list[list[int]] = [[] for _ in range(pages)]  # by page: MCID to element
        self._annotations: list[int] = []
        self._heads = [
            file.add(f"<</O/Table/Scope/{scope}>>") for scope in ("Column", "Row") if tables
        ]  # attributes that all headings share

    def section(self, name: str) -> None:
        """Begin a section: what follows stands in it."""
        self._section = self._new("Sect", self._document)
        self._section.more = f"/T{text_string(name)}"

    def content(self, tag: Tag, folio: int, page: int) -> int:
        """Marked content of an element on a page (``folio`` from 1); gives its MCID."""
        element = self._element(tag)
        if not element.page:
            element.page = page
        mcid = self._mcid(folio, element.number)
        if element.page == page:
            element.kids.append(str(mcid))
        else:
            element.kids.append(f"<</Type/MCR/Pg {page} 0 R/MCID {mcid}>>")
        return mcid

    def annotation(self, tag: Tag, number: int, page: int) -> int:
        """An annotation of an element; gives its key in the parent tree."""
        element = self._element(tag)
        element.kids.append(_object(number, page))
        return self._key(element.number)

    def _key(self, element: int) -> int:
        self._annotations.append(element)
        return len(self._contents) + len(self._annotations) - 1

    def table(self, table: Table, folio: int, page: int, cells: list[int],
              fields: dict[int, int]) -> tuple[dict[int, int], dict[int, int]]:  # fmt: skip
        """A grid. ``cells`` are those with digits; ``fields`` give annotations by cell.

        Gives the MCIDs of cells, and the parent-tree keys of annotations, both by cell.
        """
        n, file = table.size, self._file
        side = n + 1
        first = file.reserve(1 + side + side * side)
        rows, heads = first + 1, first + 1 + side
        mcids = {cell: self._mcid(folio, _td(heads, n, cell)) for cell in cells}
        forms = {cell: file.reserve() for cell in fields}
        keys = {cell: self._key(form) for cell, form in forms.items()}
        for cell, form in forms.items():
            kid = _object(fields[cell], page)
            file.put(form, f"<</S/Form/P {_td(heads, n, cell)} 0 R/K {kid}>>")
        self._section.kids.append(f"{first} 0 R")
        kids = " ".join(f"{row} 0 R" for row in range(rows, heads))
        summary = text_string(table.summary)
        bodies = [
            f"<</S/Table/P {self._section.number} 0 R/K[{kids}]/A<</O/Table/Summary{summary}>>>>"
        ]
        for row in range(side):
            start = heads + row * side
            kids = " ".join(f"{cell} 0 R" for cell in range(start, start + side))
            bodies.append(f"<</S/TR/P {first} 0 R/K[{kids}]>>")
        above, aside = (f"/A {number} 0 R/ActualText" for number in self._heads)
        names = ["", *(f"column {k}" for k in range(1, side))]
        bodies += [f"<</S/TH/P {rows} 0 R{above}({name})>>" for name in names]
        for row in range(n):
            parent = f"/P {rows + 1 + row} 0 R"
            bodies.append(f"<</S/TH{parent}{aside}(row {row + 1})>>")
            for cell in range(row * n, row * n + n):
                if cell in mcids:
                    bodies.append(f"<</S/TD{parent}/Pg {page} 0 R/K {mcids[cell]}>>")
                elif cell in forms:
                    bodies.append(f"<</S/TD{parent}/K {forms[cell]} 0 R>>")
                else:
                    bodies.append(f"<</S/TD{parent}>>")
        file.fill(first, bodies)
        return mcids, keys

    def finish(self) -> None:
        """Write the tree; nothing more can be added."""
        file = self._file
        for element in self._all:
            file.put(element.number, element.body())
        nums = [
            f"{k}[{' '.join(f'{number} 0 R' for number in numbers)}]"
            for k, numbers in enumerate(self._contents)
        ]
        nums += [f"{k} {n} 0 R" for k, n in enumerate(self._annotations, len(self._contents))]
        parents = file.add(f"<</Nums[{' '.join(nums)}]>>")
        file.put(
            self.root,
            f"<</Type/StructTreeRoot/K {self._document.number} 0 R/ParentTree {parents} 0 R"
            f"/ParentTreeNextKey {len(self._contents) + len(self._annotations)}>>",
        )

    def _mcid(self, folio: int, element: int) -> int:
        contents = self._contents[folio - 1]
        contents.append(element)
        return len(contents) - 1

    def _element(self, tag: Tag) -> _Element:
        assert tag is not FURNITURE
        found = self._elements.get(tag)
        if found is None:
            parent = self._element(tag.within) if tag.within else self._section
            found = self._elements[tag] = self._new(tag.role, parent)
            if tag.alt:
                found.more = f"/Alt{text_string(tag.alt)}"
        return found

    def _new(self, role: str, parent: _Element) -> _Element:
        element = _Element(self._file.reserve(), role, parent.number)
        parent.kids.append(f"{element.number} 0 R")
        self._all.append(element)
        return element


def _td(heads: int, n: int, cell: int) -> int:
    """The number of a cell's element; ``heads`` is that of the first heading."""
    row, column = divmod(cell, n)
    return heads + (row + 1) * (n + 1) + column + 1


def _object(number: int, page: int) -> str:
    return f"<</Type/OBJR/Obj {number} 0 R/Pg {page} 0 R>>"
