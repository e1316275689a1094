"""Reading: groups of fields out of a YAML document, each field alone, every fault noted.

The first of the manifest's two passes. A group with a faulty field is still read: its other fields
are sound, and what they mean together can be looked at too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from packbuilder.errors import InputError
from packbuilder.manifest.fields import (
    Fields,
    FileFields,
    ManifestFields,
    PackFields,
    PromiseFields,
    PuzzleFields,
)
from packbuilder.manifest.fieldtypes import nearest, quoted
from packbuilder.yamlfile import Document, Where

F = TypeVar("F", bound=Fields)


@dataclass(frozen=True)
class Part:
    """A part of a document: the way to it, how its field is told, and the puzzle's id if known."""

    document: Document
    where: Where
    label: str
    id: str = ""

    @property
    def data(self) -> Any:
        """What stands there; None where nothing does."""
        value: Any = self.document.data
        for step in self.where:
            if isinstance(value, dict) and step not in value:
                return None
            value = value[step]
        return value

    @property
    def lack(self) -> str:
        """How a part without a value lacks it."""
        return "has no value" if self.where in self.document.places else "is missing"

    @property
    def line(self) -> int:
        """The line of the file on which it stands."""
        return self.document.line_of(self.where)

    def inside(self, step: str | int) -> Part:
        """The part one step further in; list positions are told from 1."""
        if isinstance(step, int):
            told = f"[{step + 1}]"
        else:
            name = step if re.fullmatch(r"[\w-]{1,40}", step) else quoted(step)
            told = f".{name}" if self.label else name
        return Part(self.document, (*self.where, step), self.label + told, self.id)


@dataclass
class Faults:
    """All that was found wrong so far."""

    _found: list[tuple[int, int, str]] = field(default_factory=list)
    _files: list[Path] = field(default_factory=list)

    def add(self, part: Part, message: str, line: int | None = None) -> None:
        """Note a fault of a part, on its own line unless told another."""
        line = line or part.line
        told = f"{part.label} ({part.id})" if part.id else part.label
        self._note(part.document.path, line, f"{part.document.path}:{line}: {told}: {message}")

    @property
    def count(self) -> int:
        """How many faults were found so far."""
        return len(self._found)

    def unreadable(self, path: Path, error: InputError) -> None:
        """Note the faults of a file that is no YAML of ours."""
        for text in str(error).splitlines():
            found = re.match(r":(\d+): ", text.removeprefix(str(path)))
            self._note(path, int(found[1]) if found else 0, text)

    def unknown(self, part: Part, model: type[Fields]) -> set[str]:
        """Note every field that the model does not have; return their names."""
        names = set(part.data) - set(names_of(model)) if isinstance(part.data, dict) else set()
        for name in names:
            self.add(part.inside(str(name)), f"unknown field; {_where_to(str(name), model)}")
        return names

    def raise_if_any(self) -> None:
        """Raise InputError with every fault, sorted by file and line."""
        if self._found:
            raise InputError("\n".join(text for _, _, text in sorted(self._found)))

    def _note(self, path: Path, line: int, text: str) -> None:
        if path not in self._files:
            self._files.append(path)
        self._found.append((self._files.index(path), line, text))


@dataclass(frozen=True)
class Read(Generic[F]):
    """A group of fields as read; ``sound`` names those that are right, or rightly left out.

    Names are as written (``no-notes``). Of ``fields``, only what is sound may be looked at.
    """

    part: Part
    fields: F
    sound: frozenset[str]


def names_of(model: type[Fields]) -> dict[str, str]:
    """Field names as they are written, each with the model's own name for it."""
    return {info.alias or name: name for name, info in model.model_fields.items()}


def read(model: type[F], part: Part, faults: Faults) -> Read[F]:
    """Read one group of fields, noting every fault."""
    fields, names = model.model_construct(), names_of(model)
    if not isinstance(part.data, dict):
        wrong = "is not a group of fields" if part.data is not None else part.lack
        faults.add(part, f"{wrong}; write its fields below it, each on an indented line")
        return Read(part, fields, frozenset())
    sound = set(names)
    faults.unknown(part, model)
    for written, name in names.items():
        if written in part.data:
            if not _set(fields, name, part.inside(written), faults):
                sound.discard(written)
        elif model.model_fields[name].is_required():
            faults.add(part.inside(written), f"is missing; add a line `{written}: ...`")
            sound.discard(written)
    return Read(part, fields, frozenset(sound))


def _set(fields: Fields, name: str, part: Part, faults: Faults) -> bool:
    """Set one field to what is written of it; False where that is faulty."""
    group = type(fields).model_fields[name].annotation
    value = part.data
    if isinstance(group, type) and issubclass(group, Fields):
        inner = read(group, part, faults)
        setattr(fields, name, inner.fields)
        return len(inner.sound) == len(names_of(group))
    if value is None:
        spare = "" if type(fields).model_fields[name].is_required() else ", or leave the line out"
        faults.add(part, f"has no value; write one{spare}")
        return False
    try:
        setattr(fields, name, value)
    except ValidationError as error:
        for one in error.errors(include_url=False, include_input=False):
            at = part
            for step in one["loc"][1:]:
                at = at.inside(step)
            wanted = "is not a list; write it in brackets, such as [hidden-triple]"
            faults.add(at, wanted if one["type"] == "list_type" else one["msg"])
        return False
    return True


def _where_to(name: str, model: type[Fields]) -> str:
    """The mend for an unknown field: its right place, the nearest name, or all names."""
    if model is FileFields:
        return "a puzzle in a file of its own has all its other fields in that file"
    elsewhere: dict[type[Fields], tuple[str, type[Fields]]] = {
        ManifestFields: ("under `pack:`", PackFields),
        PuzzleFields: ("under `promise:`", PromiseFields),
        PromiseFields: ("in the puzzle itself, not under `promise:`", PuzzleFields),
    }
    if model in elsewhere and name in names_of(elsewhere[model][1]):
        return f"it belongs {elsewhere[model][0]}"
    return nearest(name, names_of(model))
