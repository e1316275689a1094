"""Shapes of rules in words: how a finding names what is printed, or is not."""

from __future__ import annotations

from packbuilder.grid import cell_name
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
    Side,
)

_MARKS = {
    "white": "the white dot",
    "black": "the black dot",
    "X": "the letter X",
    "V": "the letter V",
    "<": "the sign <",
    ">": "the sign >",
}
_PLACES: dict[Side, str] = {
    "top": "above column",
    "bottom": "below column",
    "left": "left of row",
    "right": "right of row",
}


def told(shape: Shape, size: int) -> str:
    """A shape in words, with its place: ``the white dot between r1c1 and r1c2``."""

    def name(cell: int) -> str:
        return cell_name(cell, size)

    match shape:
        case Path(cells, style, head):
            kind = f"{style} line{' with a head' if head else ''}"
            return f"the {kind} from {name(cells[0])} to {name(cells[-1])}"
        case Ring(cell, solid):
            return f"the {'disc' if solid else 'ring'} in {name(cell)}"
        case Box(cell):
            return f"the grey square in {name(cell)}"
        case Fence(cells):
            return f"the dashed outline round {name(cells[0])}"
        case Corner(cell, text):
            return f"the small {text} in {name(cell)}"
        case Edge((a, b), mark):
            return f"{_MARKS[mark]} between {name(a)} and {name(b)}"
        case Outside(side, index, text, towards, ringed):
            look = f" with an arrow {towards}" if towards else " in a ring" if ringed else ""
            return f"the {text}{look} {_PLACES[side]} {index + 1}"
        case Diagonal(slope):
            return f"the {'falling' if slope == 'down' else 'rising'} diagonal"
        case Patch(cells):
            return f"the grey patch at {name(cells[0])}"


def cells_of(shape: Shape, size: int) -> tuple[int, ...]:
    """The cells that a shape stands in or, outside the grid, the one that it is nearest to."""
    match shape:
        case Path(cells) | Fence(cells) | Patch(cells) | Edge(cells):
            return tuple(cells)
        case Ring(cell) | Box(cell) | Corner(cell):
            return (cell,)
        case Outside(side, index):
            k = min(max(index, 0), size - 1)
            last = size - 1
            row, column = {
                "top": (0, k),
                "bottom": (last, k),
                "left": (k, 0),
                "right": (k, last),
            }[side]
            return (row * size + column,)
        case Diagonal(slope):
            return tuple(r * size + (r if slope == "down" else size - 1 - r) for r in range(size))
