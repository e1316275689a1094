"""Layouts: how pages are set, as data. Each is a YAML file; a new one needs no code.

Lengths are in millimetres and type sizes and line weights in points, as the trade has them;
``layouts/README.md`` says what each field does. The figures that bound them come from print
practice: 10 mm that a home printer may not reach, 9 pt for anything that is read, borders three
times as heavy as cell lines, greys that still have 7:1 contrast (WCAG 1.4.6).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from packbuilder import fonts
from packbuilder.errors import InputError
from packbuilder.grid import MAX_SIZE
from packbuilder.yamlfile import Document, read_yaml

MM = 72 / 25.4
"""Points in a millimetre."""

PAPERS = {"a4": (210 * MM, 297 * MM), "letter": (612.0, 792.0), "a5": (148 * MM, 210 * MM)}
"""Width and height in points: ISO 216, and ANSI/ASME Y14.1 size A."""

LEAST_TEXT = 9.0
"""Points: the smallest type of anything that is read, furniture apart."""

SAFE = 10.0
"""Millimetres at each edge that a home printer may not reach."""

Paper = Literal["a4", "letter", "a5"]
Millimetres = Annotated[float, Field(ge=0, le=300)]
Margin = Annotated[float, Field(ge=SAFE, le=100)]
Reading = Annotated[float, Field(ge=LEAST_TEXT, le=36)]


_UNKNOWN = "extra_forbidden"  # pydantic's word for a field that the model has not


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Margins(_Part):
    """From the paper's edge to the text; ``inner`` is the side of the spine."""

    inner: Margin
    outer: Margin
    top: Margin
    bottom: Margin


class Grids(_Part):
    """How puzzle grids share a page, and the room kept beside them.

    ``caption`` is the room above each grid. ``notes`` says where the setter, the grade and the
    space for a time stand; ``notes_room`` is the height kept below, or the width kept beside.
    """

    across: int = Field(ge=1, le=4)
    down: int = Field(ge=1, le=4)
    gap_across: Millimetres = 0
    gap_down: Millimetres = 0
    caption: Annotated[float, Field(ge=6, le=18)]
    notes: Literal["below", "beside"] = "below"
    notes_room: Millimetres


class Cells(_Part):
    """Cell sizes of grids up to ``up_to``: what is aimed at, and the least that may be printed."""

    up_to: int = Field(ge=4, le=MAX_SIZE)
    aim: Annotated[float, Field(ge=4, le=40)]
    minimum: Annotated[float, Field(ge=4, le=40)]


class Lines(_Part):
    """Line weights in points."""

    cell: Annotated[float, Field(ge=0.25, le=1.5)]
    border: Annotated[float, Field(ge=0.75, le=5)]
    frame: Annotated[float, Field(ge=0.75, le=5)]


class Type(_Part):
    """Type sizes in points. ``title_least`` is how far a long title may shrink."""

    cover: Annotated[float, Field(ge=18, le=96)]
    section: Annotated[float, Field(ge=12, le=60)]
    title: Reading
    title_least: Reading
    prose: Reading
    small: Reading
    label: Reading
    furniture: Annotated[float, Field(ge=7, le=14)]


class Faces(_Part):
    """Type faces, by the names in ``fonts.py``. Digits in grids are the house's, not a layout's."""

    title: str = "SourceSerifPro-Semibold"
    prose: str = "SourceSerifPro-Regular"
    italic: str = "SourceSerifPro-It"
    label: str = "SourceSansPro-Regular"
    strong: str = "SourceSansPro-Semibold"


class Greys(_Part):
    """From 0, black, to 1, white: quiet text, thin rules, and the fill of a hint's cells."""

    quiet: Annotated[float, Field(ge=0, le=0.34)]
    rule: Annotated[float, Field(ge=0, le=0.58)]
    shade: Annotated[float, Field(ge=0.85, le=0.97)]


class Columns(_Part):
    """Grids that stand many to a page: the least cell size of a 9x9, and the gap across."""

    cell: Annotated[float, Field(ge=5.3, le=20)]
    gap: Annotated[float, Field(ge=3, le=30)]


class HintColumns(Columns):
    """The same for hint grids, whose cells must hold candidates."""

    cell: Annotated[float, Field(ge=7, le=20)]


class Layout(_Part):
    """One way to set a book. ``name`` is the file's name, ``about`` a sentence for people.

    With ``narrow_strip`` a strip under each answer shows where its solve is narrow.
    """

    name: str
    file: Path
    about: str
    margins: dict[Paper, Margins]
    grids: Grids
    cells: tuple[Cells, ...] = Field(min_length=1)
    digit: Annotated[float, Field(ge=0.5, le=0.75)]
    lines: Lines
    type: Type
    faces: Faces = Faces()
    greys: Greys
    hints: HintColumns
    answers: Columns
    narrow_strip: bool = False

    def cell_rule(self, size: int) -> tuple[int, Cells]:
        """The line of ``cells`` that holds for a grid's size, and its place in the list.

        Raises InputError where the layout has no line for so large a grid.
        """
        for k, rule in enumerate(self.cells):
            if size <= rule.up_to:
                return k, rule
        raise InputError(
            f"{self.file}: cells: the layout {self.name} stops at grids of size "
            f"{self.cells[-1].up_to}; a grid of size {size} needs a line `up_to: {size}` or more, "
            "or another layout"
        )


def available(folder: Path | None = None) -> list[Layout]:
    """Every layout of the folder and every shipped one, by name; the folder's own come first."""
    found: dict[str, Path] = {}
    for place in _places(folder):
        for path in sorted(place.glob("*.yaml")):
            found.setdefault(path.stem, path)
    return [_read(path) for _, path in sorted(found.items())]


def load(name: str, folder: Path | None = None) -> Layout:
    """The layout of that name. Raises InputError where it is missing, or for all its faults."""
    for place in _places(folder):
        path = place / f"{name}.yaml"
        if re.fullmatch(r"[\w-]+", name) and path.is_file():
            return _read(path)
    names = sorted({path.stem for place in _places(folder) for path in place.glob("*.yaml")})
    near = get_close_matches(name, names, 1)
    meant = f" (did you mean {near[0]}?)" if near else ""
    raise InputError(f"no layout {name!r}{meant}; the layouts are: {', '.join(names)}")


def _places(folder: Path | None) -> list[Path]:
    package = Path(__file__).resolve().parent.parent
    shipped = package / "_shipped_layouts"  # in a wheel; in the repository they lie beside it
    places = (folder, shipped if shipped.is_dir() else package.parent / "layouts")
    return [place for place in places if place is not None and place.is_dir()]


def _read(path: Path) -> Layout:
    document = read_yaml(path)
    if own := sorted({"name", "file"} & document.data.keys()):
        raise InputError(
            document.fault((own[0],), f"{own[0]}: a layout is named by its file; delete this line")
        )
    try:
        layout = Layout.model_validate({"name": path.stem, "file": path, **document.data})
    except ValidationError as error:
        told = [_explain(document, fault) for fault in _once(error.errors())]
        raise InputError("\n".join(told)) from None
    if faults := _cross_check(layout, document):
        raise InputError("\n".join(faults))
    return layout


def _once(faults: Sequence[Any]) -> list[Any]:
    """The faults without a missing field that is there, but misspelt: that is one fault."""
    misspelt = {(*f["loc"][:-1], _near(f["loc"])) for f in faults if f["type"] == _UNKNOWN}
    return [f for f in faults if f["type"] != "missing" or f["loc"] not in misspelt]


def _near(where: Sequence[str | int]) -> str | None:
    """The field's name that comes nearest to an unknown one."""
    near = get_close_matches(str(where[-1]), _fields_at(where[:-1]), 1)
    return near[0] if near else None


def _explain(document: Document, fault: Any) -> str:
    where = tuple(part for part in fault["loc"] if part != "[key]")
    field = _dotted(where)
    kind, limits = fault["type"], fault.get("ctx", {})
    given = fault["input"]
    if kind == "missing":
        told = "is missing; add it"
    elif kind == _UNKNOWN:
        near = _near(where)
        told = "is no field of a layout; " + (f"did you mean {near}?" if near else "delete it")
    elif kind == "literal_error":
        told = f"is {given}; write {limits['expected'].replace(chr(39), '')}"
    elif kind in ("greater_than_equal", "less_than_equal"):
        bound = limits.get("ge", limits.get("le"))
        told = f"is {given}; write {bound:g} or {'more' if 'ge' in limits else 'less'}"
    else:
        told = f"cannot be read: {fault['msg'][0].lower() + fault['msg'][1:]}"
    return document.fault(where, f"{field}: {told}")


def _dotted(where: Sequence[str | int]) -> str:
    """``cells[0].aim``, counting a list's items from 0 as in most languages of data."""
    text = ""
    for part in where:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def _fields_at(where: Sequence[str | int]) -> list[str]:
    """The names of the fields that the model has at a place."""
    parts: dict[str, type[_Part]] = {
        "margins": Margins, "grids": Grids, "cells": Cells, "lines": Lines, "type": Type,
        "faces": Faces, "greys": Greys, "hints": HintColumns, "answers": Columns,
    }  # fmt: skip
    model = parts[str(where[0])] if where else Layout
    return [name for name in model.model_fields if name not in ("name", "file")]


def _cross_check(layout: Layout, document: Document) -> list[str]:
    """What single fields cannot show: every fault, with its field and line."""
    faults: list[str] = []

    def fault(where: tuple[str | int, ...], told: str) -> None:
        faults.append(document.fault(where, f"{_dotted(where)}: {told}"))

    for field, name in layout.faces:
        if name not in fonts.faces():
            fault(("faces", field), f"no face {name!r}; the faces are: {', '.join(fonts.faces())}")
    for field in ("border", "frame"):
        if getattr(layout.lines, field) < 3 * layout.lines.cell:
            told = f"must be at least three times lines.cell, {3 * layout.lines.cell:g} or more"
            fault(("lines", field), told)
    if layout.type.title_least > layout.type.title:
        fault(("type", "title_least"), "is larger than type.title; write the same or less")
    sizes = [rule.up_to for rule in layout.cells]
    if sizes != sorted(set(sizes)):
        fault(("cells",), "must go up: give each `up_to` once, the smallest first")
    for k, rule in enumerate(layout.cells):
        if rule.minimum > rule.aim:
            fault(("cells", k, "minimum"), "is larger than the aim; write the same or less")
        if rule.minimum * MM * layout.digit < LEAST_TEXT:
            least = LEAST_TEXT / MM / layout.digit
            told = f"gives digits under {LEAST_TEXT:g} pt; write {least:.1f} or more"
            fault(("cells", k, "minimum"), told)
    for paper, margins in layout.margins.items():
        width, height = (side / MM for side in PAPERS[paper])
        if width - margins.inner - margins.outer < 80:
            fault(("margins", paper), "inner and outer leave less than 80 mm for the text")
        if height - margins.top - margins.bottom < 120:
            fault(("margins", paper), "top and bottom leave less than 120 mm for the text")
    return faults
