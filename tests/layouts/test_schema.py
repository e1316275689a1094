"""The JSON Schema of layouts, judged by the jsonschema library, against the loader both ways."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.layouts import load, schema
from packbuilder.layouts.checks import faults
from packbuilder.layouts.loading import read_fields
from packbuilder.layouts.model import Layout
from tests.layouts.files import SHIPPED
from tests.test_fields import Core

SCHEMA = schema()
JUDGE = jsonschema.Draft202012Validator(SCHEMA)
FILES = sorted(SHIPPED.glob("*.yaml"))


def as_an_editor_reads(text: str) -> Any:
    return yaml.load(text, Loader=Core)


def is_read(folder: Path, text: str) -> bool:
    """Whether the loader is content with every field by itself.

    What only several fields show together is no matter of the schema.
    """
    (folder / "mine.yaml").write_text(text, encoding="utf-8")
    try:
        read_fields(folder / "mine.yaml")
    except InputError:
        return False
    return True


def test_the_schema_is_a_schema_and_can_be_printed() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def test_every_field_is_described_and_its_examples_hold() -> None:
    groups = {"layout": SCHEMA, **SCHEMA["$defs"]}
    assert {"Grids", "Cells", "Cards", "Least", "Margins", "GridsChange"} <= set(groups)
    for group, part in groups.items():
        assert part["additionalProperties"] is False, group
        assert part["description"], group
        for name, field in part["properties"].items():
            assert field["description"].endswith("."), (group, name)
            assert field["examples"], (group, name)
            here = {"$defs": SCHEMA["$defs"], **field}
            for example in field["examples"]:
                jsonschema.Draft202012Validator(here).validate(example)


def test_every_field_has_its_row_in_the_readme() -> None:
    told = (SHIPPED / "README.md").read_text(encoding="utf-8")
    for name, field in Layout.model_fields.items():
        if name in ("name", "file"):
            continue
        assert f"`{name}" in told, name
        inner = getattr(field.annotation, "model_fields", {})
        for part in inner:
            assert f"`{name}.{part}`" in told or f"`{part}`" in told, (name, part)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_shipped_layouts_satisfy_schema_and_loader(path: Path) -> None:
    JUDGE.validate(as_an_editor_reads(path.read_text(encoding="utf-8")))
    layout = load(path.stem)
    for paper in layout.margins:
        assert faults(layout.for_paper(paper), [paper]) == []


# A layout with every field. Leaves are YAML as it is written, so that quotes count.
WHOLE: dict[str, Any] = {
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
    "null", "~", "''", "x", "' x'", "'4'", "4", "04", "4.0", "4.5", "17", "-1", "0", "100", "1e1",
    ".5", "0x4", "true", "'true'", "True", "yes", "below", "beside", "above", "a4", "one-up",
    "one up", "[]", "[x]", "[x, y]", "[1]", "{}", "{cell: 1}", "{caption: 12}", "0.95", "0.2",
    "x" * 130, "[a, b, c, d, e]", "{a5: {}}", "{a4: {greys: {}}}", "{a4: {digit: 0.7}}",
    "{a4: {digit: 7}}", "{a3: {}}",
]  # fmt: skip


def written(part: Any) -> str:
    if isinstance(part, dict):
        return "{" + ", ".join(f"{key}: {written(value)}" for key, value in part.items()) + "}"
    if isinstance(part, list):
        return "[" + ", ".join(map(written, part)) + "]"
    return str(part)


def paths(part: Any, way: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [way] if way else []
    if isinstance(part, dict | list):
        for key, value in part.items() if isinstance(part, dict) else enumerate(part):
            found += paths(value, (*way, key))
    return found


def test_the_whole_layout_is_good(tmp_path: Path) -> None:
    assert JUDGE.is_valid(as_an_editor_reads(written(WHOLE)))
    assert is_read(tmp_path, written(WHOLE))


@settings(max_examples=250, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(way=st.sampled_from(paths(WHOLE)), token=st.sampled_from([*TOKENS, None, "added"]))
def test_schema_and_loader_agree(tmp_path: Path, way: tuple[Any, ...], token: str | None) -> None:
    """One part changed, left out, or with an unknown one beside it: both say the same of it."""
    data = copy.deepcopy(WHOLE)
    part: Any = data
    for key in way[:-1]:
        part = part[key]
    if token is None:
        del part[way[-1]]
    elif token == "added" and isinstance(part, dict):
        part["added"] = "1"
    else:
        part[way[-1]] = token
    text = written(data)
    assert JUDGE.is_valid(as_an_editor_reads(text)) == is_read(tmp_path, text), text
