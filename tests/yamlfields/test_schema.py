"""The JSON Schemas of manifests and layouts, judged by the jsonschema library, against the readers.

What a schema refuses, its reader refuses too; and the fields of a layout, each by itself, the other
way round. (A manifest's reader refuses more: no schema counts the cells of a grid.)
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder import layouts, manifest
from packbuilder.cli.starter import manifest_text
from packbuilder.errors import InputError
from packbuilder.layouts.loading import read_fields
from packbuilder.layouts.model import LAYOUT
from packbuilder.manifest.fields import MANIFEST
from packbuilder.yamlfields.groups import Group
from tests.conftest import ROOT


class Core(yaml.SafeLoader):
    """YAML as an editor of today reads it: the core schema of YAML 1.2 (its section 10.3)."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, first in [
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+.0123456789")),
]:
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"(?:{pattern})$"), first)
Core.add_constructor(
    "tag:yaml.org,2002:int",
    lambda loader, node: int(node.value, 0 if node.value[:2] in ("0x", "0o") else 10),
)
Core.add_constructor("tag:yaml.org,2002:float", lambda loader, node: float(node.value))

# Documents with every field. Leaves are YAML as it is written, so that quotes count.
MANIFEST_WHOLE: dict[str, Any] = {
    "pack": {
        "title": "T", "issue": "2026-12", "byline": "1984", "theme": "x", "foreword": "x",
        "needs": ["pointing"], "paper": "a5", "layout": "two-up", "order": "as-listed",
        "licence": "x", "cover": "discs", "ladder": {"pointing": "off",
                                   "chain": {"rung": "6", "weight": "2.5", "name": "x"}},
        "assume-unique": "true", "sampler": "2", "creep": "0.1", "archive": ["../x"],
        "entry": "4", "questions": {"a": "x"},
    },
    "puzzles": [
        {
            "id": "a", "title": "'null'", "setter": "S", "permission": "x", "size": "4",
            "blocks": "2x2", "grid": "1..............2", "rules": [],
            "entry": "true", "answers": {"a": "x"},
            "hints": [{"where": "x", "idea": "x", "told": "x"}],
            "solution": "1234341221434321", "intro": "x", "link": "https://example.org/",
            "promise": {
                "grade": "3", "needs": ["naked-pair"], "uses": [], "no-notes": "0",
                "clues": "2", "symmetry": "none", "minimal": "true",
            },
        },
        {"file": "b.yaml"},
    ],
}  # fmt: skip
LAYOUT_WHOLE: dict[str, Any] = {
    "about": "x", "digit": "0.6", "narrow_strip": "true",
    "margins": {"a4": {"inner": "20", "outer": "20", "top": "20", "bottom": "20"}},
    "grids": {"across": "1", "down": "1", "gap_across": "0", "gap_down": "0", "caption": "13",
              "notes": "below", "notes_room": "40"},
    "cells": [{"up_to": "9", "aim": "18", "minimum": "11"}],
    "writing": {"labels": ["x", "y"], "ruled": "8"},
    "cards": {"padding": "5", "ribbon": "10", "guides": "false"},
    "lines": {"cell": "0.5", "border": "2", "frame": "2"},
    "type": {"cover": "50", "section": "30", "title": "20", "title_least": "10", "prose": "10",
             "small": "9", "label": "9", "furniture": "8"},
    "least": {"text": "9", "furniture": "7", "small": "5", "digits": "9"},
    "faces": {"title": "SourceSerifPro-Bold", "prose": "SourceSerifPro-Regular",
              "italic": "SourceSerifPro-It", "label": "SourceSansPro-Regular",
              "strong": "SourceSansPro-Bold"},
    "greys": {"quiet": "0.3", "rule": "0.5", "shade": "0.9"},
    "hints": {"cell": "8", "gap": "10"}, "answers": {"cell": "6", "gap": "9"},
    "on": {"a4": {"grids": {"caption": "12"}, "digit": "0.62"}},
}  # fmt: skip
TOKENS = [
    "null", "~", "''", "' '", "x", "' x'", "'4'", "4", "04", "4.0", "4.5", "17", "-1", "0", "100",
    "true", "'true'", "True", "yes", "tRue", "beyond", "Beyond", "'3'", "0x4", "1e1", ".5", "none",
    "None", "a4", "A4", "2026-12", "2026-13", "'2026-12 '", "' a'", "a-b", "a--b", "a_b", "one up",
    "ftp://x.y/", "https://", "https://x.y", "' https://x.y'", "x" * 81, "x" * 130, "x" * 401,
    "'" + " " * 75 + "abcdefgh'", "1................", "pointing", "horizontal", "below", "above",
    "[]", "[x]", "[x, y]", "[1]", "[a, b, c, d, e]", "[pointing]", "[pointing, pointing]", "{}",
    "{grade: 1}", "{x: 1}", "{cell: 1}", "{caption: 12}", "0.95", "0.2", "{a5: {}}", "{a3: {}}",
    "{a4: {greys: {}}}", "{a4: {digit: 0.7}}", "{a4: {digit: 7}}",
]  # fmt: skip


class Document(NamedTuple):
    """A kind of document: its schema and fields, one with every field, and where to put it."""

    schema: dict[str, Any]
    fields: Group[Any]
    whole: dict[str, Any]
    file: str

    @property
    def judge(self) -> jsonschema.Draft202012Validator:
        return jsonschema.Draft202012Validator(self.schema)

    def is_read(self, folder: Path, text: str) -> bool:
        """Whether the reader is content; of a layout, with every field by itself."""
        path = folder / self.file
        path.write_text(text, encoding="utf-8")
        try:
            manifest.load(path) if self.file == "manifest.yaml" else read_fields(path)
        except InputError:
            return False
        return True


KINDS = {
    "manifest": Document(manifest.schema(), MANIFEST, MANIFEST_WHOLE, "manifest.yaml"),
    "layout": Document(layouts.schema(), LAYOUT, LAYOUT_WHOLE, "mine.yaml"),
}
FILES = [
    *(("manifest", path) for path in sorted(ROOT.glob("packs/*/manifest.yaml"))),
    *(("layout", path) for path in sorted(ROOT.glob("layouts/*.yaml"))),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pack")
    (folder / "b.yaml").write_text("id: b\ntitle: B\nsize: 4\ngrid: ................\n")
    return folder


def as_an_editor_reads(text: str) -> Any:
    return yaml.load(text, Loader=Core)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_a_schema_is_a_schema_and_can_be_printed(kind: Document) -> None:
    jsonschema.Draft202012Validator.check_schema(kind.schema)
    assert kind.schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(kind.schema)) == kind.schema


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_every_field_is_described_and_its_examples_hold(kind: Document) -> None:
    groups = {"the top": kind.schema, **kind.schema["$defs"]}
    assert len(groups) > 5
    for group, part in groups.items():
        assert part["additionalProperties"] is False, group
        assert part["description"].endswith("."), group
        for name, field in part["properties"].items():
            assert field["description"].endswith("."), (group, name)
            assert field.get("examples") or group == "the top", (group, name)
            here = {"$defs": kind.schema["$defs"], **field}
            for example in field.get("examples", []):
                jsonschema.Draft202012Validator(here).validate(example)


@pytest.mark.parametrize(("kind", "path"), FILES, ids=lambda x: getattr(x, "stem", x))
def test_what_is_shipped_satisfies_schema_and_reader(kind: str, path: Path) -> None:
    KINDS[kind].judge.validate(as_an_editor_reads(path.read_text(encoding="utf-8")))
    manifest.load(path) if kind == "manifest" else layouts.load(path.stem)


def test_a_new_packs_manifest_satisfies_the_schema() -> None:
    KINDS["manifest"].judge.validate(as_an_editor_reads(manifest_text("A: 'b' # c", "2026-12")))


def test_every_field_of_a_layout_has_its_row_in_the_readme() -> None:
    told = (ROOT / "layouts" / "README.md").read_text(encoding="utf-8")
    for name, field in LAYOUT.fields.items():
        assert f"`{name}" in told, name
        for part in field.spec.fields if isinstance(field.spec, Group) else ():
            assert f"`{name}.{part}`" in told or f"`{part}`" in told, (name, part)


def written(part: Any) -> str:
    if isinstance(part, dict):
        return "{" + ", ".join(f"{key}: {written(value)}" for key, value in part.items()) + "}"
    if isinstance(part, list):
        return "[" + ", ".join(map(written, part)) + "]"
    return str(part)


def resolved(part: Any) -> Any:
    """The data as an editor sees it: each leaf as YAML's core schema reads it."""
    if isinstance(part, dict):
        return {key: resolved(value) for key, value in part.items()}
    return list(map(resolved, part)) if isinstance(part, list) else leaf(part)


leaf = cache(as_an_editor_reads)


def ways(part: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every part of the data."""
    steps = part.items() if isinstance(part, dict) else enumerate(part)
    for step, inner in steps:
        yield (*way, step)
        if isinstance(inner, dict | list):
            yield from ways(inner, (*way, step))


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_the_whole_document_is_accepted_by_both(kind: Document, folder: Path) -> None:
    def names(group: Group[Any]) -> Iterator[str]:
        for name, field in group.fields.items():
            yield name
            if isinstance(field.spec, Group):
                yield from names(field.spec)

    assert set(names(kind.fields)) <= {step for way in ways(kind.whole) for step in way}
    assert kind.judge.is_valid(as_an_editor_reads(written(kind.whole)))
    assert kind.is_read(folder, written(kind.whole))


def agree(kind: Document, folder: Path, data: dict[str, Any]) -> bool:
    valid = kind.judge.is_valid(resolved(data))
    if valid and kind is KINDS["manifest"]:
        return True
    return valid == kind.is_read(folder, written(data))


@pytest.mark.parametrize("token", TOKENS)
@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_every_field_with_every_odd_value(kind: Document, token: str, folder: Path) -> None:
    for *way, last in ways(kind.whole):
        data = copy.deepcopy(kind.whole)
        part: Any = data
        for step in way:
            part = part[step]
        part[last] = token
        assert agree(kind, folder, data), (way, last)


@settings(max_examples=300, deadline=None)
@given(kind=st.sampled_from(sorted(KINDS)), draw=st.data())
def test_parts_left_out_added_and_changed(folder: Path, kind: str, draw: st.DataObject) -> None:
    document = KINDS[kind]
    data = copy.deepcopy(document.whole)
    for _ in range(draw.draw(st.integers(1, 2))):
        *way, last = draw.draw(st.sampled_from(list(ways(document.whole))))
        part: Any = data
        try:
            for step in way:
                part = part[step]
            change = draw.draw(st.sampled_from(["replace", "drop", "add"]))
            if change == "replace":
                part[last] = draw.draw(st.sampled_from(TOKENS))
            elif change == "drop":
                del part[last]
            elif isinstance(part, dict):
                part[draw.draw(st.sampled_from(["x", "titel", "size", "grade", "digit"]))] = "4"
        except (IndexError, KeyError, TypeError):
            continue  # the first change took away what the second would have changed
    assert agree(document, folder, data), written(data)
