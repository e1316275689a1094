"""The list of rules, for people and for machines: what each is, how it is written, an example."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from packbuilder.errors import InputError
from packbuilder.phrases import nearest
from packbuilder.rules import kinds
from packbuilder.rules.contract import Kind


def as_json(name: str | None = None) -> list[dict[str, Any]]:
    """One object a rule: ``example`` is a whole puzzle, ``written`` its lines under ``rules:``.

    Only the rule of that ``name``, where one is given. Raises InputError where it is no rule.
    """
    return [
        {
            "slug": kind.slug,
            "title": kind.title,
            "about": kind.about,
            "written": written(kind),
            "example": kind.example,
            "schema": kind.schema(),
            "techniques": [asdict(row) for row in kind.techniques],
        }
        for kind in _chosen(name)
    ]


def written(kind: Kind) -> str:
    """The lines of the example that write the rule, from ``rules:`` on."""
    return "\n".join(_block(kind.example.splitlines()))


def _block(lines: list[str]) -> Iterator[str]:
    inside = False
    for line in lines:
        if re.match(r"[a-z]", line):
            inside = line.startswith("rules:")
        if inside and line.strip():
            yield line.rstrip()


def show(name: str | None = None) -> str:
    """All rules as text; or one of them with its whole example.

    Raises InputError for a name that is no rule.
    """
    chosen = _chosen(name)
    if name is None:
        return "\n\n".join(f"{k.slug}\n  {k.about}\n{_in(written(k))}\n" for k in chosen)
    (kind,) = chosen
    return f"{kind.title}: {kind.about}\n\nA whole puzzle with it:\n\n{_in(kind.example.strip())}"


def _chosen(name: str | None) -> list[Kind]:
    if name is None:
        return list(kinds().values())
    if name in kinds():
        return [kinds()[name]]
    raise InputError(f"{name!r} is not a rule; {nearest(name, kinds())}")


def _in(text: str) -> str:
    return "\n".join(f"    {line}".rstrip() for line in text.splitlines())
