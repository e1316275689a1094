"""The JSON Schema, judged by the jsonschema library, against the loader and the sample packs."""

import copy
import json
import re
from functools import cache
from pathlib import Path

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.cli.starter import manifest_text
from packbuilder.errors import InputError
from packbuilder.manifest import load, schema
from packbuilder.manifest.fields import FileFields, PackFields, PromiseFields, PuzzleFields

SCHEMA = schema()
JUDGE = jsonschema.Draft202012Validator(SCHEMA)
PACKS = sorted((Path(__file__).parents[1] / "packs").glob("*/manifest.yaml"))


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


def judged(text):
    return JUDGE.is_valid(yaml.load(text, Loader=Core))


def test_the_schema_is_a_schema_and_can_be_printed():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


@pytest.mark.parametrize("group", ["PackFields", "PuzzleFields", "PromiseFields", "FileFields"])
def test_every_field_is_described_and_its_examples_hold(group):
    part = SCHEMA["$defs"][group]
    assert part["additionalProperties"] is False
    assert part["description"]
    for name, field in part["properties"].items():
        assert field["description"].endswith("."), name
        assert field["examples"], name
        here = {"$defs": SCHEMA["$defs"], **field}
        for example in field["examples"]:
            jsonschema.Draft202012Validator(here).validate(example)


@pytest.mark.parametrize("path", PACKS, ids=lambda p: p.parent.name)
def test_sample_packs_satisfy_schema_and_loader(path):
    load(path)
    assert judged(path.read_text(encoding="utf-8"))


def test_a_new_packs_manifest_satisfies_the_schema():
    assert judged(manifest_text("A: 'b' # c", "2026-12"))


# A manifest with every field. Leaves are YAML as it is written, so that quotes count.
WHOLE = {
    "pack": {
        "title": "T", "issue": "2026-12", "byline": "1984", "theme": "x", "foreword": "x",
        "needs": ["pointing"], "paper": "a5", "layout": "two-up", "order": "as-listed",
        "licence": "x", "ladder": {"pointing": "off", "chain": {"rung": "6", "weight": "2.5"}},
        "assume-unique": "true", "sampler": "2", "creep": "0.1",
    },
    "puzzles": [
        {
            "id": "a", "title": "'null'", "setter": "S", "permission": "x", "size": "4",
            "blocks": "2x2", "grid": "1..............2", "rules": [],
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
TOKENS = [
    "null", "~", "''", "' '", "x", "'4'", "4", "04", "4.0", "17", "-1", "true", "'true'", "True",
    "yes", "tRue", "beyond", "Beyond", "'3'", "0x4", "1e1", ".5", "none", "None", "a4", "A4",
    "2026-12", "2026-13", "'2026-12 '", "' a'", "a-b", "a--b", "a_b", "ftp://x.y/", "https://",
    "https://x.y", "' https://x.y'", "x" * 81, "'" + " " * 75 + "abcdefgh'", "x" * 401,
    "1................", "pointing", "horizontal", "[]", "[x]", "[pointing]",
    "[pointing, pointing]", "{}", "{grade: 1}", "{x: 1}",
]  # fmt: skip


def written(part):
    if isinstance(part, dict):
        return "{" + ", ".join(f"{key}: {written(value)}" for key, value in part.items()) + "}"
    if isinstance(part, list):
        return "[" + ", ".join(map(written, part)) + "]"
    return part


def resolved(part):
    """The data as an editor sees it: each leaf as YAML's core schema reads it."""
    if isinstance(part, dict):
        return {key: resolved(value) for key, value in part.items()}
    return list(map(resolved, part)) if isinstance(part, list) else leaf(part)


@cache
def leaf(token):
    return yaml.load(token, Loader=Core)


def ways(part, way=()):
    """The way to every part of the data."""
    steps = (
        part.items()
        if isinstance(part, dict)
        else enumerate(part if isinstance(part, list) else [])
    )
    for step, inner in steps:
        yield (*way, step)
        if isinstance(inner, dict | list):
            yield from ways(inner, (*way, step))


WAYS = list(ways(WHOLE))


@st.composite
def mutated(draw):
    data = copy.deepcopy(WHOLE)
    for _ in range(draw(st.integers(1, 2))):
        *way, last = draw(st.sampled_from(WAYS))
        part = data
        try:
            for step in way:
                part = part[step]
            change = draw(st.sampled_from(["replace", "replace", "drop", "add"]))
            if change == "replace":
                part[last] = draw(st.sampled_from(TOKENS))
            elif change == "drop":
                del part[last]
            elif isinstance(part, dict):
                part[draw(st.sampled_from(["x", "titel", "size", "grade"]))] = "4"
        except (IndexError, KeyError, TypeError):
            continue  # the first change took away what the second would have changed
    return f"pack: {written(data.get('pack', {}))}\npuzzles: {written(data.get('puzzles', []))}\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pack")
    (folder / "b.yaml").write_text("id: b\ntitle: B\nsize: 4\ngrid: ................\n")
    return folder


def accepted(folder, text):
    (folder / "manifest.yaml").write_text(text)
    try:
        load(folder)
    except InputError:
        return False
    return True


def test_the_whole_manifest_is_accepted_by_both(folder):
    text = f"pack: {written(WHOLE['pack'])}\npuzzles: {written(WHOLE['puzzles'])}\n"
    names = {tuple(model.model_json_schema()["properties"]) for model in (
        PackFields, PuzzleFields, PromiseFields, FileFields
    )}  # fmt: skip
    whole = WHOLE["puzzles"]
    used = [WHOLE["pack"], whole[0], whole[0]["promise"], whole[1]]
    assert {frozenset(n) for n in names} == {frozenset(u) for u in used}, "every field is there"
    assert accepted(folder, text)
    assert judged(text)


@settings(max_examples=300)
@given(text=mutated())
def test_what_the_schema_refuses_the_loader_refuses(folder, text):
    if not judged(text):
        assert not accepted(folder, text)


@pytest.mark.parametrize("token", TOKENS)
def test_every_field_with_every_odd_value(folder, token):
    for *way, last in WAYS:
        data = copy.deepcopy(WHOLE)
        part = data
        for step in way:
            part = part[step]
        part[last] = token
        if not JUDGE.is_valid(resolved(data)):
            text = f"pack: {written(data['pack'])}\npuzzles: {written(data['puzzles'])}\n"
            assert not accepted(folder, text), (way, last)
