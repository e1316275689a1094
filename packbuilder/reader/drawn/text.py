"""Text that belongs to rules: small sums in corners, letters on edges, clues outside the grid."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from packbuilder.reader.drawn.lines import Arrow
from packbuilder.reader.drawn.style import (
    ARROW_CLUE_SIZE,
    ARROW_TEXT_OFF,
    ARROW_TEXT_OUT,
    BAND,
    CLUE_SIZE,
    CORNER_LEFT,
    CORNER_SIZE,
    CORNER_TOP,
    LETTER_SIZE,
    MARK_FACE,
    SIDES,
    TEXT_OUT,
    Frame,
    near,
)
from packbuilder.reader.marks import Drawing, Glyph
from packbuilder.reader.typefaces import ink_of
from packbuilder.rules.shapes import Corner, Edge, Outside, Side

OFF = 0.05
"""How far text may stand off its place, in cells."""
SAME_SIZE = 0.06
TOGETHER = 0.35
"""Glyphs of one number are no further apart than this, in type sizes."""
LONGEST = 6
"""No number of a rule has more figures."""

Letter = Literal["X", "V"]


class Word(NamedTuple):
    """Glyphs that stand together, and the box of their ink in cells: left, top, right, bottom."""

    glyphs: tuple[Glyph, ...]
    left: float
    top: float
    right: float
    bottom: float

    @property
    def text(self) -> str:
        """Its characters."""
        return "".join(g.text for g in self.glyphs)

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of its ink."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2


def words(frame: Frame, glyphs: Iterable[Glyph], face: str, size: float) -> Iterator[Word]:
    """The words of one face and size (points) in and near a grid."""
    some = [
        g
        for g in glyphs
        if g.face == face
        and abs(g.size - size) <= SAME_SIZE * size
        and g.text.strip()
        and not g.turned
        and _is_near(frame, g)
    ]
    found: list[list[Glyph]] = []
    for g in sorted(some, key=lambda g: g.x):
        before = next((word for word in found if _goes_on(word[-1], g)), None)
        if before:
            before.append(g)
        else:
            found.append([g])
    return (_word(frame, word) for word in found if len(word) <= LONGEST)


def _goes_on(a: Glyph, b: Glyph) -> bool:
    """Whether a glyph stands just right of another one on its line."""
    return abs(a.y - b.y) < 0.1 and abs(_space(a, b)) <= TOGETHER * a.size


def _is_near(frame: Frame, glyph: Glyph) -> bool:
    x, y = frame.place(glyph.x, glyph.y)
    return -2 < x < frame.size + 2 and -2 < y < frame.size + 2


def _space(a: Glyph, b: Glyph) -> float:
    return ink_of(b)[0] - ink_of(a)[2]


def _word(frame: Frame, glyphs: Sequence[Glyph]) -> Word:
    boxes = [ink_of(g) for g in glyphs]
    left, top = frame.place(min(b[0] for b in boxes), max(b[3] for b in boxes))
    right, bottom = frame.place(max(b[2] for b in boxes), min(b[1] for b in boxes))
    return Word(tuple(glyphs), left, top, right, bottom)


def corners(frame: Frame, glyphs: Iterable[Glyph]) -> Iterator[tuple[Corner, Word]]:
    """Small text in the upper left corners of cells."""
    off = max(OFF, frame.slack)
    for word in words(frame, glyphs, MARK_FACE, frame.type_size(*CORNER_SIZE)):
        column, row = int(word.left // 1), int(word.top // 1)
        if (
            0 <= column < frame.size
            and 0 <= row < frame.size
            and near(word.left - column, CORNER_LEFT, off)
            and near(word.top - row, CORNER_TOP, off)
            and word.right < column + 1
        ):
            yield Corner(row * frame.size + column, word.text), word


def letters(frame: Frame, glyphs: Iterable[Glyph]) -> Iterator[tuple[Edge, Word]]:
    """The letters X and V on the middles of edges."""
    some = (g for g in glyphs if g.text in ("X", "V"))
    for word in words(frame, some, MARK_FACE, frame.type_size(*LETTER_SIZE)):
        edge = frame.edge_at(*word.middle)
        if edge and word.text in ("X", "V"):
            yield Edge(edge, "X" if word.text == "X" else "V"), word


def clues(
    frame: Frame,
    glyphs: Sequence[Glyph],
    arrows: Sequence[Arrow],
    hoops: Mapping[tuple[Side, int], Drawing],
) -> Iterator[tuple[Outside, Word, tuple[Drawing, ...]]]:
    """Numbers outside the grid, bare or in rings, and those with an arrow beside them."""
    digits = [g for g in glyphs if g.text.isdecimal()]
    for word in words(frame, digits, MARK_FACE, frame.type_size(*CLUE_SIZE)):
        for side in SIDES:
            out, along = frame.out(side, *word.middle)
            index = round(along - 0.5)
            on_line = near(along, index + 0.5, OFF) and 0 <= index < frame.size
            if on_line and near(out, TEXT_OUT, OFF):
                rings = (hoops[side, index],) if (side, index) in hoops else ()
                yield Outside(side, index, word.text, ringed=bool(rings)), word, rings
    left = list(arrows)
    for word in words(frame, digits, MARK_FACE, frame.type_size(*ARROW_CLUE_SIZE)):
        for arrow in left:
            out, along = frame.out(arrow.side, *word.middle)
            due = arrow.index + 0.5 + arrow.way * ARROW_TEXT_OFF
            if near(out, ARROW_TEXT_OUT, OFF) and near(along, due, OFF):
                outside = Outside(arrow.side, arrow.index, word.text, _towards(arrow))
                yield outside, word, (arrow.drawing,)
                left.remove(arrow)
                break


def _towards(arrow: Arrow) -> str:
    """The direction of an arrow in words: into the grid, and on or back along its side."""
    if arrow.side in ("top", "bottom"):
        inward = "down" if arrow.side == "top" else "up"
        return f"{inward}-{'right' if arrow.way > 0 else 'left'}"
    inward = "right" if arrow.side == "left" else "left"
    return f"{'down' if arrow.way > 0 else 'up'}-{inward}"


def bands(outsides: Iterable[Outside], size: int) -> frozenset[Side]:
    """The sides that have a band of clues: a clue past a corner makes one of that side too."""
    found: set[Side] = set()
    for clue in outsides:
        found.add(clue.side)
        upright = clue.side in ("left", "right")
        if clue.index < 0:
            found.add("top" if upright else "left")
        elif clue.index >= size:
            found.add("bottom" if upright else "right")
    return frozenset(found)


def in_band(frame: Frame, sides: Collection[Side], x: float, y: float) -> bool:
    """Whether a point (in cells) lies outside the grid, in the band of one of these sides."""
    n, room = frame.size, {side: BAND if side in sides else 0.0 for side in SIDES}
    inside = 0 <= x <= n and 0 <= y <= frame.rows
    across = -room["left"] < x < n + room["right"]
    return not inside and across and -room["top"] < y < frame.rows + room["bottom"]
