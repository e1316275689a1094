"""Shapes: how a rule looks, in cell units and without a word about ink or paper.

The grid's top left corner is (0, 0); x grows to the right, y down; cell r1c1 is the unit square
at the corner, and its centre is (0.5, 0.5). The pages draw shapes, the read-back finds them again
in print, and a rule compares the two: so each shape says just what a reader must be able to tell
apart in black ink.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Side = Literal["top", "bottom", "left", "right"]


@dataclass(frozen=True)
class Path:
    """A line through the centres of ``cells``, drawn under the digits.

    ``style`` is how lines of different rules are told apart without colour: a broad band, a thin
    one, two rails side by side, a dash across each border, or a row of beads. ``head`` is an
    arrowhead at the last cell. Without a head, and without rings on it, a line has no direction.
    """

    cells: tuple[int, ...]
    style: Literal["broad", "thin", "double", "dashed", "dotted"] = "thin"
    head: bool = False


@dataclass(frozen=True)
class Ring:
    """A circle centred on a cell, under the digit: ``solid`` (a grey disc) or an outline."""

    cell: int
    solid: bool = False


@dataclass(frozen=True)
class Box:
    """A grey square inside a cell, under the digit."""

    cell: int


@dataclass(frozen=True)
class Fence:
    """A dashed outline just inside the border of ``cells`` taken together."""

    cells: tuple[int, ...]


@dataclass(frozen=True)
class Corner:
    """Small text in the top left corner of a cell, clear of the digit."""

    cell: int
    text: str


@dataclass(frozen=True)
class Edge:
    """A mark on the edge between two cells that touch: a dot, a letter, or a sign.

    ``cells`` are in reading order. The mark is ``white`` or ``black`` (dots), ``X``, ``V``, ``<``
    or ``>``: the sign as read from the first cell to the second, turned to point along the edge.
    """

    cells: tuple[int, int]
    mark: Literal["white", "black", "X", "V", "<", ">"]


@dataclass(frozen=True)
class Outside:
    """Text outside the grid, in line with row or column ``index`` (from 0).

    ``towards`` is None for a clue about the whole row or column, or the diagonal direction that
    a small arrow beside the text shows, such as ``down-left``. For a clue with an arrow on the top
    or bottom side, ``index`` is the column that it stands over, from -1 to the grid's size.
    ``ringed``: a thin circle goes round it.
    """

    side: Side
    index: int
    text: str
    towards: str | None = None
    ringed: bool = False


@dataclass(frozen=True)
class Diagonal:
    """A straight line from corner to corner of the grid: ``down`` (from the top left) or ``up``."""

    slope: Literal["down", "up"]


@dataclass(frozen=True)
class Patch:
    """A grey patch over ``cells``, which hang together by their sides: an extra region.

    Its rim lies just inside the border of its cells, so that two patches side by side stay two.
    """

    cells: tuple[int, ...]


Shape = Path | Ring | Box | Fence | Corner | Edge | Outside | Diagonal | Patch
