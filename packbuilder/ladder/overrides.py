"""Overrides: a creator's own ladder, from plain data such as a manifest or a YAML file gives.

    naked-pair: {rung: 3, weight: 8, name: Twins}
    chain: off

What is not named stays as it is. A technique with two rows, such as the hidden single, has both
changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from packbuilder.errors import InputError
from packbuilder.ladder.rungs import RUNGS, Ladder, Technique
from packbuilder.ladder.table import ASSUMING_UNIQUE, UNIQUENESS

HEAVIEST = 1000.0
"""The most that one step may weigh."""

_FIELDS = ("rung", "weight", "name")


def changed(ladder: Ladder, changes: Mapping[str, object]) -> Ladder:
    """The ladder with a creator's changes: other rungs, weights and names, techniques left out.

    Each value is ``off`` (or False), or a mapping with some of ``rung`` (1 to `RUNGS`), ``weight``
    (a number above 0) and ``name``. Raises InputError that lists every fault, a line each.
    """
    faults = []
    for slug, change in changes.items():
        if slug not in ladder.slugs:
            faults.append(ladder.unknown(str(slug)))
        else:
            faults += [f"{slug}: {fault}" for fault in _faults(change)]
    if faults:
        raise InputError("\n".join(faults))
    rows = [_row(t, changes[t.slug]) if t.slug in changes else t for t in ladder.techniques]
    left = tuple(row for row in rows if row)
    if not left:
        raise InputError("the ladder has no technique left; leave at least one on")
    return replace(ladder, techniques=left)


def chosen(changes: Mapping[str, object], assume_unique: bool) -> Ladder:
    """The house's ladder with a creator's changes, and with uniqueness assumed only if asked for.

    A change to a technique that assumes uniqueness waits until that is asked for.
    """
    ladder = changed(ASSUMING_UNIQUE, changes)
    if assume_unique:
        return ladder
    resting = {technique.slug for technique in UNIQUENESS}
    return ladder.without(*(slug for slug in ladder.slugs if slug in resting))


def _row(technique: Technique, change: object) -> Technique | None:
    if not isinstance(change, Mapping):
        return None
    rung, weight = change.get("rung"), change.get("weight")
    return replace(
        technique,
        rung=technique.rung if rung is None else rung,
        weight=technique.weight if weight is None else float(weight),
        name=change.get("name") or technique.name,
    )


def _faults(change: object) -> list[str]:
    if change is False or change == "off":
        return []
    if not isinstance(change, Mapping):
        return [f"{change!r} is neither 'off' nor a mapping of {', '.join(_FIELDS)}"]
    faults = [
        f"{key!r} cannot be changed; there are: {', '.join(_FIELDS)}"
        for key in change
        if key not in _FIELDS
    ]
    rung, weight, name = (change.get(key) for key in _FIELDS)
    if rung is not None and (not _number(rung, int) or not 1 <= rung <= RUNGS):
        faults.append(f"rung {rung!r}; rungs go from 1 to {RUNGS}")
    if weight is not None and (not _number(weight, int, float) or not 0 < weight <= HEAVIEST):
        faults.append(f"weight {weight!r}; a weight is a number above 0, {HEAVIEST:g} at most")
    if name is not None and (not isinstance(name, str) or not name.strip()):
        faults.append(f"name {name!r}; a name is some text")
    return faults


def _number(value: object, *types: type) -> bool:
    return isinstance(value, types) and not isinstance(value, bool)
