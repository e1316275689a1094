"""A creator's ladder out of YAML: the pack's own ``ladder:``, or a file with the same content.

    naked-pair: {rung: 3, weight: 8, name: Twins}
    chain: off

What is not named stays as the house has it (see `ladder.overrides`).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from packbuilder.errors import InputError
from packbuilder.ladder.overrides import HEAVIEST, changed
from packbuilder.ladder.rungs import RUNGS
from packbuilder.ladder.table import ASSUMING_UNIQUE
from packbuilder.yamlfields.document import Scalar, read_yaml
from packbuilder.yamlfields.groups import Either, Field, Group, MapOf
from packbuilder.yamlfields.parts import Faults, YamlPart
from packbuilder.yamlfields.values import Value, Wrong, as_written, line, number, one_of, whole

_CHANGE: Group[dict[str, Any]] = Group(
    "TechniqueChange",
    "What is different of a technique.",
    {
        "rung": Field(whole(1, RUNGS), "Its rung.", 3, None),
        "weight": Field(number(0, HEAVIEST, above=True), "What each of its steps weighs.", 8, None),
        "name": Field(line(60), "What print calls it.", "Twins", None),
    },
    dict,
    partial=True,
    least=1,
)


def _off(text: Scalar) -> str:
    if text in ("off", "false", "False", "FALSE"):
        return "off"
    raise Wrong(f"is neither off nor a change; write {_OFF.wanted}")


_OFF = Value("off, or a change such as {rung: 3}", _off, {"enum": ["off", False]})
CHANGES = MapOf(
    one_of(ASSUMING_UNIQUE.slugs, "a technique of the ladder", listed="packbuilder techniques"),
    Either(_OFF, _CHANGE, lambda value: isinstance(value, dict) and len(value) > 0),
    "write a line such as `chain: off` for each technique",
)
"""What is changed of the ladder's techniques, as `ladder.overrides.changed` takes it."""

LADDER = Either(
    as_written("lines such as `chain: off`, or the name of a file"),
    CHANGES,
    lambda value: isinstance(value, dict),
)


def load_ladder(path: Path) -> dict[str, Any]:
    """The changes in a ladder file. Raises InputError with every fault and its line."""
    faults = Faults()
    changes = read_ladder(YamlPart(read_yaml(path)), faults)
    faults.raise_if_any()
    return changes


def read_ladder(part: YamlPart, faults: Faults) -> dict[str, Any]:
    """The changes that stand in a part of a document, with every fault noted."""
    changes = CHANGES.read(part, faults) or {}
    check_ladder(part, changes, faults)
    return changes


def check_ladder(part: YamlPart, changes: dict[str, Any], faults: Faults) -> None:
    """What the changes make of the ladder together."""
    try:
        changed(ASSUMING_UNIQUE, changes)
    except InputError as error:
        faults.add(part, str(error))
