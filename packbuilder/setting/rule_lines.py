"""The rules of a new grid as the manifest has them: YAML as a person would write it."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

WIDTH = 88
"""Columns of a line, at most, before the indent of a manifest's entry."""

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 <>.-]*[A-Za-z0-9])?")
"""Text that YAML reads as it stands, in a list or a mapping."""

_ROW = re.compile(r"[.\d]+( [.\d]+)+")
"""Clues along a side. A person quotes them: then all sides line up."""


def rule_lines(rules: Sequence[tuple[str, Any]]) -> list[str]:
    """The lines from ``rules:`` on; none where there is no rule.

    Each rule has its name and its value: None, text, or lists and mappings of text.
    """
    lines = ["rules:"] if rules else []
    for slug, value in rules:
        if value is None:
            lines.append(f"  - {slug}")
        else:
            lines += _field(f"  - {slug}", value, "      ")
    return lines


def _field(head: str, value: Any, indent: str) -> Iterator[str]:
    """A key and its value; ``indent`` is that of what stands below the key."""
    if isinstance(value, str) and "\n" in value:
        yield f"{head}: |"
        yield from (indent + line for line in value.splitlines())
    elif isinstance(value, str):
        yield f"{head}: {_text(value)}"
    elif len(flow := f"{head}: {_flow(value)}") <= WIDTH and "\n" not in flow:
        yield flow
    elif isinstance(value, list) and all(isinstance(item, str) for item in value):
        yield f"{head}:"
        yield from _filled(value, indent)
    elif isinstance(value, list):
        yield f"{head}:"
        yield from (f"{indent}- {_flow(item)}" for item in value)
    elif all(
        isinstance(item, str) and "\n" not in item and len(item) < 8 for item in value.values()
    ):
        yield f"{head}:"
        yield from _filled([f"{key}: {_text(item)}" for key, item in value.items()], indent, "{}")
    else:
        yield f"{head}:"
        for key, item in value.items():
            yield from _field(indent + key, item, indent + "  ")


def _filled(items: Sequence[str], indent: str, ends: str = "[]") -> Iterator[str]:
    """Short items side by side, as many as a line has room for; a line begins with a whole item."""
    whole = f"{ends[0]}{', '.join(item.replace(' ', '~') for item in items)}{ends[1]}"
    for line in textwrap.wrap(whole, WIDTH, subsequent_indent=" ", break_on_hyphens=False):
        yield indent + line.replace("~", " ")


def _flow(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(item) for item in value) + "]"
    return _text(value) if "\n" not in value else value


def _text(value: str) -> str:
    return value if _PLAIN.fullmatch(value) and not _ROW.fullmatch(value) else f'"{value}"'
