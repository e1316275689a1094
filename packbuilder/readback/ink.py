"""The ink of a page: every character that its text says is to be seen there, and no other is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.readback.report import Fault, Finding, gather
from packbuilder.readback.shape_names import told
from packbuilder.reader.likeness import ALIKE, BARE, FAINT, LIGHT_ALIKE, SURE, Judge, Look
from packbuilder.reader.marks import Box, Glyph
from packbuilder.reader.pages import SeenGrid, SeenPage
from packbuilder.reader.text_ink import TextInk
from packbuilder.reader.typefaces import LIGHT, ink_of, is_house_face
from packbuilder.rules.shapes import Edge

ROOM = 1.0
"""How far beyond a character's ink is looked, in pixels; but no more than a third of the way to a
neighbour."""
SMALLEST, LARGEST = 2.0, 60.0
"""Points: what a file says of a size may be anything."""
PALEST = 0.46
"""The palest grey of a character: on white, 4.5 to 1 is grey 118 of 255 (WCAG 2.2, 1.4.3)."""
BLACKEST = 0.1
"""The palest ground of a white character, and how far that may be from white."""
CROSSED_ALIKE = 0.5
"""Likeness below which ink is not taken for a character that something black crosses."""

MIDDLE_GREY = 127
"""Between light and dark."""

_LETTERS = ("XV", "ABCDEFGH")
"""Letters that are no figures: those on edges, and those by which solvers enter."""


def sizes_in_grids(page: SeenPage) -> list[float]:
    """The sizes of the characters that are looked at one by one."""
    return [g.size for grid in page.grids for g in grid.glyphs if g.size >= SMALLEST]


def check_text_ink(page: SeenPage, ink: TextInk) -> Iterator[Finding]:
    """All text of a page leaves ink, and there is no ink of text but where a character stands."""
    in_grids = {g for grid in page.grids for g in grid.glyphs}
    glyphs = [g for g in page.marks.glyphs if g.text.strip()]
    boxes = [ink_of(g) for g in glyphs]
    there = ink.inked(boxes)
    gone = [g for g, seen in zip(glyphs, there, strict=True) if not seen and g not in in_grids]
    if gone:
        yield Finding(
            "hidden-text",
            f"{len(gone)} characters are in the file and not in the ink, the first "
            f"({gone[0].text!r}) at {gone[0].x:.0f}, {gone[0].y:.0f} points",
            page.number,
        )
    for x, y in ink.beyond(boxes):
        yield Finding(
            "ink-stray",
            f"there is ink of text at {x:.0f}, {y:.0f} points where the file has no character",
            page.number,
        )


def check_grid_ink(grid: SeenGrid, ink: TextInk, judge: Judge) -> Iterator[Fault]:
    """Each character in a grid and its bands looks like itself."""
    amiss: dict[str, list[tuple[int, str]]] = {}
    glyphs = [g for g in grid.glyphs if not g.turned]
    symbols = "0" + SYMBOLS[1 : max(grid.lattice.size, 9) + 1]
    for glyph, look, crossed in _looks(glyphs, ink, judge, symbols):
        cell = grid.lattice.nearest(glyph.x, glyph.y)
        name = f"{glyph.text} in {cell_name(cell, grid.lattice.size)}"
        code, words = _amiss(look, name, glyph, crossed=crossed)
        if not code and _grey(glyph) > PALEST and not _stands_out(glyph, ink):
            code, words = "ink-faint", f"the {name} is printed in grey {_grey(glyph):.2f}"
        if code:
            amiss.setdefault(code, []).append((cell, words))
    amiss.setdefault("ink-wrong", []).extend(_odd_dots(grid, ink))
    for code, some in amiss.items():
        yield from gather(code, some)


def _stands_out(glyph: Glyph, ink: TextInk) -> bool:
    """Whether a light character stands on black, as the digit of a tile does."""
    left, bottom, right, top = ink_of(glyph)
    ground = ink.ground_at((left + right) / 2, (bottom + top) / 2)
    return _grey(glyph) > 1 - BLACKEST and ground < BLACKEST * 255


def _odd_dots(grid: SeenGrid, ink: TextInk) -> Iterator[tuple[int, str]]:
    """The white dots that are dark, and the black ones that are light, on whatever ground."""
    for one in grid.drawn.seen:
        if isinstance(one.shape, Edge) and one.shape.mark in ("white", "black"):
            left, bottom, right, top = one.drawings[0].box
            light = ink.grey_at((left + right) / 2, (bottom + top) / 2) > MIDDLE_GREY
            if light != (one.shape.mark == "white"):
                name = told(one.shape, grid.lattice.size)
                yield one.shape.cells[0], f"{name} is {'light' if light else 'dark'}"


def _looks(
    glyphs: Sequence[Glyph], ink: TextInk, judge: Judge, symbols: str
) -> Iterator[tuple[Glyph, Look, bool]]:
    """What the ink of each character looks like, and whether anything crosses it.

    All of one face and size are looked at together; ``symbols`` are the figures that there may be.
    """

    rooms = dict(zip(map(id, glyphs), _rooms(glyphs, ROOM / ink.scale), strict=True))

    def kind(g: Glyph) -> tuple[str, float]:
        face = g.face if is_house_face(g.face) else "SourceSansPro-Regular"
        return face, min(max(g.size, SMALLEST), LARGEST)

    for (face, size), group in groupby(sorted(glyphs, key=kind), kind):
        some = list(group)
        boxes = [rooms[id(g)] for g in some]
        crops, crossed = ink.crops(boxes, [_grey(g) for g in some])
        wanted = [(g.text, _alphabet(g.text, symbols)) for g in some]
        looks = judge.look(crops, face, round(size * ink.scale, 1), wanted)
        yield from zip(some, looks, crossed.tolist(), strict=True)


def _alphabet(text: str, symbols: str) -> str:
    """The characters that one may be taken for."""
    return next((some for some in (symbols, *_LETTERS) if text in some), symbols)


def _grey(glyph: Glyph) -> float:
    return sum(glyph.colour) / 3 if glyph.colour else 0.0


def _rooms(glyphs: Sequence[Glyph], most: float) -> list[Box]:
    """The boxes of glyphs' ink and a little more round each, as far as its neighbours allow."""
    boxes = np.array([ink_of(g) for g in glyphs]).reshape(-1, 4)
    low, high = boxes[:, :2], boxes[:, 2:]
    grown = []
    for axis in (0, 1):
        a, b, c, d = low[:, axis], high[:, axis], low[:, 1 - axis], high[:, 1 - axis]
        beside = (c[:, None] < d[None] + most) & (d[:, None] > c[None] - most)
        for gap in (a[:, None] - b[None], a[None] - b[:, None]):  # to those before, and after
            near = np.where(beside & (gap > -most), gap, 3 * most).min(axis=1, initial=3 * most)
            grown.append(np.clip(near / 3, 0, most))
    left, right, below, above = grown
    rooms = boxes + np.stack([-left, -below, right, above], axis=1)
    return [(x0, y0, x1, y1) for x0, y0, x1, y1 in rooms.tolist()]


def _amiss(look: Look, name: str, glyph: Glyph, *, crossed: bool) -> tuple[str, str]:
    """What is wrong with a character's ink: a code and words; empty for good ink."""
    if look == BARE:
        return "ink-missing", f"no ink of the {name}: it is white, invisible or covered"
    if look.value != glyph.text and look.likeness < SURE and not crossed:
        return "ink-wrong", f"the ink of the {name} looks like {look.value}"
    alike = LIGHT_ALIKE if glyph.face == LIGHT else ALIKE
    if look.likeness < (CROSSED_ALIKE if crossed else alike):
        return "ink-wrong", f"the ink of the {name} is not clean ({look.likeness:.0%} alike)"
    if look.share < FAINT and not crossed:
        return "ink-faint", f"the {name} has {look.share:.0%} of the ink due"
    return "", ""
