"""Rules: one file a rule, found by scanning this folder. `contract` says what a rule file gives."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterable
from functools import cache
from importlib import import_module

from packbuilder.rules.contract import Kind, Part

NO_RULES = frozenset(
    {"cases", "contract", "houses", "listing", "relations", "shapes", "template", "tools"}
)
"""What stands in this folder and is no rule."""


@cache
def kinds() -> dict[str, Kind]:
    """Every rule that there is, by its name in the manifest, in alphabetical order."""
    found: dict[str, Kind] = {}
    for module in pkgutil.iter_modules(__path__):
        if module.name in NO_RULES:
            continue
        kind = import_module(f"{__name__}.{module.name}").KIND
        found[kind.slug] = kind
    return dict(sorted(found.items()))


def parts_of(kind: Kind, parts: Iterable[Part]) -> tuple[Part, ...]:
    """Those of a puzzle's parts that are of one kind: a part's class stands in its rule's file."""
    return tuple(part for part in parts if type(part).__module__ == type(kind).__module__)
