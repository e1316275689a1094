"""Layouts from their files: found by name, read, and every fault told with line and field."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from packbuilder.errors import InputError
from packbuilder.files import shipped
from packbuilder.layouts import checks
from packbuilder.layouts.model import LAYOUT, Change, Layout
from packbuilder.phrases import nearest
from packbuilder.yamlfields.document import Where, read_yaml
from packbuilder.yamlfields.parts import Faults, YamlPart


def available(folder: Path | None = None) -> list[Layout]:
    """Every layout of the folder and every shipped one, by name; the folder's own come first."""
    return [_as_it_stands(path) for _, path in sorted(_files(folder).items())]


def load(name: str, folder: Path | None = None) -> Layout:
    """The layout of that name. Raises InputError where it is missing, or for all its faults."""
    files = _files(folder)
    if name not in files:
        raise InputError(f"no layout {name!r}; {nearest(name, sorted(files))}")
    return _as_it_stands(files[name])


def _files(folder: Path | None) -> dict[str, Path]:
    beside = Path(__file__).resolve().parents[2] / "layouts"  # in the repository; else in a wheel
    found: dict[str, Path] = {}
    for place in (folder, shipped("_shipped_layouts") or beside):
        for path in sorted(place.glob("*.yaml")) if place else []:
            found.setdefault(path.stem, path)
    return found


def _as_it_stands(path: Path) -> Layout:
    """The layout of a file, read anew only where the file has changed."""
    stat = path.stat()
    return _remembered(path, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=64)
def _remembered(path: Path, _changed: int, _size: int) -> Layout:
    return read(path)


def read(path: Path) -> Layout:
    """The layout of a file: each field by itself, then together, then as it is on each paper.

    Raises InputError for all faults of the first of these that finds any.
    """
    top, layout = read_fields(path)
    faults = Faults()
    for paper in layout.on:
        if paper not in layout.margins:
            told = f"the layout is not made for it; give margins.{paper}, or delete this"
            faults.add(top.inside("on", paper), told)
    faults.raise_if_any()
    for where, told in checks.faults(layout, [p for p in layout.margins if p not in layout.on]):
        faults.add(top.inside(*where), told)
    faults.raise_if_any()
    for paper, change in layout.on.items():
        for where, told in checks.faults(layout.for_paper(paper), [paper]):
            faults.add(top.inside(*(("on", paper) if _holds(change, where) else ()), *where), told)
    faults.raise_if_any()
    return layout


def read_fields(path: Path) -> tuple[YamlPart, Layout]:
    """A layout whose fields are good each by itself, as the JSON Schema judges them.

    Raises InputError for all that are not.
    """
    faults, top = Faults(), YamlPart(read_yaml(path))
    found = LAYOUT.read_fields(top, faults)
    for paper, change in (found.get("on") or {}).items():
        cards = change.get("cards")
        if cards and not found.get("cards") and "padding" not in cards:
            part = top.inside("on", paper, "cards", "padding")
            faults.add(part, "is missing; add a line `padding: ...`")
    faults.raise_if_any()
    return top, Layout(name=path.stem, file=path, **found.values)


def _holds(change: Change, where: Where) -> bool:
    """Whether a field stands among what is different on a paper."""
    inside = change.get(str(where[0]))
    return where[1] in inside if isinstance(inside, dict) else inside is not None
