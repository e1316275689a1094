"""The rules of a puzzle, out of its manifest: which they are, and the parts that they mean.

What may stand under a rule's name is the rule's own business (`rules.contract.Kind.read`); here
its faults get the line on which they stand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from packbuilder import rules
from packbuilder.grid import Geometry, GridFault
from packbuilder.phrases import listed as either
from packbuilder.phrases import nearest, quoted
from packbuilder.rules import contract
from packbuilder.rules.houses import with_houses
from packbuilder.rules.tools.outside import on_one_another
from packbuilder.yamlfields.document import Scalar
from packbuilder.yamlfields.parts import Faults, YamlPart
from packbuilder.yamlfields.values import Json, Spec


@dataclass(frozen=True)
class Rules:
    """The rules of one puzzle; ``geometry`` has the houses that they bring."""

    parts: tuple[contract.Part, ...]
    names: tuple[str, ...]
    geometry: Geometry


def read_rules(part: YamlPart, geometry: Geometry | None, faults: Faults) -> Rules | None:
    """The rules in a puzzle's field ``rules``; None, and the faults, where there are any.

    Where the geometry is not known, only the names of the rules are looked at.
    """
    before = faults.count
    found: list[tuple[str, contract.Part]] = []
    listed: dict[str, YamlPart] = {}
    for entry, slug, value in _entries(part, faults):
        kind = rules.kinds()[slug]
        if slug in listed:
            faults.add(entry, f"{slug} is already listed on line {listed[slug].line}; "
                       "list a rule once, with all that belongs to it")  # fmt: skip
            continue
        listed.setdefault(slug, entry)
        if geometry is not None:
            for piece in _parts(kind, entry, value, geometry, faults):
                if (slug, piece) in found:
                    name = piece.name(geometry.size)
                    faults.add(entry, f"{name} is given twice; leave one out")
                found.append((slug, piece))
    if geometry is None or faults.count > before:
        return None
    parts = tuple(piece for _, piece in found)
    entries = {piece: listed[slug] for slug, piece in found}
    for one, other in on_one_another(parts):
        ways = ["leave one out", *filter(None, (one.elsewhere(), other.elsewhere()))]
        names = other.name(geometry.size), one.name(geometry.size)
        faults.add(entries[other], f"{names[0]} would stand on {names[1]} "
                   f"(line {entries[one].line}); {either(ways, 'or')}")  # fmt: skip
    if faults.count > before:
        return None
    return Rules(parts, tuple(listed), with_houses(geometry, parts))


def _entries(part: YamlPart, faults: Faults) -> Iterator[tuple[YamlPart, str, Any]]:
    """The way to each rule, its name, and what stands under the name (None: nothing)."""
    for k, entry in enumerate(part.data or []):
        here = part.inside(k)
        if isinstance(entry, Scalar):
            slug, value = str(entry).strip(), None
        elif isinstance(entry, dict) and len(entry) == 1:
            slug, value = next(iter(entry.items()))
            here = here.inside(slug)
        else:
            faults.add(here, f"{_what(entry)}; write the name of a rule, or one name with its "
                       "value, and begin each rule with a hyphen")  # fmt: skip
            continue
        if slug in rules.kinds():
            yield here, slug, value
        else:
            known = nearest(slug, rules.kinds())
            faults.add(here, f"{quoted(slug)} is not a rule that this version knows; {known}")


def _what(entry: object) -> str:
    if entry is None:
        return "has no value"
    if isinstance(entry, dict):
        return f"holds {len(entry)} rules" if entry else "holds no rule"
    return "holds a list"


def _parts(
    kind: contract.Kind, entry: YamlPart, value: Any, geometry: Geometry, faults: Faults
) -> tuple[contract.Part, ...]:
    try:
        return kind.read(value, geometry)
    except contract.RuleFault as fault:
        _place(entry, fault.path, f"{fault.what}; {fault.mend}", faults)
    except GridFault as fault:
        faults.add(entry, str(fault))
    return ()


def _place(entry: YamlPart, path: tuple[str | int, ...], message: str, faults: Faults) -> None:
    """Note a fault where the path leads. A number past a text is a line of it that is not blank."""
    for step in path:
        if isinstance(entry.data, Scalar):
            lines = [k for k, line in enumerate(entry.data.splitlines()) if line.strip()]
            if isinstance(step, int) and step < len(lines):
                line = entry.document.text_line(entry.where, lines[step])
                faults.add(entry, message, line)
                return
            break
        if isinstance(entry.data, list) and step not in range(len(entry.data)):
            break
        entry = entry.inside(step)
    faults.add(entry, message)


class _RuleList(Spec[list[Any]]):
    """A list whose entries are looked at later, when the grid that they are for is known."""

    def read(self, part: YamlPart, faults: Faults) -> list[Any] | None:
        """The list as it stands."""
        if isinstance(part.data, list):
            return part.data
        how = "begin each rule with a hyphen, such as: - diagonals"
        faults.add(part, f"is not a list of rules; {how}")
        return None

    def schema(self, groups: dict[str, Json]) -> Json:
        """A name where the rule has no value, else the name with what the rule reads."""
        found = {slug: kind.schema() for slug, kind in rules.kinds().items()}
        bare = [slug for slug, value in found.items() if value.get("type") == "null"]
        keyed = [_keyed(slug, value) for slug, value in found.items() if slug not in bare]
        return {"type": "array", "items": {"anyOf": [{"enum": bare}, *keyed]}}


def _keyed(slug: str, value: Json) -> Json:
    return {
        "type": "object",
        "description": " ".join(rules.kinds()[slug].about.split()),
        "properties": {slug: value},
        "required": [slug],
        "additionalProperties": False,
    }


RULES = _RuleList()
