"""All that is drawn in and round one grid: the shapes of rules, and what is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from packbuilder.reader.drawn import text
from packbuilder.reader.drawn.areas import area, cleared
from packbuilder.reader.drawn.edges import dot, knock_out, sign
from packbuilder.reader.drawn.figure import Figure, cell_at, figures, is_inside, is_lines
from packbuilder.reader.drawn.lines import Arrow, Bands, arrow, hoop, line
from packbuilder.reader.drawn.style import BAND, PALE, WHITE, Frame, Point, near
from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Box, Drawing, Glyph
from packbuilder.reader.typefaces import ink_of
from packbuilder.rules.shapes import Diagonal, Edge, Outside, Path, Shape, Side


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
    small: float = 0.0,
    corners: bool = True,
    dark: bool = False,
) -> Drawn:
    """Read what is drawn in and round a grid, of a ``dark`` page as it is on white paper.

    ``small`` is the least size of text in the edition, in points; without ``corners``, none of it
    is taken for text in the corner of a cell.
    """
    frame, paths = Frame.of(lattice, small, dark=dark), _Paths()
    layered = Bands(frame)
    for figure in figures(frame, drawings):
        paths.take(figure, frame, layered)
    paths.close(layered)
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
    unknown = (*paths.rest, *paths.grounds)
    others = [
        f.drawing for f in unknown if _is_stray(f, frame, bands) and id(f.drawing) not in used
    ]
    left = [*(a.drawing for a in paths.arrows), *paths.hoops.values(), *paths.knock_outs.values()]
    left += paths.cleared_without(frame, glyphs)
    others += [drawing for drawing in left if id(drawing) not in used]
    return Drawn(seen, tuple(others), astray, bands)


def is_pale(drawing: Drawing) -> bool:
    """Whether a path is a fill that may lie under digits, darker than the page, and no more."""
    fill = drawing.fill
    return drawing.brush is None and fill is not None and PALE - 0.005 <= min(fill) < WHITE


def _is_stray(figure: Figure, frame: Frame, bands: frozenset[Side]) -> bool:
    """Whether a path that is no shape lies in a grid, off its lines, or in its bands.

    Crop marks are one path, all round a page: where the middle of that is says nothing.
    """
    left, top, right, bottom = figure.box
    around = max(left, top) < -BAND and right > frame.size + BAND and bottom > frame.rows + BAND
    spots = [spot for track in figure.tracks for spot in track] if around else [figure.middle]
    return is_inside(figure, frame) or any(text.in_band(frame, bands, *spot) for spot in spots)


def _middle(frame: Frame, glyph: Glyph) -> Point:
    x0, y0, x1, y1 = ink_of(glyph)
    return frame.place((x0 + x1) / 2, (y0 + y1) / 2)


def _texts(
    frame: Frame, glyphs: Sequence[Glyph], paths: _Paths, *, corners: bool
) -> list[SeenShape]:
    """The shapes that are text, or have text in them."""
    found: list[SeenShape] = []
    for corner, word in text.corners(frame, glyphs) if corners else ():
        ground = next((f for f in paths.grounds if _is_ground(f, word)), None)
        if ground:
            found.append(SeenShape(corner, (ground.drawing,), word.glyphs))
    for edge, word in text.letters(frame, glyphs):
        if edge.cells in paths.knock_outs:
            found.append(SeenShape(edge, (paths.knock_outs[edge.cells],), word.glyphs))
    for clue, word, drawings in text.clues(frame, glyphs, paths.arrows, paths.hoops):
        found.append(SeenShape(clue, drawings, word.glyphs))
    return found


def _is_ground(figure: Figure, word: text.Word) -> bool:
    """Whether a white box is what a word stands on: just round its ink."""
    due = word.left, word.top, word.right, word.bottom
    return all(near(a, b, text.OFF) for a, b in zip(figure.box, due, strict=True))


class _Paths:
    """The paths of a grid, sorted by what they are as they come."""

    def __init__(self) -> None:
        self.seen: list[SeenShape] = []
        self.arrows: list[Arrow] = []
        self.hoops: dict[tuple[Side, int], Drawing] = {}
        self.knock_outs: dict[tuple[int, int], Drawing] = {}
        self.grounds: list[Figure] = []
        self.rest: list[Figure] = []
        self._clear: list[tuple[int, Figure]] = []
        self._lined = False
        self._signs: list[tuple[Edge, Figure]] = []

    def take(self, figure: Figure, frame: Frame, layered: Bands) -> None:
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
        elif (place := hoop(figure, frame)) and place not in self.hoops:
            self.hoops[place] = figure.drawing
        elif not self._lined and (cell := cleared(figure, frame)) is not None:
            self._clear.append((cell, figure))
        elif figure.fill == "white" and not figure.drawing.brush and len(figure.tracks) == 1:
            self.grounds.append(figure)
        elif not layered.take(figure):
            self.rest.append(figure)
            x, y = figure.middle
            inside = 0 <= x <= frame.size and 0 <= y <= frame.rows
            self._lined = self._lined or (inside and is_lines(figure, frame))

    def cleared_without(self, frame: Frame, glyphs: Sequence[Glyph]) -> list[Drawing]:
        """What clears the middle of a cell where nothing is written or no line of a rule comes."""
        middles = (_middle(frame, g) for g in glyphs if g.text.strip())
        written, come = {cell_at(x, y, frame, 1.0) for x, y in middles}, set[int]()
        for one in self.seen:
            if isinstance(one.shape, Path):
                come |= {*one.shape.cells}
            elif isinstance(one.shape, Diagonal):
                n, falls = frame.size, one.shape.slope == "down"
                come |= {k * n + (k if falls else n - 1 - k) for k in range(n)}
        return [f.drawing for cell, f in self._clear if cell not in written & come]

    def close(self, layered: Bands) -> None:
        """Sort what only the whole grid can tell: signs have a white ground, bands two strokes."""
        for angle, figure in self._signs:
            ground = self.knock_outs.get(angle.cells)
            if ground:
                self.seen.append(SeenShape(angle, (ground, figure.drawing)))
            else:
                self.rest.append(figure)
        whole, alone = layered.close()
        self.seen += [SeenShape(path, drawings) for path, drawings in whole]
        self.rest += alone
