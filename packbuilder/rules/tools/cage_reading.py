"""Cages as the manifest has them: a picture with sums, or a list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from packbuilder.grid import Values, cell_name
from packbuilder.rules.contract import OPEN, RuleFault
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import Where, items, mapping, number, picture, shown
from packbuilder.rules.tools.cells import cells as read_cells
from packbuilder.rules.tools.sums import span

PICTURED = '{picture: "...", sums: {a: 10}}'
LISTED = '[{sum: 10, cells: "r1c1 r1c2"}]'

Sums = dict[tuple[int, ...], int | None]
"""The sum of each cage, by its cells in reading order; None for a cage without one."""


def from_picture(value: Mapping[str, Any], size: int) -> Sums:
    """Cages drawn with letters. Raises RuleFault."""
    given = mapping(value, ("picture", "sums"), PICTURED, needed=("picture",))
    cages = picture(given["picture"], size, ("picture",))
    sums: dict[str, Any] = {}
    if "sums" in given:
        if not isinstance(given["sums"], dict) or not given["sums"]:
            raise RuleFault(
                f"{shown(given['sums'])} stands where the sums belong",
                f"write them like {PICTURED}",
                ("sums",),
            )
        sums = {str(letter): total for letter, total in given["sums"].items()}
    for letter in sums:
        if letter not in cages:
            raise RuleFault(
                f"there is a sum for {letter!r}, but the picture has no such letter",
                f"its letters are {', '.join(cages)}",
                ("sums", letter),
            )
    return {
        cells: _sum(sums[letter], cells, size, ("sums", letter))
        if letter in sums
        else _unsummed(cells, size, ("picture",))
        for letter, cells in cages.items()
    }


def from_list(value: Any, size: int) -> Sums:
    """Cages listed one by one. Raises RuleFault."""
    found: Sums = {}
    owner: dict[int, int] = {}
    for k, entry in enumerate(items(value, f"{LISTED} or {PICTURED}")):
        given = mapping(entry, ("sum", "cells"), LISTED[1:-1], (k,), ("cells",))
        cells = tuple(sorted(read_cells(given["cells"], size, (k, "cells"))))
        for cell in cells:
            if cell in owner:
                raise RuleFault(
                    f"{cell_name(cell, size)} is in cage number {owner[cell] + 1} already",
                    "cages may not overlap: give each cell to one cage",
                    (k, "cells"),
                )
            owner[cell] = k
        found[cells] = (
            _sum(given["sum"], cells, size, (k, "sum"))
            if "sum" in given
            else _unsummed(cells, size, (k,))
        )
    return found


def with_sums(value: Any, values: Values | None, size: int) -> Any:
    """Cages of a design with the sums that a full grid makes: see `contract.Kind.filled`."""

    def entry(k: int, one: Any) -> Any:
        if not isinstance(one, dict) or one.get("sum") != OPEN or "cells" not in one:
            return one
        total = _made(read_cells(one["cells"], size, (k, "cells")), values)
        return {key: total if key == "sum" else told for key, told in one.items()
                if total or key != "sum"}  # fmt: skip

    if isinstance(value, list):
        return [entry(k, one) for k, one in enumerate(value)]
    if not isinstance(value, dict) or not isinstance(sums := value.get("sums"), dict):
        return value
    cages = picture(value.get("picture"), size, ("picture",))
    found = {
        letter: _made(cages[letter], values) if told == OPEN and letter in cages else told
        for letter, told in sums.items()
    }
    kept = {letter: told for letter, told in found.items() if told}
    return {k: kept if k == "sums" else told for k, told in value.items() if kept or k != "sums"}


def _made(cells: tuple[int, ...], values: Values | None) -> str:
    """What the digits of cells add up to; nothing without a grid."""
    return str(sum(values[cell] for cell in cells)) if values else ""


def _sum(value: Any, cells: tuple[int, ...], size: int, path: Where) -> int:
    """The sum of a cage. Raises RuleFault where no set of digits makes it."""
    where = _where(cells, size, path)
    total = number(value, 0, 10**9 - 1, f"the sum of {where}", path)
    low, high = span(len(cells), size)
    if not low <= total <= high:
        many = len(cells) > 1
        count = f"{words.number(len(cells))} cell{'s with different digits' if many else ''}"
        raise RuleFault(
            f"{where} cannot add up to {total}",
            f"{count} from {words.all_digits(size)} make{'' if many else 's'} {low} to {high}",
            path,
        )
    return total


def _unsummed(cells: tuple[int, ...], size: int, path: Where) -> int | None:
    """No sum. Raises RuleFault for a single cell: that would say nothing."""
    where = _where(cells, size, path)
    if len(cells) == 1:
        raise RuleFault(f"{where} is one cell and has no sum", "leave it out", path)
    return None


def _where(cells: tuple[int, ...], size: int, path: Where) -> str:
    """The name of a cage for messages. Raises RuleFault where it is too large."""
    where = f"the cage at {cell_name(cells[0], size)}"
    if len(cells) > size:
        raise RuleFault(
            f"{where} has {len(cells)} cells, and no digit may repeat among the {size} there are",
            f"give it {size} cells or fewer",
            path,
        )
    return where
