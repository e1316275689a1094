"""The marks of rules in ink: sums and letters look like themselves, and nothing hides a shape."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from math import hypot
from string import ascii_uppercase, digits

import numpy as np

from packbuilder.grid import cell_name
from packbuilder.readback.document import Glyph
from packbuilder.readback.drawn import Drawn, Seen
from packbuilder.readback.drawn.style import DOT, KNOCK_OUT, Frame, tone
from packbuilder.readback.ground import Ground, missing, surplus
from packbuilder.readback.ink import ALIKE, SURE, Look, Want, look
from packbuilder.readback.report import Fault, gather
from packbuilder.readback.rule_words import cells_of, told
from packbuilder.readback.shapes import Box, Lattice
from packbuilder.readback.typefaces import ink_of
from packbuilder.readback.view import Truth, View, cut
from packbuilder.rules.shapes import Edge, Outside

FAINT = 0.50
"""Least share of a character's ink: a cage's outline, lifted off, may take some with it."""
CROSSED_ALIKE, CROSSED_FAINT = 0.50, 0.35
"""Least likeness and share of ink where a ring or a link of a hint crosses a character."""
HOLE = 5
"""So many pixels missing in one place are a hole: a rim of another raster leaves fewer."""


def check_text(
    views: Sequence[View], lattice: Lattice, drawn: Drawn, crossed: Callable[[Box], bool]
) -> Iterator[Fault]:
    """Each character that belongs to a shape is inked, and looks like itself.

    ``views`` are the page without the ground of its shapes, with and without what a hint draws:
    one of them must do. ``crossed`` says whether a hint draws in a box.
    """
    amiss: dict[tuple[int, str], None] = {}
    for letters in (digits, ascii_uppercase):
        written = [(s, g) for s in drawn.seen for g in s.glyphs if g.text in letters]
        if not written:
            continue
        boxes = [_room(glyph) for _, glyph in written]
        wants = [Want(letters.index(g.text) + 1, g.face, g.size) for _, g in written]
        each = [look(cut(view, boxes, boxes), wants, view.x, letters) for view in views]
        looks = [max(some, key=lambda one: one.likeness) for some in zip(*each, strict=True)]
        for (seen, glyph), want, box, one in zip(written, wants, boxes, looks, strict=True):
            name = told(seen.shape, lattice.size)
            words = _amiss(glyph, want, one, name, crossed=crossed(box))
            if words:
                amiss[cells_of(seen.shape, lattice.size)[0], words] = None
    yield from gather("mark-ink", amiss)


def _amiss(glyph: Glyph, want: Want, one: Look, name: str, *, crossed: bool) -> str:
    """What is wrong with a character of a shape, in words; empty for a good one."""
    alike, faint = (CROSSED_ALIKE, CROSSED_FAINT) if crossed else (ALIKE, FAINT)
    if one.value is None:
        return f"{name} has no ink: it is white, covered or not there"
    other = one.value != want.value and not crossed
    if one.likeness < alike or (other and one.likeness < SURE):
        return f"the ink of {name} is not a clean {glyph.text}"
    if one.share < faint or tone(glyph.colour) != "ink":
        return f"{name} is too faint"
    return ""


def text_boxes(view: View, drawn: Drawn) -> list[Box]:
    """The room of all text that belongs to shapes, and a pixel more."""
    more = 1.5 / view.x
    boxes = (ink_of(glyph) for seen in drawn.seen for glyph in seen.glyphs)
    return [(x0 - more, y0 - more, x1 + more, y1 + more) for x0, y0, x1, y1 in boxes]


def _room(glyph: Glyph) -> Box:
    x0, y0, x1, y1 = ink_of(glyph)
    more = 0.03 * glyph.size
    return x0 - more, y0 - more, x1 + more, y1 + more


def check_shapes(
    view: View, bared: View, lattice: Lattice, drawn: Drawn, ground: Ground
) -> Iterator[Fault]:
    """No shape is covered, pale or broken; nothing is inked in the white of dots and signs.

    ``bared`` is the page without what a hint draws over its grid.
    """
    frame, n = Frame.of(lattice), lattice.size
    pale, dark = missing(view, ground), surplus(bared, ground)
    told_of: list[tuple[int, str]] = []
    for seen in drawn.of(Edge):
        assert isinstance(seen.shape, Edge)
        name, cell = told(seen.shape, n), seen.shape.cells[0]
        around, white = (
            _Disc(frame, view, ground, seen.shape.cells, reach) for reach in _reaches(seen.shape)
        )
        if around.count(pale) >= HOLE:
            told_of.append((cell, f"{name} is covered, pale or broken"))
        around.clear(pale)
        if not seen.glyphs and white.count(dark) >= HOLE:
            told_of.append((cell, f"{name} is inked over"))
    holes = Counter(
        _stands_in(frame, drawn, *place) for place in _places(frame, view, ground, pale)
    )
    told_of += [
        (cell, f"{name} is covered, pale or broken")
        for (cell, name), count in sorted(holes.items())
        if count >= HOLE
    ]
    yield from gather("mark-ink", told_of)


def _reaches(edge: Edge) -> tuple[float, float]:
    """How far a mark reaches from the middle of its edge, and how far its white does, in cells."""
    if edge.mark in ("white", "black"):
        return DOT + 0.04, DOT - 0.04 if edge.mark == "white" else 0.0
    return KNOCK_OUT + 0.04, KNOCK_OUT - 0.02


class _Disc:
    """The pixels of a ground that lie within reach of the middle of an edge."""

    def __init__(
        self, frame: Frame, view: View, ground: Ground, cells: tuple[int, int], reach: float
    ) -> None:
        a, b, n = *cells, frame.size
        x = frame.left + (a % n + b % n + 1) / 2 * frame.cell
        y = frame.top - (a // n + b // n + 1) / 2 * frame.cell
        radius = reach * frame.cell * view.x
        row = view.grey.shape[0] - y * view.y - ground.top
        column = x * view.x - ground.left
        top, left = max(int(row - radius), 0), max(int(column - radius), 0)
        self._part = np.s_[top : int(row + radius) + 2, left : int(column + radius) + 2]
        high, wide = ground.dark[self._part].shape
        down, right = np.ogrid[top : top + high, left : left + wide]
        self._mask = (down + 0.5 - row) ** 2 + (right + 0.5 - column) ** 2 <= radius * radius

    def count(self, pixels: Truth) -> int:
        """How many of its pixels are set."""
        return int((pixels[self._part] & self._mask).sum())

    def clear(self, pixels: Truth) -> None:
        """Set none of its pixels."""
        pixels[self._part] &= ~self._mask


def _places(
    frame: Frame, view: View, ground: Ground, pixels: Truth
) -> Iterator[tuple[float, float]]:
    """Where pixels of a ground lie, in cells from the grid's corner."""
    high = view.grey.shape[0]
    for row, column in np.argwhere(pixels).tolist():
        x = (column + ground.left + 0.5) / view.x
        yield frame.place(x, (high - row - ground.top - 0.5) / view.y)


def _stands_in(frame: Frame, drawn: Drawn, x: float, y: float) -> tuple[int, str]:
    """The cell of a place, and what is drawn there in words; outside, the clue with an arrow."""
    n = frame.size
    clue = _arrow(frame, [s for s in drawn.of(Outside) if s.drawings], x, y)
    if clue:
        return cells_of(clue.shape, n)[0], told(clue.shape, n)
    column, row = (min(max(int(v // 1), 0), n - 1) for v in (x, y))
    cell = row * n + column
    return cell, _in_cell(drawn, cell, n)


def _arrow(frame: Frame, arrows: Sequence[Seen], x: float, y: float) -> Seen | None:
    """The clue whose arrow a place outside the grid is nearest to; None inside it."""
    if not arrows or (0 <= x < frame.size and 0 <= y < frame.size):
        return None

    def away(seen: Seen) -> float:
        px, py = frame.place(*seen.drawings[0].tracks[0].points[0])
        return hypot(x - px, y - py)

    return min(arrows, key=away)


def _in_cell(drawn: Drawn, cell: int, size: int) -> str:
    """What is drawn in a cell, in words."""
    shapes = [s for s in drawn.shapes if cell in cells_of(s, size)]
    name = cell_name(cell, size)
    return f"{told(shapes[0], size)} at {name}" if shapes else f"what is drawn at {name}"
