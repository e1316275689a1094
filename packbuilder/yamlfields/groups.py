"""Groups of fields, lists and mappings: each part alone, every fault noted, and their JSON Schema.

The first of a document's two passes. A group with a faulty field is still read: its other fields
are sound, and what they mean together can be looked at too, in the second pass of whoever reads.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from packbuilder.phrases import meant, nearest
from packbuilder.yamlfields.document import Scalar
from packbuilder.yamlfields.parts import Faults, YamlPart
from packbuilder.yamlfields.values import Json, Spec, Value, Wrong

T = TypeVar("T")
DIALECT = "https://json-schema.org/draft/2020-12/schema"
REQUIRED: Any = object()
"""In place of a default: the field may not be left out."""


@dataclass(frozen=True)
class Field:
    """A field of a group: what it may hold, and what an editor shows while it is written.

    A field that may be left out has a ``default``.
    """

    spec: Spec[Any]
    about: str
    example: Any = None
    default: Any = REQUIRED

    @property
    def required(self) -> bool:
        """Whether it may not be left out."""
        return self.default is REQUIRED

    @property
    def usual(self) -> Any:
        """The default, if it is one that an editor can show."""
        if isinstance(self.default, tuple):
            return list(self.default) or None
        plain = isinstance(self.default, str | int | float)
        return self.default if plain and self.default != "" else None


def given(spec: Spec[Any], about: str, example: Any, default: Any = REQUIRED) -> Any:
    """A dataclass's field that is read from a document (see `fields_of`)."""
    found = Field(spec, about, example, default)
    usual: Any = {} if found.required else {"default_factory": lambda: default}
    return field(metadata={"field": found}, **usual)


def fields_of(made: type[Any]) -> dict[str, Field]:
    """The fields of a dataclass that are read from a document."""
    found = {one.name: one.metadata.get("field") for one in dataclasses.fields(made)}
    return {name: one for name, one in found.items() if one is not None}


@dataclass(frozen=True)
class ReadGroup:
    """A group as read. ``values`` has what is sound, or rightly left out, by attribute's name."""

    part: YamlPart
    values: Mapping[str, Any]
    whole: bool

    def get(self, name: str) -> Any:
        """The value of a field; None where it is faulty."""
        return self.values.get(name)


@dataclass(frozen=True)
class Group(Spec[T]):
    """A group of fields by their names as written; ``make`` takes them as attributes.

    ``no-notes`` is written and ``no_notes`` the attribute. ``elsewhere`` gives the mend for a field
    that belongs elsewhere, or nothing. Of a ``partial`` group any field may be left out, in the
    groups inside it too; it is read as what was given and no more.
    """

    name: str
    about: str
    fields: Mapping[str, Field]
    make: Callable[..., T]
    elsewhere: Callable[[str], str] = lambda _name: ""
    partial: bool = False
    least: int = 0

    def read(self, part: YamlPart, faults: Faults) -> T | None:
        """The group; None where any of it is faulty."""
        found = self.read_fields(part, faults)
        return self.make(**found.values) if found.whole else None

    def read_fields(self, part: YamlPart, faults: Faults) -> ReadGroup:
        """The group field by field."""
        if not isinstance(part.data, dict):
            wrong = "is not a group of fields" if part.data is not None else part.lack
            such = f"such as `{next(iter(self.fields))}: ...`"
            faults.add(
                part, f"{wrong}; write its fields below it, each on an indented line, {such}"
            )
            return ReadGroup(part, {}, False)
        before, values = faults.count, dict[str, Any]()
        misspelt = self.note_unknown(part, faults)
        for name, one in self.fields.items():
            if name not in misspelt or name in part.data:
                self._read_field(name, one, part.inside(name), values, faults)
        return ReadGroup(part, values, faults.count == before)

    def note_unknown(self, part: YamlPart, faults: Faults) -> set[str | None]:
        """Note every field that the group does not have; gives the names that were meant."""
        unknown = [name for name in part.data if name not in self.fields]
        for name in unknown:
            mend = self.elsewhere(name) or nearest(name, self.fields)
            faults.add(part.inside(name), f"unknown field; {mend}")
        return {meant(name, self.fields) for name in unknown}

    def _read_field(
        self, name: str, one: Field, part: YamlPart, values: dict[str, Any], faults: Faults
    ) -> None:
        attribute, spec = name.replace("-", "_"), one.spec
        if part.where not in part.document.lines:
            if one.required and not self.partial:
                faults.add(part, f"is missing; add a line `{name}: ...`")
            elif not self.partial:
                values[attribute] = one.default
        elif part.data is None and not isinstance(spec, Group):
            spare = "" if one.required else ", or leave the line out"
            faults.add(part, f"has no value; write one{spare}")
        else:
            value = (spec.in_part() if self.partial else spec).read(part, faults)
            if value is not None:
                values[attribute] = value

    def in_part(self) -> Spec[Any]:
        """The group of which any field may be left out."""
        return Group(f"{self.name}Change", self.about, self.fields, dict, self.elsewhere, True)

    def schema(self, groups: dict[str, Json]) -> Json:
        """A reference to the group's schema."""
        if self.name not in groups:
            groups[self.name] = {}  # groups stand in the order in which they are met
            groups[self.name] = self.object_schema(groups)
        return {"$ref": f"#/$defs/{self.name}"}

    def object_schema(self, groups: dict[str, Json]) -> Json:
        """The group's schema itself."""
        required = [name for name, one in self.fields.items() if one.required]
        return {
            "type": "object",
            "description": self.about,
            "properties": {name: self._field_schema(f, groups) for name, f in self.fields.items()},
            **({"required": required} if required and not self.partial else {}),
            **({"minProperties": self.least} if self.least else {}),
            "additionalProperties": False,
        }

    def _field_schema(self, one: Field, groups: dict[str, Json]) -> Json:
        spec = one.spec.in_part() if self.partial else one.spec
        told: Json = {"description": one.about}
        if one.example is not None:
            told["examples"] = [one.example]
        if not self.partial and one.usual is not None:
            told["default"] = one.usual
        return {**spec.schema(groups), **told}


@dataclass(frozen=True)
class ListOf(Spec[tuple[Any, ...]]):
    """A list: ``what`` it is, such as "a list of hints", and ``how`` it is written."""

    spec: Spec[Any]
    what: str = "a list"
    how: str = "write it in brackets, such as [one, two]"
    least: int = 0
    most: int | None = None
    unique: bool = False

    def read(self, part: YamlPart, faults: Faults) -> tuple[Any, ...] | None:
        """The list; None where any of it is faulty."""
        data, before = part.data, faults.count
        if not isinstance(data, list) or not self.least <= len(data) <= (self.most or len(data)):
            faults.add(part, f"is not {self.what}; {self.how}")
            return None
        found = [self.spec.read(part.inside(k), faults) for k in range(len(data))]
        for k, one in enumerate(found):
            if self.unique and one is not None and one in found[:k]:
                faults.add(part.inside(k), f"{one!r} is given twice; keep one")
        return tuple(found) if faults.count == before else None

    def schema(self, groups: dict[str, Json]) -> Json:
        """An array."""
        limits = {"minItems": self.least, "maxItems": self.most, "uniqueItems": self.unique}
        kept = {name: value for name, value in limits.items() if value}
        return {"type": "array", "items": self.spec.schema(groups), **kept}


@dataclass(frozen=True)
class MapOf(Spec[dict[str, Any]]):
    """Values by ``keys``; ``how`` says how such a group is written."""

    keys: Value[str]
    spec: Spec[Any]
    how: str
    least: int = 0

    def read(self, part: YamlPart, faults: Faults) -> dict[str, Any] | None:
        """The values by name; None where any of it is faulty."""
        if not isinstance(part.data, dict) or len(part.data) < self.least:
            faults.add(part, f"is not a group of fields; {self.how}")
            return None
        before, found = faults.count, {}
        for name in part.data:
            try:
                found[self.keys.take(Scalar(name))] = self.spec.read(part.inside(name), faults)
            except Wrong as wrong:
                faults.add(part.inside(name), str(wrong))
        return found if faults.count == before else None

    def schema(self, groups: dict[str, Json]) -> Json:
        """An object."""
        return {
            "type": "object",
            "propertyNames": self.keys.schema(groups),
            "additionalProperties": self.spec.schema(groups),
            **({"minProperties": self.least} if self.least else {}),
        }


@dataclass(frozen=True)
class Either(Spec[Any]):
    """One of two: the second where the value is ``other``."""

    first: Spec[Any]
    second: Spec[Any]
    other: Callable[[Any], bool]

    def read(self, part: YamlPart, faults: Faults) -> Any:
        """What the one that fits reads."""
        return (self.second if self.other(part.data) else self.first).read(part, faults)

    def schema(self, groups: dict[str, Json]) -> Json:
        """One of the two."""
        return {"anyOf": [self.first.schema(groups), self.second.schema(groups)]}


def document_schema(group: Group[Any], title: str) -> Json:
    """The JSON Schema (draft 2020-12) of a document whose top is a group."""
    groups: dict[str, Json] = {}
    top = group.object_schema(groups)
    return {"$schema": DIALECT, "$defs": groups, **top, "title": title}
