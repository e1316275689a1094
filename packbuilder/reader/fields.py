"""The form fields of a file, by pypdf."""

from __future__ import annotations

import io
from typing import Any, NamedTuple

from packbuilder.reader.file import readable
from packbuilder.reader.marks import Box


class Field(NamedTuple):
    """A form field on a page: its box, its name, and what it holds."""

    box: Box
    name: str
    value: str


def fields(data: bytes) -> dict[int, tuple[Field, ...]]:
    """The fields of each page, from 1. Raises InputError where they are damaged."""
    import pypdf

    with readable("its form fields"):
        return {
            number: tuple(
                _field(note)
                for note in (one.get_object() for one in page.get("/Annots") or ())
                if note.get("/Subtype") == "/Widget"
            )
            for number, page in enumerate(pypdf.PdfReader(io.BytesIO(data)).pages, start=1)
        }


def _field(note: Any) -> Field:
    x0, y0, x1, y1 = (float(v) for v in note["/Rect"])
    box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    return Field(box, str(note.get("/T", "")), str(note.get("/V", "")))
