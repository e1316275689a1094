"""Notes: the live places of a page (links, cells to type into), as the plan says them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any, NamedTuple

from packbuilder.plan import items as it
from packbuilder.plan.imposition import Side
from packbuilder.plan.inks import Inks
from packbuilder.readback.as_planned.objects import Planned
from packbuilder.readback.as_planned.syntax import quoted, text_string

_INSET = 1.0
"""Points by which what is typed keeps clear of the lines of its cell."""

_SHARE = 0.6
"""Of a cell: the type size of what is typed."""


class Note(NamedTuple):
    """A live place: whose it is in the structure, its entries, and the object that they are of."""

    owner: it.Tag | tuple[it.Table, int] | None
    entries: dict[str, Any]
    planned: Planned


def notes(side: Side, inks: Inks, number: int, page: Planned, *, fields: bool) -> Iterator[Note]:
    """The live places of a side, in order; ``number`` is that of its page, from 1."""
    for one, x, y in side.pages:
        for item in one.items:
            if isinstance(item, it.Link | it.WebLink):
                left, bottom, right, top = item.box
                words = item.words if isinstance(item, it.Link) else item.url
                entries = _link(item, words, [left + x, bottom + y, right + x, top + y])
                planned = Planned(
                    "link", f"the link {quoted(words)}", partial(dict, entries), number
                )
                yield Note(item.tag, entries, planned)
            elif isinstance(item, it.Table) and fields:
                for cell, box in item.fields:
                    entries = {"P": page, **_field(item, cell, box, inks["ink"])}
                    name = f"the field of cell {cell + 1} of {item.known}"
                    yield Note(
                        (item, cell),
                        entries,
                        Planned("field", name, partial(dict, entries), number),
                    )
            elif isinstance(item, it.NotesField) and fields:
                entries = {"P": page, **_notes_field(item, inks["ink"])}
                named = f"the field {quoted(item.name)}"
                planned = Planned("field", named, partial(dict, entries), number)
                yield Note(item.tag, entries, planned)


def _notes_field(item: it.NotesField, ink: float) -> dict[str, Any]:
    return {
        "Type": "Annot", "Subtype": "Widget", "FT": "Tx", "F": 4, "MaxLen": item.most, "Q": 1,
        "T": text_string(item.name), "TU": text_string(item.words), "Rect": list(item.box),
        "DA": look(item.size, ink),
    }  # fmt: skip


def _link(item: it.Link | it.WebLink, words: str, box: list[float]) -> dict[str, Any]:
    goal: dict[str, Any]
    if isinstance(item, it.Link):
        goal = {"Dest": text_string(item.to)}
    else:
        goal = {"A": {"S": "URI", "URI": text_string(item.url)}}
    return {
        "Type": "Annot", "Subtype": "Link", "Rect": box, "Border": [0, 0, 0], "F": 4,
        "Contents": text_string(words), **goal,
    }  # fmt: skip


def _field(table: it.Table, cell: int, box: it.Box, ink: float) -> dict[str, Any]:
    row, column = cell // table.size + 1, cell % table.size + 1
    left, bottom, right, top = box
    return {
        "Type": "Annot", "Subtype": "Widget", "FT": "Tx", "F": 4, "MaxLen": 1, "Q": 1,
        "T": text_string(f"{table.name}-r{row}c{column}"),
        "TU": text_string(f"{table.known}, row {row}, column {column}"),
        "Rect": [left + _INSET, bottom + _INSET, right - _INSET, top - _INSET],
        "DA": look((right - left) * _SHARE, ink),
    }  # fmt: skip


def look(size: float, ink: float) -> bytes:
    """How what is typed looks (12.7.3.3)."""
    return f"/PBF {round(size, 2):g} Tf {round(ink, 2):g} g".encode("ascii")
