"""The ladder's name for marks that are held together, where it has one."""

from __future__ import annotations

from collections.abc import Sequence

from packbuilder.grid import Geometry
from packbuilder.ladder.head.sentences import NamedMark
from packbuilder.ladder.table import DEFAULT


def pattern(uses: Sequence[NamedMark], geometry: Geometry) -> str:
    """``Skyscraper``; "" where the ladder has no name for what is held."""
    slug = _wing(uses) or _of_one_digit(uses, geometry)
    return DEFAULT.named(slug).name if slug else ""


def _wing(uses: Sequence[NamedMark]) -> str:
    """Three cells that hold two each of three digits."""
    if len(uses) != 3 or any(len(mark.cells) != 1 for mark in uses):
        return ""
    digits = [frozenset(mark.digits) for mark in uses]
    return "xy-wing" if len(set(digits)) == 3 and len(frozenset().union(*digits)) == 3 else ""


def _of_one_digit(uses: Sequence[NamedMark], geometry: Geometry) -> str:
    """Two lines in each of which a digit has two places."""
    if len(uses) != 2 or len({mark.digits for mark in uses}) != 1 or len(uses[0].digits) != 1:
        return ""
    if any(mark.house < 0 or len(mark.cells) != 2 for mark in uses):
        return ""
    kinds = [geometry.houses[mark.house].kind for mark in uses]
    size = geometry.size
    if kinds[0] == kinds[1] and kinds[0] in ("row", "column"):
        across = [
            {cell % size if kinds[0] == "row" else cell // size for cell in mark.cells}
            for mark in uses
        ]
        shared = len(across[0] & across[1])
        return {1: "skyscraper", 2: "x-wing"}.get(shared, "")
    if sorted(kinds) == ["column", "row"] and geometry.regions is not None:
        areas = [{geometry.regions[cell] for cell in mark.cells} for mark in uses]
        if areas[0] & areas[1] and not set(uses[0].cells) & set(uses[1].cells):
            return "two-string-kite"
    return ""
