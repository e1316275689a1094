"""How the rules in print differ from the book's, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from packbuilder.grid import cell_name
from packbuilder.readback.report import TOLD
from packbuilder.rules.contract import Part
from packbuilder.rules.extra_regions import ExtraRegion

Told = tuple[str, str]
"""A code of a finding, and its words."""


def compared(printed: Sequence[Part], due: Sequence[Part], size: int) -> Iterator[Told]:
    """Parts that are missing, that are others, and that are too many: each kind told once."""
    seen, wanted = [_meant(part) for part in printed], [_meant(part) for part in due]
    lost = [part for part in wanted if part not in seen]
    new = [part for part in seen if part not in wanted]
    if any(part.shapes() for part in (*lost, *new)):  # what follows from these is not told too
        lost, new = ([part for part in some if part.shapes()] for some in (lost, new))
    wrong, missing = [], []
    for part in lost:
        akin = [p for p in new if _akin(part, p)]
        if akin:
            twin = max(akin, key=partial(_common, part))
            new.remove(twin)
            wrong.append(_changed(part, twin, size))
        else:
            missing.append(f"{part.name(size)} is not printed as the book has it")
    extra = [f"{part.name(size)} is printed, which the book does not have" for part in new]
    yield from _told("rule-missing", missing)
    yield from _told("rule-wrong", wrong)
    yield from _told("rule-extra", extra)
    if not (lost or extra) and len(printed) != len(due):
        yield "rule-extra", "a clue is printed twice"


def _meant(part: Part) -> Part:
    """A part as it is meant: letters only hold the pieces of a region together in print."""
    return replace(part, letter="") if isinstance(part, ExtraRegion) else part


def _akin(one: Part, other: Part) -> bool:
    """Whether one may be the other, printed wrongly: the same kind, half of the cells shared."""
    larger = max(len(one.cells), len(other.cells))
    return type(one) is type(other) and 2 * _common(one, other) >= larger


def _common(one: Part, other: Part) -> int:
    return len(set(one.cells) & set(other.cells))


def _changed(part: Part, twin: Part, size: int) -> str:
    name, other = part.name(size), twin.name(size)
    words = f"{name} is printed" + (f" as {other}" if other != name else "")
    gone = [cell_name(c, size) for c in part.cells if c not in twin.cells]
    more = [cell_name(c, size) for c in twin.cells if c not in part.cells]
    if gone:
        words += f" without {', '.join(gone)}"
    if more:
        words += f" with {', '.join(more)}"
    return words if gone or more or other != name else f"{words} as another one"


def _told(code: str, found: Sequence[str]) -> Iterator[Told]:
    if found:
        more = f"; and {len(found) - TOLD} more" if len(found) > TOLD else ""
        yield code, "; ".join(found[:TOLD]) + more
