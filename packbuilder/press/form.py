"""Form: the cells of a puzzle as fields to type into, on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from packbuilder.grid import cell_name
from packbuilder.plan.inks import Inks
from packbuilder.plan.items import Box, NotesField, Table
from packbuilder.press.font_subsets import form_font
from packbuilder.press.pdf_file import PdfFile, number, text_string

_FACE = "SourceSansPro-Regular"  # what a solver writes is lighter than the clues
_INSET = 1.0  # points: a field keeps clear of the cell's lines
_SHARE = 0.6  # of a cell: the type size of what is written


class Form:
    """The fields of a file. Each has its own look, made by the viewer as something is typed.

    A digit more than a cell holds cannot be typed: its field takes one character.
    """

    def __init__(self, file: PdfFile, inks: Inks) -> None:
        self._file, self._ink = file, number(inks["ink"])
        self._font = form_font(_FACE, file)
        self._fields: list[int] = []

    def add(
        self, table: Table, page: int, numbers: Mapping[int, int], keys: Mapping[int, int]
    ) -> Iterator[int]:
        """The fields of one grid, in the order of its rows; gives their numbers.

        ``numbers`` are the objects kept for them, ``keys`` their keys in the parent tree, by cell.
        """
        for cell, (left, bottom, right, top) in table.fields:
            row, column = divmod(cell, table.size)
            sides = (left + _INSET, bottom + _INSET, right - _INSET, top - _INSET)
            told = f"{table.known}, row {row + 1}, column {column + 1}"
            key = f"/StructParent {keys[cell]}" if cell in keys else ""
            name, size = f"{table.name}-{cell_name(cell, table.size)}", (right - left) * _SHARE
            self._put(
                numbers[cell], page, f"/T({name})/TU{text_string(told)}", sides, (1, size), key
            )
            yield numbers[cell]

    def notes(self, item: NotesField, page: int, own: int, key: str) -> int:
        """A field for notes; gives its number, ``own``."""
        told = f"/T({item.name})/TU{text_string(item.words)}"
        self._put(own, page, told, item.box, (item.most, item.size), key)
        return own

    def _put(
        self, own: int, page: int, told: str, box: Box, typed: tuple[int, float], key: str
    ) -> None:
        """A field; ``typed``: how many characters it takes, and the size of their type."""
        most, size = typed
        self._file.put(
            own,
            f"<</Type/Annot/Subtype/Widget/FT/Tx/F 4/P {page} 0 R{told}"
            f"/Rect[{' '.join(map(number, box))}]/MaxLen {most}/Q 1"
            f"/DA(/PBF {number(size)} Tf {self._ink} g){key}>>",
        )
        self._fields.append(own)

    def finish(self) -> int:
        """The form itself; gives its number."""
        fields = " ".join(f"{number} 0 R" for number in self._fields)
        return self._file.add(
            f"<</Fields[{fields}]/DR<</Font<</PBF {self._font} 0 R>>>>"
            f"/DA(/PBF 12 Tf {self._ink} g)/NeedAppearances true>>"
        )
