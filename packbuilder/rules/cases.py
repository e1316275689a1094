"""Cases: what a reader is shown of a rule, some digits that keep it and some that break it.

They stand in the upper left corner of a grid. What breaks the rule keeps rows, columns and blocks:
nothing else is wrong with it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from packbuilder.grid import Geometry


@dataclass(frozen=True)
class Case:
    """Some digits in a grid, by their cells, and what is to be seen of the rule in them.

    ``value`` is the rule's value there, as it stands in a manifest. ``ringed`` are the cells at
    which the rule is broken; none where it is kept. ``leap`` leads from one of them to another
    along a column and a row, by the cell where it turns.
    """

    digits: Mapping[str, int]
    words: str
    value: Any = None
    ringed: str = ""
    leap: str = ""


@dataclass(frozen=True)
class Star:
    """All cells that the digit of one cell, the ``centre``, keeps its like out of by a move."""

    centre: str
    closed: tuple[str, ...]
    words: str
    leap: str = ""


@dataclass(frozen=True)
class Choices:
    """A small table of what may go together: its heads, and its rows, as wide as they are."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Cases:
    """A right case and a wrong one, and besides what makes a rule easy to keep in mind."""

    right: Case
    wrong: Case
    aside: Star | Choices | None = None


def corner(geometry: Geometry) -> tuple[int, int]:
    """The row and the column of the last cell of the first block; without blocks, r2c2."""
    return geometry.shape or (2, 2)


def at(row: int, column: int) -> str:
    """``r1c2``."""
    return f"r{row}c{column}"


def in_a_row(digits: Sequence[int]) -> dict[str, int]:
    """Digits of the first row, from its first cell on."""
    return {at(1, column): digit for column, digit in enumerate(digits, start=1)}


def allowed(geometry: Geometry) -> str:
    """Who has nothing against a wrong case, as the beginning of a sentence."""
    return "Row, column and block allow it" if geometry.shape else "Row and column allow it"


def star(size: int, moves: tuple[tuple[int, int], ...], reach: int, leap: str = "") -> Star:
    """The star of a move, round a cell from which all of it lies in the grid, if there is one.

    ``moves`` are rows and columns to go, from a cell to each other one; ``reach`` is the longest.
    """
    middle = min(reach + 1, size - 2)
    ends = [(middle + down, middle + right) for down, right in moves]
    closed = tuple(at(r, c) for r, c in ends if 1 <= r <= size and 1 <= c <= size)
    count = {4: "four", 8: "eight"}[len(closed)]
    words = f"These {count} cells cannot have the digit again."
    return Star(at(middle, middle), closed, words, leap if len(closed) == len(moves) else "")
