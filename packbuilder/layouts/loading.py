"""Layouts from their files: found by name, read, and every fault told with field and line."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from packbuilder.errors import InputError
from packbuilder.layouts import checks
from packbuilder.layouts import model as fields
from packbuilder.layouts.model import CHANGEABLE, Layout, Part, changed
from packbuilder.layouts.papers import PAPERS
from packbuilder.yamlfile import Document, Text, Where, read_yaml

_UNKNOWN = "extra_forbidden"  # pydantic's word for a field that the model has not
_NULLS = {"", "~", "null", "Null", "NULL"}
_YES_NO = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]{1,3})?")

_GROUPS: dict[str, type[Part]] = {
    "margins": fields.Margins, "grids": fields.Grids, "cells": fields.Cells,
    "writing": fields.Writing, "cards": fields.Cards, "lines": fields.Lines, "type": fields.Type,
    "least": fields.Least, "faces": fields.Faces, "greys": fields.Greys,
    "hints": fields.HintColumns, "answers": fields.Columns,
}  # fmt: skip


def available(folder: Path | None = None) -> list[Layout]:
    """Every layout of the folder and every shipped one, by name; the folder's own come first."""
    found: dict[str, Path] = {}
    for place in _places(folder):
        for path in sorted(place.glob("*.yaml")):
            found.setdefault(path.stem, path)
    return [_as_it_stands(path) for _, path in sorted(found.items())]


def load(name: str, folder: Path | None = None) -> Layout:
    """The layout of that name. Raises InputError where it is missing, or for all its faults."""
    for place in _places(folder):
        path = place / f"{name}.yaml"
        if re.fullmatch(r"[\w-]+", name) and path.is_file():
            return _as_it_stands(path)
    names = sorted({path.stem for place in _places(folder) for path in place.glob("*.yaml")})
    near = get_close_matches(name, names, 1)
    meant = f" (did you mean {near[0]}?)" if near else ""
    raise InputError(f"no layout {name!r}{meant}; the layouts are: {', '.join(names)}")


def _places(folder: Path | None) -> list[Path]:
    package = Path(__file__).resolve().parent.parent
    shipped = package / "_shipped_layouts"  # in a wheel; in the repository they lie beside it
    places = (folder, shipped if shipped.is_dir() else package.parent / "layouts")
    return [place for place in places if place is not None and place.is_dir()]


def _as_it_stands(path: Path) -> Layout:
    """The layout of a file, read anew only where the file has changed."""
    stat = path.stat()
    return _remembered(path, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=64)
def _remembered(path: Path, _changed: int, _size: int) -> Layout:
    return _read(path)


def _read(path: Path) -> Layout:
    document, layout = read_fields(path)
    plain = [paper for paper in layout.margins if paper not in layout.on]
    faults: list[str] = []
    for paper in layout.on:
        if paper not in layout.margins:
            told = f"the layout is not made for it; give margins.{paper}, or delete this"
            faults += _told([checks.Fault(("on", paper), told)], document, _as_it_is)
    faults += _told(checks.faults(layout, plain), document, _as_it_is)
    if not faults:
        for paper, change in layout.on.items():
            found = checks.faults(layout.for_paper(paper), [paper])
            faults += _told(found, document, _placed(paper, change))
    if faults:
        raise _refusal(faults)
    return layout


def read_fields(path: Path) -> tuple[Document, Layout]:
    """A layout whose fields are good each by itself, as the JSON Schema judges them.

    Raises InputError for all that are not.
    """
    document = read_yaml(path)
    data = _core(document.data)
    if own := sorted({"name", "file"} & data.keys()):
        told = "a layout is named by its file; delete this line"
        raise _refusal(_told([checks.Fault((own[0],), told)], document, _as_it_is))
    if empty := list(_empty(data)):
        told = "is empty; write a value, or delete the line"
        faults = [checks.Fault(where, told) for where in empty]
        raise _refusal(_told(faults, document, _as_it_is))
    whole = {"name": path.stem, "file": path, **data}
    layout = _validated(whole, document, _as_it_is)
    same = {name: value for name, value in whole.items() if name != "on"}
    may = f"only {', '.join(CHANGEABLE)} may be different on one paper; delete it"
    for paper, change in layout.on.items():
        if other := [name for name in change if name not in CHANGEABLE]:
            faults = [checks.Fault(("on", paper, name), may) for name in other]
            raise _refusal(_told(faults, document, _as_it_is))
        _validated(changed(same, change), document, _placed(paper, change))
    return document, layout


def _empty(part: Any, where: Where = ()) -> Iterator[Where]:
    """Where nothing is given."""
    if part is None:
        yield where
    if isinstance(part, dict | tuple):
        for key, value in part.items() if isinstance(part, dict) else enumerate(part):
            yield from _empty(value, (*where, key))


def _as_it_is(where: Where) -> Where:
    return where


def _refusal(faults: Sequence[str]) -> InputError:
    return InputError("\n".join(dict.fromkeys(faults)))


def _core(part: Any) -> Any:
    """The data as YAML's core schema reads it (YAML 1.2, 10.3): what an editor's check sees."""
    if isinstance(part, dict):
        return {str(key): _core(value) for key, value in part.items()}
    if isinstance(part, list):
        return tuple(_core(value) for value in part)
    if not isinstance(part, Text) or not part.plain:
        return part if part is None else str(part)
    if part in _NULLS or part in _YES_NO:
        return _YES_NO.get(part)
    if re.fullmatch(r"0x[0-9a-fA-F]{1,8}|0o[0-7]{1,8}", part):
        return int(part, 0)
    if not _NUMBER.fullmatch(part):
        return str(part)
    number = float(part)
    return int(number) if number.is_integer() else number  # to JSON Schema, 2.0 is an integer


def _placed(paper: str, change: dict[str, Any]) -> Callable[[Where], Where]:
    """Where a field of a layout as changed for a paper stands in the file."""

    def place(where: Where) -> Where:
        part: Any = change
        for step in where[:2]:
            if not isinstance(part, dict):
                break
            if step not in part:
                return where
            part = part[step]
        return ("on", paper, *where)

    return place


def _validated(data: Any, document: Document, place: Callable[[Where], Where]) -> Layout:
    try:
        return Layout.model_validate(data, strict=True)
    except ValidationError as error:
        raise _refusal([_explain(document, f, place) for f in _once(error.errors())]) from None


def _told(
    faults: Sequence[checks.Fault], document: Document, place: Callable[[Where], Where]
) -> list[str]:
    found = []
    for fault in faults:
        where = place(fault.where)
        found.append(document.fault(where, f"{_dotted(where)}: {fault.told}"))
    return found


def _once(faults: Sequence[Any]) -> list[Any]:
    """The faults without a missing field that is there, but misspelt: that is one fault."""
    misspelt = {(*f["loc"][:-1], _near(f["loc"])) for f in faults if f["type"] == _UNKNOWN}
    return [f for f in faults if f["type"] != "missing" or f["loc"] not in misspelt]


def _near(where: Sequence[str | int]) -> str | None:
    """The field's name that comes nearest to an unknown one."""
    near = get_close_matches(str(where[-1]), _fields_at(where[:-1]), 1)
    return near[0] if near else None


def _explain(document: Document, fault: Any, place: Callable[[Where], Where]) -> str:
    where = place(tuple(part for part in fault["loc"] if part != "[key]"))
    kind, limits = fault["type"], fault.get("ctx", {})
    given = fault["input"]
    if kind == "missing":
        told = "is missing; add it"
    elif kind == _UNKNOWN:
        near = _near(fault["loc"])
        told = "is no field of a layout; " + (f"did you mean {near}?" if near else "delete it")
    elif kind == "literal_error":
        told = f"is {given}; write {limits['expected'].replace(chr(39), '')}"
    elif kind in ("greater_than_equal", "less_than_equal"):
        bound = limits.get("ge", limits.get("le"))
        told = f"is {given:g}; write {bound:g} or {'more' if 'ge' in limits else 'less'}"
    else:
        told = f"cannot be read: {fault['msg'][0].lower() + fault['msg'][1:]}"
    return document.fault(where, f"{_dotted(where)}: {told}")


def _dotted(where: Sequence[str | int]) -> str:
    """``cells[0].aim``, counting a list's items from 0 as in most languages of data."""
    text = ""
    for part in where:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def _fields_at(where: Sequence[str | int]) -> list[str]:
    """The names of the fields that the model has at a place."""
    steps = [step for step in where if isinstance(step, str) and step not in PAPERS]
    group = _GROUPS.get(steps[0]) if steps else Layout
    names = list(group.model_fields) if group else []
    return [name for name in names if name not in ("name", "file")]
