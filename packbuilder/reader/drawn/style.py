"""What the house style says of the shapes of rules: greys, widths and places, each in one line.

A *frame* measures a page from a grid's upper left corner in cells, y down, as `rules.shapes` does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Colour
from packbuilder.rules.shapes import Side

Tone = Literal["ink", "line", "fill", "white"]
Point = tuple[float, float]

LINE, LINE_IN_ANSWERS = 0.55, 0.74
SAME_GREY = 0.02
PALE, WHITE = 0.85, 0.98
"""The darkest fill that may lie under digits; from where on it is the page's own white."""

SIDES: tuple[Side, ...] = ("top", "bottom", "left", "right")
BAND = 0.9
"""How far the clues outside a grid reach from its frame, in cells."""

DISC, RING, SQUARE = 0.36, 0.38, 0.74
PATCH_INSET, FENCE_INSET = 0.06, 0.10
FENCE_DASH = (0.12, 0.08)
DOT, KNOCK_OUT = 0.13, 0.16
SIGN_REACH, SIGN_SPREAD = 0.09, 0.12
BROAD, DOUBLE = 0.42, 0.22
DASHES: dict[str, tuple[float, ...]] = {"thin": (), "dashed": (0.2, 0.12), "dotted": (0.01, 0.245)}
CAPS = {"dashed": 0, "dotted": 1, "fence": 0}
"""How dashes end: other ends would make dashes longer, and dots nothing."""
HEAD_ON, HEAD_ARM, HEAD_ANGLE = 0.2, 0.22, 35.0
"""An arrow goes on past its last centre; its arms' length, and their angle to the shaft."""
TEXT_OUT, ARROW_TEXT_OUT, ARROW_TEXT_OFF = 0.45, 0.60, 0.25
ARROW_OUT, ARROW_OFF = (0.32, 0.11), (0.21, 0.42)
CORNER_LEFT, CORNER_TOP = 0.14, 0.13
LATTICE_TOP, LATTICE_FOOT = 0.31, 0.93
"""The room of candidates in the cells of a hint's grid that has text in corners."""

CORNER_FACE, MARK_FACE = "SourceSansPro-Regular", "SourceSansPro-Semibold"
CORNER_SIZE, LETTER_SIZE = (0.25, 5.0), (0.32, 5.0)
CLUE_SIZE, ARROW_CLUE_SIZE = (0.46, 9.0), (0.34, 8.0)
"""Shares of a cell, and least sizes in points."""


def tone(colour: Colour | None, line: float = LINE) -> Tone | None:
    """Which of the four tones a colour is; ``line`` is the grey of lines. None for another."""
    tones: dict[Tone, float] = {"ink": 0.0, "line": line, "fill": 0.86, "white": 1.0}
    for name, grey in tones.items():
        if colour and all(abs(v - grey) <= SAME_GREY for v in colour):
            return name
    return None


def only_rules_have(colour: Colour | None) -> bool:
    """Whether a colour is one that no cell line has: a grey of rules, or white."""
    return any(tone(colour, line) in ("line", "fill", "white") for line in (LINE, LINE_IN_ANSWERS))


@dataclass(frozen=True)
class Frame:
    """A grid's measure: its upper left corner on the page, and the side of a cell in points.

    ``line`` is the grey of the lines of rules there, ``small`` the least size of text (points).
    """

    left: float
    top: float
    cell: float
    size: int
    line: float = LINE
    small: float = 0.0

    @classmethod
    def of(cls, lattice: Lattice, line: float = LINE, small: float = 0.0) -> Frame:
        """The measure of a grid."""
        return cls(lattice.x[0], lattice.y[0], lattice.pitch, lattice.size, line, small)

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

    def width(self, share: float, least: float, most: float) -> float:
        """The width of a stroke in points: a share of a cell, within bounds."""
        return min(max(share * self.cell, least), most)

    @property
    def rim(self) -> float:
        """The rim of discs, squares, patches and dots."""
        return self.width(0.035, 0.5, 1.2)

    def stroke(self, name: str) -> float:
        """The width of a stroke by what it draws."""
        share, least, most = {
            "outline": (0.06, 0.8, 2.2),
            "diagonal": (0.05, 0.7, 1.8),
            "thin": (0.07, 0.9, 2.6),
            "dashed": (0.1, 1.3, 3.4),
            "dotted": (0.15, 2.0, 5.0),
            "fence": (0.025, 0.4, 0.9),
            "sign": (0.05, 0.7, 1.8),
        }[name]
        return self.width(share, least, most)

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
