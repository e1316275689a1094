"""All that is drawn in and round one grid: the shapes of rules, and what is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from packbuilder.reader.drawn import text
from packbuilder.reader.drawn.areas import area
from packbuilder.reader.drawn.edges import dot, knock_out, sign
from packbuilder.reader.drawn.figure import Figure, figures, is_inside
from packbuilder.reader.drawn.lines import Arrow, Pairs, arrow, line
from packbuilder.reader.drawn.style import BAND, LINE, LINE_IN_ANSWERS, PALE, WHITE, Frame, Point
from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Box, Drawing, Glyph
from packbuilder.reader.typefaces import ink_of
from packbuilder.rules.shapes import Edge, Outside, Shape, Side


@dataclass(frozen=True)
class SeenShape:
    """A shape that was found, and the marks of the page that it is made of."""

    shape: Shape
    drawings: tuple[Drawing, ...] = ()
    glyphs: tuple[Glyph, ...] = ()


@dataclass(frozen=True)
class Drawn:
    """What is drawn in and round a grid.

    ``others`` are paths that are no shape and no cell line, white ones too; ``astray`` is text in a
    band of clues that is none. ``bands`` are the sides that have a band.
    """

    seen: tuple[SeenShape, ...] = ()
    others: tuple[Drawing, ...] = ()
    astray: tuple[Glyph, ...] = ()
    bands: frozenset[Side] = frozenset()

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """The shapes, each once, in the order in which they were found."""
        return tuple(dict.fromkeys(one.shape for one in self.seen))

    @cached_property
    def glyphs(self) -> frozenset[Glyph]:
        """The glyphs of all text that belongs to shapes."""
        return frozenset(g for one in self.seen for g in one.glyphs)

    def reach(self, lattice: Lattice) -> Box:
        """The box of a grid with its bands of clues."""
        left, bottom, right, top = lattice.box
        band = BAND * lattice.pitch
        return (
            left - band * ("left" in self.bands),
            bottom - band * ("bottom" in self.bands),
            right + band * ("right" in self.bands),
            top + band * ("top" in self.bands),
        )


def find(
    lattice: Lattice,
    drawings: Sequence[Drawing],
    glyphs: Sequence[Glyph],
    *,
    answer: bool = False,
    small: float = 0.0,
    corners: bool = True,
) -> Drawn:
    """Read what is drawn in and round a grid. In an ``answer`` the lines of rules are paler.

    ``small`` is the least size of text in the edition, in points; without ``corners``, none of it
    is taken for text in the corner of a cell.
    """
    frame, paths = Frame.of(lattice, LINE_IN_ANSWERS if answer else LINE, small), _Paths()
    pairs = Pairs(frame)
    for figure in figures(frame, drawings):
        paths.take(figure, frame, pairs)
    paths.close(pairs)
    written = list(_texts(frame, glyphs, paths, corners=corners))
    seen = tuple(paths.seen + written)
    outsides = [one.shape for one in seen if isinstance(one.shape, Outside)]
    bands = text.bands(outsides, frame.size)
    known = {g for one in written for g in one.glyphs}
    astray = tuple(
        g
        for g in glyphs
        if bands and g not in known and g.text.strip()
        and text.in_band(frame, bands, *_middle(frame, g))
    )  # fmt: skip
    used = {id(d) for one in seen for d in one.drawings}
    others = [f.drawing for f in paths.rest if _is_stray(f, frame, bands)]
    left = (*(a.drawing for a in paths.arrows), *paths.knock_outs.values())
    others += [drawing for drawing in left if id(drawing) not in used]
    return Drawn(seen, tuple(others), astray, bands)


def is_pale(drawing: Drawing) -> bool:
    """Whether a path is a fill that may lie under digits, darker than the page, and no more."""
    fill = drawing.fill
    return drawing.brush is None and fill is not None and PALE - 0.005 <= min(fill) < WHITE


def _is_stray(figure: Figure, frame: Frame, bands: frozenset[Side]) -> bool:
    """Whether a path that is no shape lies in a grid, off its lines, or in its bands."""
    return is_inside(figure, frame) or text.in_band(frame, bands, *figure.middle)


def _middle(frame: Frame, glyph: Glyph) -> Point:
    x0, y0, x1, y1 = ink_of(glyph)
    return frame.place((x0 + x1) / 2, (y0 + y1) / 2)


def _texts(
    frame: Frame, glyphs: Sequence[Glyph], paths: _Paths, *, corners: bool
) -> list[SeenShape]:
    """The shapes that are text, or have text in them."""
    found = []
    if corners:
        found = [SeenShape(corner, (), word.glyphs) for corner, word in text.corners(frame, glyphs)]
    for edge, word in text.letters(frame, glyphs):
        if edge.cells in paths.knock_outs:
            found.append(SeenShape(edge, (paths.knock_outs[edge.cells],), word.glyphs))
    for clue, word, drawings in text.clues(frame, glyphs, paths.arrows):
        found.append(SeenShape(clue, drawings, word.glyphs))
    return found


class _Paths:
    """The paths of a grid, sorted by what they are as they come."""

    def __init__(self) -> None:
        self.seen: list[SeenShape] = []
        self.arrows: list[Arrow] = []
        self.knock_outs: dict[tuple[int, int], Drawing] = {}
        self.rest: list[Figure] = []
        self._signs: list[tuple[Edge, Figure]] = []

    def take(self, figure: Figure, frame: Frame, pairs: Pairs) -> None:
        """Sort one path."""
        shape = area(figure, frame) or line(figure, frame) or dot(figure, frame)
        if shape:
            self.seen.append(SeenShape(shape, (figure.drawing,)))
        elif edge := knock_out(figure, frame):
            self.knock_outs[edge] = figure.drawing
        elif angle := sign(figure, frame):
            self._signs.append((angle, figure))
        elif pointer := arrow(figure, frame):
            self.arrows.append(pointer)
        elif not pairs.take(figure):
            self.rest.append(figure)

    def close(self, pairs: Pairs) -> None:
        """Sort what only the whole grid can tell: signs have a white ground, lines two strokes."""
        for angle, figure in self._signs:
            ground = self.knock_outs.get(angle.cells)
            if ground:
                self.seen.append(SeenShape(angle, (ground, figure.drawing)))
            else:
                self.rest.append(figure)
        for path, first, second in pairs.paired:
            self.seen.append(SeenShape(path, (first.drawing, second.drawing)))
        self.rest += pairs.alone
