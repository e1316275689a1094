"""A creator's own words for a puzzle's hints, tier by tier, in place of the computed ones."""

from __future__ import annotations

import unicodedata
from typing import Any

from packbuilder.ladder.hints import MOST
from packbuilder.manifest.fieldtypes import TEXT_TYPES, nearest
from packbuilder.manifest.groups import Faults, Part
from packbuilder.puzzle import HintWords
from packbuilder.yamlfile import Text

TIERS = {"where": 120, "idea": 160, "told": 400}
"""The tiers that can be reworded, each with the characters that print has room for."""


def read_hints(part: Part, faults: Faults) -> tuple[HintWords, ...]:
    """The words in a puzzle's field ``hints``; the k-th entry rewords the k-th hint."""
    if part.data is None:
        return ()
    if not isinstance(part.data, list) or len(part.data) > MOST:
        faults.add(part, f"is not a list of at most {MOST} hints; begin each with a hyphen")
        return ()
    return tuple(_words(part.inside(k), faults) for k in range(len(part.data)))


def _words(part: Part, faults: Faults) -> HintWords:
    if not isinstance(part.data, dict):
        faults.add(part, "is not a hint; write `where:`, `idea:` or `told:` with your words")
        return HintWords()
    found = {}
    for name in part.data:
        if name not in TIERS:
            faults.add(part.inside(name), f"unknown field; {nearest(name, TIERS)}")
        else:
            found[name] = _text(part.inside(name), TIERS[name], faults)
    return HintWords(**found)


def _text(part: Part, limit: int, faults: Faults) -> str | None:
    if not isinstance(part.data, Text) or not part.data.strip():
        faults.add(part, "has no words; write a sentence, or leave the line out")
        return None
    text = " ".join(unicodedata.normalize("NFC", part.data).split())
    if len(text) > limit:
        faults.add(part, f"has {len(text)} characters; print has room for {limit}: shorten it")
    elif not text.isprintable():
        faults.add(part, "holds an unprintable character; delete it")
    else:
        return text
    return None


def schema() -> dict[str, Any]:
    """JSON Schema of ``hints``."""
    return {
        "type": "array",
        "maxItems": MOST,
        "items": {
            "type": "object",
            "properties": {
                name: {"type": TEXT_TYPES, "pattern": r"\S", "maxLength": limit}
                for name, limit in TIERS.items()
            },
            "additionalProperties": False,
        },
    }
