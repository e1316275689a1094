"""Small tools that rule files share to read what a manifest says of cells.

Every function takes ``path``, the way from the rule's own value to what is read, and raises
RuleFault with a sentence that a puzzle maker can act on.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any

from packbuilder.grid import GridFault, cell_name, parse_cell
from packbuilder.phrases import nearest
from packbuilder.rules.contract import RuleFault
from packbuilder.rules.tools.words import listed

Where = tuple[str | int, ...]

NEITHER = "."
"""The letter of a picture for a cell that belongs to nothing."""


# What a value is: text, a list, a mapping, a number, a yes or no, or nothing.


def nothing(value: Any, slug: str) -> None:
    """Nothing stands under the name of a rule that is written as a bare name."""
    if value is not None:
        raise RuleFault(
            f"{slug} takes no value, but has {shown(value)}", f"write it alone: - {slug}"
        )


def text(value: Any, example: str, path: Where = ()) -> str:
    """A text that is not blank. ``example`` shows how such a text is written."""
    if not isinstance(value, str):
        raise RuleFault(
            f"{shown(value)} stands where a text belongs", f"write it like {example}", path
        )
    if not value.strip():
        raise RuleFault("the text is empty", f"write it like {example}", path)
    return value.strip()


def items(value: Any, example: str, path: Where = ()) -> list[Any]:
    """A list that is not empty."""
    if not isinstance(value, list):
        raise RuleFault(
            f"{shown(value)} stands where a list belongs", f"write it like {example}", path
        )
    if not value:
        raise RuleFault("the list is empty", f"write it like {example}", path)
    return value


def mapping(
    value: Any, keys: Sequence[str], example: str, path: Where = (), needed: Collection[str] = ()
) -> dict[str, Any]:
    """A mapping with some of ``keys`` and no other key, all those ``needed`` among them."""
    if not isinstance(value, dict):
        raise RuleFault(
            f"{shown(value)} stands where {listed(keys)} belong",
            f"write it like {example}",
            path,
        )
    for key in value:
        if key not in keys:
            mend = nearest(str(key), keys)
            raise RuleFault(f"unknown key {shown(key)}", mend, (*path, str(key)))
    for key in keys:
        if key in needed and key not in value:
            raise RuleFault(f"{key!r} is missing", f"write it like {example}", path)
    if not value:
        raise RuleFault("nothing is given", f"write it like {example}", path)
    return value


def number(value: Any, low: int, high: int, what: str, path: Where = ()) -> int:
    """A whole number from ``low`` to ``high``. ``what`` is its name: ``the sum``."""
    if not isinstance(value, str) or not re.fullmatch(r"-?[0-9]{1,9}", value.strip()):
        raise RuleFault(
            f"{what} is {shown(value)}, which is no whole number",
            f"write a number from {low} to {high}",
            path,
        )
    if not low <= int(value) <= high:
        raise RuleFault(f"{what} is {int(value)}", f"write a number from {low} to {high}", path)
    return int(value)


def yes_no(value: Any, path: Where = ()) -> bool:
    """``true`` or ``false``; ``yes`` and ``no`` are understood too."""
    found = {"true": True, "yes": True, "false": False, "no": False}
    word = value.strip().lower() if isinstance(value, str) else None
    if word not in found:
        raise RuleFault(f"{shown(value)} is neither yes nor no", "write true or false", path)
    return found[word]


def shown(value: Any) -> str:
    """A value as a message quotes it, cut where it is long."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a group of fields"
    if isinstance(value, list):
        return "a list"
    quote = repr(str(value))
    return quote if len(quote) <= 40 else f"{quote[:37]}...{quote[0]}"


# Cells: lists, edges, paths and pictures.


def one_cell(value: Any, size: int, path: Where = ()) -> int:
    """A single cell, such as ``r1c1``."""
    found = cells(value, size, path)
    if len(found) > 1:
        raise RuleFault(f"{shown(value)} names {len(found)} cells", "write one, such as r1c1", path)
    return found[0]


def cells(
    value: Any, size: int, path: Where = (), *, at_least: int = 1, loops: bool = False
) -> tuple[int, ...]:
    """Different cells in the order in which they are written: ``r1c1 r1c2 r2c3``.

    With ``loops``, the last may be the first of three or more once more.
    """
    words = text(value, '"r1c1 r1c2 r2c3"', path).replace(",", " ").split()
    found: list[int] = []
    for k, word in enumerate(words, start=1):
        try:
            cell = parse_cell(word, size)
        except GridFault as fault:
            what, _, mend = str(fault).partition("; ")
            raise RuleFault(what, mend or f"rows and columns go from 1 to {size}", path) from None
        if loops and len(found) > 2 and cell == found[0] and k == len(words):
            return (*found, cell)
        if cell in found:
            raise RuleFault(f"{word} is named twice", "name each cell once", path)
        found.append(cell)
    if len(found) < at_least:
        raise RuleFault(
            f"{shown(value)} names {len(found)} cell{'s' if len(found) > 1 else ''}",
            f"name at least {at_least}",
            path,
        )
    return tuple(found)


def line(value: Any, size: int, path: Where = (), *, at_least: int = 2) -> tuple[int, ...]:
    """Cells of a line, each touching the next by a side or a corner; it may be a loop."""
    found = cells(value, size, path, at_least=at_least, loops=True)
    check_line(found, size, path)
    return found


def check_line(found: Sequence[int], size: int, path: Where = ()) -> None:
    """Each cell touches the next by a side or a corner; else RuleFault."""
    for a, b in pairwise(found):
        if not touch(a, b, size, corners=True):
            raise RuleFault(
                f"{cell_name(a, size)} and {cell_name(b, size)} do not touch",
                "name the cells of a line in order, each beside or diagonally beside the last",
                path,
            )


def edge(value: Any, size: int, path: Where = ()) -> tuple[int, int]:
    """Two cells that share a side, in reading order."""
    found = cells(value, size, path)
    if len(found) != 2:
        raise RuleFault(
            f"{shown(value)} names {len(found)} cell{'s' if len(found) > 1 else ''}",
            'name two that share a side, such as "r1c1 r1c2"',
            path,
        )
    a, b = sorted(found)
    if not touch(a, b, size):
        raise RuleFault(
            f"{cell_name(a, size)} and {cell_name(b, size)} do not share a side",
            "name two cells that do",
            path,
        )
    return a, b


def picture(value: Any, size: int, path: Where = ()) -> dict[str, tuple[int, ...]]:
    """The cells of each letter of a picture, letters by their first cell; ``.`` is left out.

    A fault of one row has the row's index (from 0) behind ``path``.
    """
    rows = [
        re.sub(r"\s", "", row)
        for row in text(value, "a picture, one letter a cell, a line a row", path).splitlines()
    ]
    if len(rows) != size:
        raise RuleFault(
            f"the picture has {len(rows)} row{'s' if len(rows) > 1 else ''}",
            f"it needs {size}, a line a row",
            path,
        )
    found: dict[str, list[int]] = {}
    for r, row in enumerate(rows):
        if len(row) != size:
            raise RuleFault(
                f"row {r + 1} of the picture has {len(row)} letter{'s' if len(row) > 1 else ''}",
                f"it needs {size}, one a cell ('.' for a cell that belongs to none)",
                (*path, r),
            )
        for c, letter in enumerate(row):
            if letter != NEITHER:
                found.setdefault(letter, []).append(r * size + c)
    if not found:
        raise RuleFault("the picture holds nothing but dots", "draw at least one letter", path)
    return {letter: tuple(where) for letter, where in found.items()}


# Neighbourhood.


def touch(a: int, b: int, size: int, *, corners: bool = False) -> bool:
    """Whether two different cells share a side (or, with ``corners``, a corner)."""
    down, across = abs(a // size - b // size), abs(a % size - b % size)
    return (down + across == 1) if not corners else max(down, across) == 1


def edges(size: int) -> Iterator[tuple[int, int]]:
    """All pairs of cells that share a side, each in reading order."""
    for cell in range(size * size):
        if cell % size < size - 1:
            yield cell, cell + 1
        if cell // size < size - 1:
            yield cell, cell + size


def leaps(size: int, moves: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """All pairs of cells that one of ``moves`` (rows down, columns right) leads across."""
    steps = tuple(moves)
    for cell in range(size * size):
        for down, right in steps:
            r, c = cell // size + down, cell % size + right
            if 0 <= r < size and 0 <= c < size:
                yield cell, r * size + c


def pieces(cells: Iterable[int], size: int) -> tuple[tuple[int, ...], ...]:
    """The cells parted into pieces that hang together by their sides, in reading order."""
    left, found = set(cells), []
    while left:
        piece, todo = set(), [min(left)]
        while todo:
            cell = todo.pop()
            if cell in left:
                left.discard(cell)
                piece.add(cell)
                todo += [other for other in left if touch(cell, other, size)]
        found.append(tuple(sorted(piece)))
    return tuple(found)
