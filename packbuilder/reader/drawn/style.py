"""What the house style says of the shapes of rules: greys, widths and places, each in one line.

A *frame* measures a page from a grid's upper left corner in cells, y down, as `rules.shapes` does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Colour
from packbuilder.rules.shapes import Side

Tone = Literal["ink", "contour", "fill", "white"]
Point = tuple[float, float]

TONES: dict[Tone, float] = {"ink": 0.0, "contour": 0.2, "fill": 0.86, "white": 1.0}
SAME_GREY = 0.02
PALE, WHITE = 0.85, 0.98
"""The darkest fill that may lie under digits; from where on it is the page's own white."""

SIDES: tuple[Side, ...] = ("top", "bottom", "left", "right")
BAND = 0.9
"""How far the clues outside a grid reach from its frame, in cells."""

DISC, RING, SQUARE = (0.37, 0.47), (0.39, 0.47), 0.74
"""Radii of circles, the larger ones round candidates; the side of a square."""
CLEAR, CLEAR_SQUARE = (0.3, 0.2), 0.86
"""Radii and side of what lines of rules are cleared away by, under digits and candidates."""
PATCH_INSET, FENCE_INSET = 0.06, 1 / 14
FENCE_DASH = (0.54 / 7, 0.46 / 7)
DOT, KNOCK_OUT = 0.125, 0.16
SIGN_REACH, SIGN_SPREAD = 0.09, 0.12
DIAGONAL = 0.21
"""How far the pieces of a diagonal reach from the corners of cells, along either side."""

WIDTHS = {"broad": 0.34, "double": 0.36, "thin": 0.17, "dotted": 0.2}
"""The widths of bands, with their contours."""
ENDS = {"broad": (0.0, 0.12), "double": (0.2, 0.2), "thin": (0.0, 0.0)}
"""How far bands go on past the middle of their first and last cells."""
BEADS = (0.35, 0.65, 1.0), (0.25, 0.5, 0.75, 1.0)
"""Where beads stand on the way from a cell to the next: shares of a straight and a slanting one."""
HEAD_BASE, HEAD_TIP, HEAD = (0.245, 0.30), (0.465, 0.56), 0.35
"""From a cell's middle to its arrowhead's base and tip, along rows and diagonally; its width."""
DASH, DASH_FREE = 0.24, (0.255, 0.40)
"""The width of a dash, and how far from the middles of its two cells it keeps, in the same way."""

ARM, ARM_ANGLE = 0.13, 35.0
"""The arms of small arrows outside the grid: their length, and their angle to the shaft."""
HOOP = 0.36
"""The radius of rings round numbers outside the grid."""
TEXT_OUT, ARROW_TEXT_OUT, ARROW_TEXT_OFF = 0.45, 0.60, 0.25
ARROW_OUT, ARROW_OFF = (0.32, 0.11), (0.21, 0.42)
CORNER_LEFT, CORNER_TOP = 0.065, 0.07

MARK_FACE = "SourceSansPro-Semibold"
CORNER_SIZE, LETTER_SIZE = (0.245, 7.0), (0.32, 5.0)
CLUE_SIZE, ARROW_CLUE_SIZE = (0.46, 9.0), (0.34, 8.0)
"""Shares of a cell, and least sizes in points."""


def tone(colour: Colour | None) -> Tone | None:
    """Which of the four tones a colour is; None for another."""
    for name, grey in TONES.items():
        if colour and all(abs(v - grey) <= SAME_GREY for v in colour):
            return name
    return None


def only_rules_have(colour: Colour | None) -> bool:
    """Whether a colour is one that no cell line has: a grey of rules, or white."""
    return tone(colour) in ("contour", "fill", "white")


@dataclass(frozen=True)
class Frame:
    """A grid's measure: its upper left corner on the page, and the side of a cell in points.

    It has so many ``rows``, as many as columns but in a corner of a grid. ``small`` is the least
    size of text (points). On a ``dark`` page, black and white are seen the
    other way round.
    """

    left: float
    top: float
    cell: float
    size: int
    small: float = 0.0
    dark: bool = False
    rows: int = 0

    @classmethod
    def of(cls, lattice: Lattice, small: float = 0.0, *, dark: bool = False) -> Frame:
        """The measure of a grid."""
        return cls(
            lattice.x[0], lattice.y[0], lattice.pitch, lattice.size, small, dark, lattice.rows
        )

    def place(self, x: float, y: float) -> Point:
        """A point of the page, in cells."""
        return (x - self.left) / self.cell, (self.top - y) / self.cell

    @property
    def slack(self) -> float:
        """How far off a mark may stand, in cells."""
        return max(0.03, 0.3 / self.cell)

    def type_size(self, share: float, least: float) -> float:
        """The size of text in points."""
        return max(share * self.cell, least, self.small)

    def stroke(self, name: str) -> float:
        """The width of a stroke in points, by what it draws."""
        share, least, most = {
            "contour": (0.017, 0.55, 0.9),
            "rail": (0.022, 0.6, 1.2),
            "patch": (0.025, 0.5, 1.2),
            "circle": (0.03, 0.7, 1.8),
            "diagonal": (0.025, 0.6, 1.4),
            "fence": (0.017, 0.4, 0.9),
            "dot": (0.027, 0.6, 1.4),
            "sign": (0.05, 0.7, 1.8),
            "arrow": (0.035, 0.5, 1.2),
            "hoop": (0.025, 0.5, 1.0),
        }[name]
        return min(max(share * self.cell, least), most)

    def edge_at(self, x: float, y: float) -> tuple[int, int] | None:
        """The two cells on whose common edge's middle a point (in cells) lies; None elsewhere."""
        for across in (True, False):
            on, along = (x, y) if across else (y, x)
            line, k = round(on), int(along)
            near = abs(on - line) <= self.slack and abs(along - k - 0.5) <= self.slack
            if near and 0 < line < self.size and 0 <= k < self.size:
                second = k * self.size + line if across else line * self.size + k
                return second - (1 if across else self.size), second
        return None

    def out(self, side: Side, x: float, y: float) -> Point:
        """How far a point (in cells) lies outside a side, and where along it."""
        return {
            "top": (-y, x),
            "bottom": (y - self.size, x),
            "left": (-x, y),
            "right": (x - self.size, y),
        }[side]


def near(a: float, b: float, slack: float) -> bool:
    """Whether two numbers are the same within a slack."""
    return abs(a - b) <= slack


def same_width(width: float, due: float) -> bool:
    """Whether a stroke is as wide as it must be: within a sixth, or what files round off."""
    return abs(width - due) <= max(due / 6, 0.06)
