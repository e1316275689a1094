"""Pieces of JSON Schema that rules share to say how they are written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_CELL = r"r[0-9]{1,2}c[0-9]{1,2}"

BARE: dict[str, Any] = {"type": "null"}
"""A rule that is written as a bare name."""

YES_NO: dict[str, Any] = {"type": "boolean"}

CELL: dict[str, Any] = {"type": "string", "pattern": rf"^\s*{_CELL}\s*$"}

CELLS: dict[str, Any] = {"type": "string", "pattern": rf"^\s*{_CELL}([\s,]+{_CELL})*\s*$"}

PICTURE: dict[str, Any] = {
    "type": "string",
    "description": "One letter a cell, a line a row; '.' for a cell that belongs to none.",
}

EDGE: dict[str, Any] = {
    "type": "string",
    "pattern": rf"^\s*{_CELL}[\s,]+{_CELL}\s*$",
    "description": "Two cells that share a side, such as r1c1 r1c2.",
}

COMPARED: dict[str, Any] = {
    "type": "string",
    "pattern": rf"^\s*{_CELL}(\s*[<>]\s*{_CELL})+\s*$",
    "description": "Cells that share a side, with < or > between them.",
}


def listing(item: Mapping[str, Any]) -> dict[str, Any]:
    """A list of one or more."""
    return {"type": "array", "items": dict(item), "minItems": 1}


def group(fields: Mapping[str, Any], needed: tuple[str, ...] = ()) -> dict[str, Any]:
    """A mapping with some of these keys, and no other."""
    return {
        "type": "object",
        "properties": dict(fields),
        "required": list(needed),
        "additionalProperties": False,
        "minProperties": 1,
    }
