"""Shapes in words: how a rule is told for which there is no way of its own.

A line for each thing drawn, with what it looks like and where it stands: all that a sighted solver
has too.
"""

from __future__ import annotations

from collections.abc import Iterable

from packbuilder.grid import cell_name
from packbuilder.plaintext.lines import item
from packbuilder.rules.contract import Part
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

_EDGES = {"white": "white dot", "black": "black dot", "X": "letter X", "V": "letter V",
          "<": "less than", ">": "greater than"}  # fmt: skip
_SIDES = {"top": "above column", "bottom": "below column", "left": "left of row",
          "right": "right of row"}  # fmt: skip


def shape_lines(parts: Iterable[Part], size: int) -> list[str]:
    """The shapes of some parts, a line or more each."""
    return [line for part in parts for shape in part.shapes() for line in _told(shape, size)]


def _told(shape: Shape, size: int) -> list[str]:
    def names(cells: Iterable[int]) -> list[str]:
        return [cell_name(cell, size) for cell in cells]

    match shape:
        case Path(cells, style, head):
            return item(f"{style} {'arrow' if head else 'line'}", names(cells))
        case Ring(cell, solid):
            return item("disc" if solid else "circle", names([cell]))
        case Box(cell, solid):
            return item("grey square" if solid else "open square", names([cell]))
        case Fence(cells):
            return item("dashed outline", names(cells))
        case Patch(cells):
            return item("grey patch", names(cells))
        case Corner(cell, text):
            return item(f"corner of {cell_name(cell, size)}", [text])
        case Edge(cells, mark):
            return item(_EDGES[mark], names(cells))
        case Diagonal(slope):
            return item("diagonal", ["falling" if slope == "down" else "rising"])
        case Outside(side, index, text, towards):
            arrow = [towards] if towards else []
            return item(f"{_SIDES[side]} {index + 1}", [text, *arrow])
