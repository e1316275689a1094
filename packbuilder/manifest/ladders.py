"""A creator's ladder out of YAML: the pack's own ``ladder:``, or a file with the same content.

    naked-pair: {rung: 3, weight: 8, name: Twins}
    chain: off

What is not named stays as the house has it (see `ladder.overrides`).
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from packbuilder.errors import InputError
from packbuilder.ladder.overrides import HEAVIEST, changed
from packbuilder.ladder.rungs import RUNGS
from packbuilder.ladder.table import ASSUMING_UNIQUE
from packbuilder.manifest.fieldtypes import TEXT_TYPES, nearest, quoted
from packbuilder.manifest.groups import Faults, Part
from packbuilder.yamlfile import Text, read_yaml

FIELDS = ("rung", "weight", "name")
MAX_NAME = 60
OFF = ("off", "false", "False", "FALSE")
_WHOLE = re.compile(r"\d{1,9}")
_NUMBER = re.compile(r"\d{1,9}(?:\.\d{1,9})?")


def load_ladder(path: Path) -> dict[str, object]:
    """The changes in a ladder file. Raises InputError with every fault and its line."""
    faults = Faults()
    changes = read_ladder(Part(read_yaml(path), (), ""), faults)
    faults.raise_if_any()
    return changes


def read_ladder(part: Part, faults: Faults) -> dict[str, object]:
    """The changes that stand in a part of a document, with every fault noted."""
    if not isinstance(part.data, dict):
        faults.add(part, "is not a group of techniques; write a line such as `chain: off` for each")
        return {}
    before = faults.count
    changes = {slug: _change(part.inside(slug), slug, faults) for slug in part.data}
    if faults.count > before:
        return {}
    try:
        changed(ASSUMING_UNIQUE, changes)
    except InputError as error:
        faults.add(part, str(error))
        return {}
    return changes


def _change(part: Part, slug: str, faults: Faults) -> object:
    if slug not in ASSUMING_UNIQUE.slugs:
        known = nearest(slug, ASSUMING_UNIQUE.slugs, "packbuilder techniques")
        faults.add(part, f"{quoted(slug)} is not a technique of the ladder; {known}")
        return None
    if isinstance(part.data, Text) and part.data in OFF:
        return "off"
    if not isinstance(part.data, dict) or not part.data:
        faults.add(part, "is neither off nor a change; write off, or one such as {rung: 3}")
        return None
    change: dict[str, object] = {}
    for name in part.data:
        value = _field(part.inside(name), name, faults)
        if value is not None:
            change[name] = value
    return change


def _field(part: Part, name: str, faults: Faults) -> object:
    if name not in FIELDS:
        faults.add(part, f"unknown field; {nearest(name, FIELDS)}")
        return None
    text = str(part.data).strip() if isinstance(part.data, Text) else ""
    if name in ("rung", "weight") and isinstance(part.data, Text) and not part.data.plain:
        faults.add(part, "is in quotes; write the number without them")
    elif name == "rung":
        if _WHOLE.fullmatch(text) and 1 <= int(text) <= RUNGS:
            return int(text)
        faults.add(part, f"is not a rung; write a whole number from 1 to {RUNGS}")
    elif name == "weight":
        if _NUMBER.fullmatch(text) and 0 < float(text) <= HEAVIEST:
            return float(text)
        faults.add(part, f"is not a weight; write a number above 0, {HEAVIEST:g} at most")
    else:
        if text and len(text) <= MAX_NAME and text.isprintable():
            return text
        faults.add(part, f"is not a name; write a line of at most {MAX_NAME} characters")
    return None


def schema() -> dict[str, Any]:
    """JSON Schema of ``ladder``: the changes, or the name of a file with them."""
    change = {
        "type": "object",
        "properties": {
            "rung": {"type": "integer", "minimum": 1, "maximum": RUNGS},
            "weight": {"type": "number", "exclusiveMinimum": 0, "maximum": HEAVIEST},
            "name": {"type": TEXT_TYPES, "pattern": r"\S", "maxLength": MAX_NAME},
        },
        "additionalProperties": False,
        "minProperties": 1,
    }
    return {
        "anyOf": [
            {"type": "string", "minLength": 1},
            {
                "type": "object",
                "propertyNames": {"enum": list(ASSUMING_UNIQUE.slugs)},
                "additionalProperties": {"anyOf": [{"enum": ["off", False]}, change]},
            },
        ]
    }
