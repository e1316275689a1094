"""Notes: the live places of a page (links, cells to type into), as the plan says them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from packbuilder.plan import items as it
from packbuilder.plan.imposition import Side
from packbuilder.plan.inks import Inks
from packbuilder.readback.as_planned.syntax import quoted, text_string

_INSET = 1.0
"""Points by which what is typed keeps clear of the lines of its cell."""

_SHARE = 0.6
"""Of a cell: the type size of what is typed."""


class Note(NamedTuple):
    """A live place: its code and its name in findings, what it must be, and whose it is in the structure."""

    code: str
    name: str
    entries: dict[str, Any]
    owner: it.Tag | tuple[it.Table, int] | None


def planned_notes(side: Side, inks: Inks, *, fields: bool) -> Iterator[Note]:
    """The live places of a side, in order."""
    for page, x, y in side.pages:
        for item in page.items:
            if isinstance(item, it.Link | it.WebLink):
                left, bottom, right, top = item.box
                yield _link(item, [left + x, bottom + y, right + x, top + y])
            elif isinstance(item, it.Table) and fields:
                for cell, box in item.fields:
                    yield _field(item, cell, box, inks["ink"])


def _link(item: it.Link | it.WebLink, box: list[float]) -> Note:
    words, goal = (
        (item.words, {"Dest": text_string(item.to)})
        if isinstance(item, it.Link)
        else (item.url, {"A": {"S": "URI", "URI": text_string(item.url)}})
    )
    entries = {
        "Type": "Annot", "Subtype": "Link", "Rect": box, "Border": [0, 0, 0], "F": 4,
        "Contents": text_string(words), **goal,
    }  # fmt: skip
    return Note("link", f"the link {quoted(words)}", entries, item.tag)


def _field(table: it.Table, cell: int, box: it.Box, ink: float) -> Note:
    row, column = cell // table.size + 1, cell % table.size + 1
    left, bottom, right, top = box
    told = f"Puzzle {table.number}, row {row}, column {column}"
    entries = {
        "Type": "Annot", "Subtype": "Widget", "FT": "Tx", "F": 4, "MaxLen": 1, "Q": 1,
        "T": text_string(f"p{table.number}-r{row}c{column}"), "TU": text_string(told),
        "Rect": [left + _INSET, bottom + _INSET, right - _INSET, top - _INSET],
        "DA": look((right - left) * _SHARE, ink),
    }  # fmt: skip
    return Note("field", f"the field of r{row}c{column}", entries, (table, cell))


def look(size: float, ink: float) -> list[Any]:
    """How what is typed looks."""
    return [b"/PBF", size, b"Tf", ink, b"g"]


def look_of(said: object) -> Any:
    """The same as a file says it."""
    words = said.split(b" ") if isinstance(said, bytes) else []
    number = [word.replace(b".", b"", 1).isdigit() and len(word) < 9 for word in words]
    return [float(word) if is_one else word for word, is_one in zip(words, number, strict=True)]
