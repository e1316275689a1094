"""Shapes in words: what is drawn for a rule, from lines such as ``grey patch: r1c1 r1c2``."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

from packbuilder.grid import GridFault, parse_cell
from packbuilder.rules.shapes import (
    Box,
    Corner,
    Diagonal,
    Edge,
    Fence,
    Outside,
    Patch,
    Path,
    Ring,
    Shape,
)


class Unheard(Exception):
    """Words that mean no clue: what is wrong, and on which line, where one is known."""

    def __init__(self, told: str, line: int | None) -> None:
        super().__init__(told)
        self.told = told
        self.line = line


_EDGES: dict[str, Any] = {
    "white dot": "white",
    "black dot": "black",
    "letter X": "X",
    "letter V": "V",
    "less than": "<",
    "greater than": ">",
}
_SPOTS: dict[str, Callable[[int], Shape]] = {
    "disc": lambda cell: Ring(cell, solid=True),
    "circle": Ring,
    "grey square": Box,
    "open square": lambda cell: Box(cell, solid=False),
}
_AREAS: dict[str, Callable[[tuple[int, ...]], Shape]] = {
    "dashed outline": Fence,
    "grey patch": Patch,
}
_PATH = re.compile(r"(broad|thin|double|dashed|dotted) (line|arrow)")
_SIDE = re.compile(r"(above|below|left of|right of) (?:row|column) (-?[0-9]{1,2})")
_SIDES: dict[str, Any] = {"above": "top", "below": "bottom", "left of": "left", "right of": "right"}


def shapes_heard(clues: Iterable[tuple[str, str, int]], size: int) -> tuple[Shape, ...]:
    """The shapes of (label, words, line) clues. Raises Unheard."""
    found = []
    for label, words, line in clues:
        try:
            shape = _shape(label, words, size)
        except (GridFault, ValueError) as fault:
            raise Unheard(f"{label}: {fault}", line) from fault
        if shape is None:
            raise Unheard(f"{label!r} is nothing that is drawn", line)
        found.append(shape)
    return tuple(found)


def _shape(label: str, words: str, size: int) -> Shape | None:
    def cells() -> tuple[int, ...]:
        return tuple(parse_cell(word, size) for word in words.split())

    if label in _SPOTS:
        (cell,) = cells()
        return _SPOTS[label](cell)
    if label in _AREAS:
        return _AREAS[label](cells())
    if label in _EDGES:
        a, b = cells()
        return Edge((a, b), _EDGES[label])
    if label.startswith("corner of "):
        return Corner(parse_cell(label.removeprefix("corner of "), size), words)
    if label == "diagonal" and words in ("falling", "rising"):
        return Diagonal("down" if words == "falling" else "up")
    if found := _PATH.fullmatch(label):
        style: Any = found[1]
        return Path(cells(), style, found[2] == "arrow")
    if found := _SIDE.fullmatch(label):
        text, _, towards = words.partition(" ")
        return Outside(_SIDES[found[1]], int(found[2]) - 1, text, towards or None)
    return None
