"""A design in YAML: an entry as in a manifest, of which rules, regions or digits are fixed.

What is open is a sign: in the grid as in a picture (``#`` a clue, ``.`` none, ``?`` either, a digit
that digit; where it is left out, digits may stand anywhere), and under ``rules:`` a number that is
still to be found is ``?``. What it promises is asked of the grids.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from packbuilder import rules as known_rules
from packbuilder.errors import InputError
from packbuilder.grid import Geometry, GridFault, read_blocks
from packbuilder.manifest.fields import PUZZLE
from packbuilder.manifest.rules import read_rules
from packbuilder.rules.contract import OPEN, RuleFault
from packbuilder.setting.designs import symmetrical
from packbuilder.setting.picture import EITHER, Picture, read_picture
from packbuilder.setting.request import Request
from packbuilder.setting.solved_grids import Rules
from packbuilder.setting.wishes import WISH, span_of
from packbuilder.yamlfields.document import Document, read_yaml
from packbuilder.yamlfields.groups import Group
from packbuilder.yamlfields.parts import Faults, YamlPart

LISTED = "puzzles"
CARRIED = ("setter", "permission", "intro", "link")
"""Fields of the entry that stay as they are."""

# fmt: off
PROMISED: Group[dict[str, Any]] = Group(
    "DesignPromise", "What is asked of the grids.",
    {name: WISH.fields[name]
     for name in ("grade", "needs", "only", "no-notes", "clues", "symmetry", "minimal")},
    dict,
)
DESIGN: Group[dict[str, Any]] = Group(
    "Design", "An entry, open in part.",
    {
        "id": replace(PUZZLE.fields["id"], default=""),
        "title": replace(PUZZLE.fields["title"], default=""),
        **{name: PUZZLE.fields[name] for name in (*CARRIED, "size", "blocks", "rules")},
        "grid": replace(PUZZLE.fields["grid"], default=""),
        "promise": replace(PUZZLE.fields["promise"], spec=PROMISED, default={}),
    },
    dict,
)
# fmt: on


@dataclass(frozen=True)
class Design:
    """A design: what is asked for, and what its entry says besides."""

    request: Request
    id: str
    title: str
    carried: tuple[tuple[str, str], ...]


def read_design(path: Path, **asked: Any) -> Design:
    """The design in a file; ``asked`` are wishes that take the place of its own, where not None.

    Raises InputError with every fault, by line.
    """
    document = read_yaml(path, listed_as=LISTED, sign=OPEN)
    if LISTED in document.data:
        entries = document.data[LISTED]
        if set(document.data) != {LISTED} or not isinstance(entries, list) or len(entries) != 1:
            raise InputError(f"{path}: a design is one entry, in a file of its own")
    faults = Faults()
    part = YamlPart(document, (LISTED, 0) if LISTED in document.data else ())
    found = DESIGN.read(part, faults)
    faults.raise_if_any()
    assert found is not None
    geometry = _geometry(part, found, faults)
    picture = _picture(part, found)
    rules = _rules(part, found["rules"], geometry, faults)
    faults.raise_if_any()
    wishes = {**PROMISED_NOTHING, **(found["promise"] or {})}
    wishes |= {name: one for name, one in asked.items() if one}
    symmetry = wishes.pop("symmetry") or "none"
    try:
        picture = symmetrical(picture, symmetry)
        clues = wishes.pop("clues")
        request = Request(
            geometry,
            span_of(clues) if clues else picture.span,
            symmetry,
            picture=picture,
            rules=tuple(slug for slug, _ in rules),
            design=rules,
            **wishes,
        )
        request = _within(request, picture)
        request.check(0)
    except InputError as fault:
        raise InputError(f"{path}:{part.line}: {fault}") from None
    carried = tuple((name, str(found[name])) for name in CARRIED if found[name])
    return Design(request, found["id"], found["title"], carried)


PROMISED_NOTHING = {
    name.replace("-", "_"): field.default for name, field in PROMISED.fields.items()
}


def _within(request: Request, picture: Picture) -> Request:
    """The clues that are asked for, but no more than the picture can have, and a cell left open."""
    low, high = request.clues
    return replace(request, clues=(low, min(high, picture.span[1], picture.size**2 - 1)))


def _geometry(part: YamlPart, found: dict[str, Any], faults: Faults) -> Geometry:
    try:
        return read_blocks(found["blocks"], found["size"])
    except GridFault as fault:
        faults.add(part.inside("blocks"), str(fault))
    faults.raise_if_any()
    raise AssertionError


def _picture(part: YamlPart, found: dict[str, Any]) -> Picture:
    size, text = found["size"], str(found["grid"])
    if not text:
        return Picture(size, (EITHER,) * size**2)
    rows = [line for line in text.splitlines() if line.strip()]
    if len(rows) == 1 and len(signs := "".join(text.split())) == size**2:
        text = "\n".join(signs[k : k + size] for k in range(0, size**2, size))
    line = part.document.text_line((*part.where, "grid"), 0)
    return read_picture(text, str(part.document.path), line)


def _rules(part: YamlPart, listed: list[Any], geometry: Geometry, faults: Faults) -> Rules:
    """The rules as they are written, once it is known that they can be read."""
    kinds, written, known = known_rules.kinds(), list[tuple[str, Any]](), list[Any]()
    for entry in listed:
        pair = next(iter(entry.items())) if isinstance(entry, dict) and len(entry) == 1 else None
        slug, value = pair or (entry, None)
        written.append((str(slug), value))
        if slug in kinds and pair:
            with suppress(RuleFault):  # it is found again below, with its line
                value = kinds[slug].filled(value, None, geometry)
            # All of it is open: known by its name, whose clues are still to be made.
            known.append({slug: value} if value is not None else None)
        else:
            known.append(entry)
    kept = [one for one in known if one is not None]
    rules = YamlPart(_with(part, kept), part.where, part.label).inside("rules")
    read_rules(rules, geometry, faults)
    return tuple(written)


def _with(part: YamlPart, rules: list[Any]) -> Document:
    """The document with other rules, on the same lines."""
    entry = {**part.data, "rules": rules}
    data = {LISTED: [entry]} if part.where else entry
    return replace(part.document, data=data)
