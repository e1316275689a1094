"""What a rule file lacks of the contract, in words: nothing, for a rule that may be listed."""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Iterator
from types import ModuleType

from jsonschema import Draft202012Validator

from packbuilder.grid import blocks
from packbuilder.rules.contract import Kind, Part

SENTENCE = re.compile(r"[A-Z].*[.]", re.DOTALL)


def faults_of(module: ModuleType) -> Iterator[str]:
    """Every way in which the file of a rule breaks the contract."""
    kind = getattr(module, "KIND", None)
    if not isinstance(kind, Kind):
        yield "there is no KIND, or it is no Kind"
        return
    yield from _kind(kind, module)
    parts = [c for c in vars(module).values() if isinstance(c, type) and issubclass(c, Part)]
    own = [c for c in parts if c.__module__ == module.__name__]
    if not own:
        yield "no Part is defined in the file"
    for part in own:
        name = part.__name__
        if not (dataclasses.is_dataclass(part) and part.__hash__ is not None):
            yield f"{name} is not a frozen dataclass"
        if part.__abstractmethods__:
            yield f"{name} lacks {', '.join(sorted(part.__abstractmethods__))}"
        if not part.__doc__ or part.__doc__.startswith(f"{name}("):
            yield f"{name} has no docstring"


def _kind(kind: Kind, module: ModuleType) -> Iterator[str]:
    for name in ("slug", "title", "about", "example"):
        if not getattr(kind, name, ""):
            yield f"{name} is missing"
    slug = getattr(kind, "slug", "")
    if slug.replace("-", "_") != module.__name__.rpartition(".")[2] and slug != "twins":
        yield f"the slug {slug!r} is not the file's name"
    if not re.fullmatch(r"[a-z]+(-[a-z]+)*", slug):
        yield f"the slug {slug!r} is not lower-case words with hyphens"
    if not SENTENCE.fullmatch(getattr(kind, "about", "")):
        yield "about is not a sentence"
    for row in kind.techniques:
        if not 1 <= row.rung <= 7 or row.weight <= 0:
            yield f"{row.slug} has no place on the ladder"
        if not (SENTENCE.fullmatch(row.about) and SENTENCE.fullmatch(row.idea)):
            yield f"{row.slug} is not told in sentences"
    schema = kind.schema()
    json.dumps(schema)
    Draft202012Validator.check_schema(schema)
    wording = kind.wording((), blocks(2, 2).size)
    more = [said for said in (wording.page, wording.text, wording.printed) if said]
    if not all(SENTENCE.fullmatch(said) for said in (wording.means, *more)):
        yield "the wording is not in sentences"
