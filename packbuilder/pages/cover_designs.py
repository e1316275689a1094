"""Designs of a cover's picture: discs, clues, a technique, and a creator's own outlines.

Boxes, discs and outlines only, no ruled lines, so that none is ever taken for a grid to solve.
"""

from __future__ import annotations

from collections.abc import Iterable

from packbuilder.artwork import Drawing
from packbuilder.book.cover import CLUE, EMPTY, OPEN, CoverPicture
from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import CLUE as FACE
from packbuilder.pages.page_design import PageDesign
from packbuilder.plan.items import Box, Disc, Fills, Glyphs, Item, Trace
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import width

_OPEN_LINE = 0.035  # of a cell: the outline of what is left open
_QUESTION, _DIGIT = 0.5, 0.56  # of a cell: type sizes


def designed(
    sheet: PageDesign, picture: CoverPicture, x: float, bottom: float, side: float
) -> list[Item]:
    """The picture with its lower left corner at x and ``bottom``; its longer side is ``side``."""
    if picture.drawing:
        return _outlines(picture.drawing, x, bottom, side)
    assert picture.geometry is not None
    if picture.design == "discs":
        return list(_discs(picture, picture.geometry, x, bottom + side, side))
    size = picture.geometry.size
    place = GridPlace(x, bottom + side, side / size, size)
    if picture.design == "clues":
        return list(_clues(picture, place))
    return list(_technique(sheet, picture, picture.geometry, place))


def _written(place: GridPlace, face: str, size: float, cells: Iterable[tuple[int, str]],
             quiet: bool = False) -> Glyphs:  # fmt: skip
    """Signs in the middle of cells."""
    down, places = FIGURE_HEIGHT * size / 2, []
    for cell, sign in cells:
        x, y = place.middle(cell)
        places.append((x - width(sign, face, size) / 2, y - down, sign))
    return Glyphs(face, size, tuple(places), "quiet" if quiet else "ink")


def _discs(picture: CoverPicture, geometry: Geometry, x: float, top: float, side: float
           ) -> Iterable[Item]:  # fmt: skip
    """Discs, the larger the greater the digit, blocks a little apart."""
    size = geometry.size
    high, wide = geometry.shape or (size, size)
    across, down = size // wide - 1, size // high - 1
    apart = side / 13 / size  # a thirteenth of a cell
    cell = (side - max(across, down) * apart) / size
    least, step = 0.115 / 2, 0.846 / 2 / size
    for k, sign in enumerate(picture.signs):
        row, column = divmod(k, size)
        mx = x + (column + 0.5) * cell + column // wide * apart
        my = top - (row + 0.5) * cell - row // high * apart
        if sign == OPEN:
            line = _OPEN_LINE * cell
            yield Disc(mx, my, 0.42 * cell - line / 2, width=line)
            spot = GridPlace(mx - cell / 2, my + cell / 2, cell, 1)
            yield _written(spot, FACE, _QUESTION * cell, [(0, OPEN)])
        else:
            yield Disc(mx, my, (least + step * SYMBOLS.index(sign)) * cell, fill="ink")


def _clues(picture: CoverPicture, place: GridPlace) -> Iterable[Item]:
    """A square for each clue, joined to its neighbours, and a speck for each empty cell."""
    size, cell = place.size, place.cell
    squares, specks, joints = list[Box](), list[Box](), list[Box]()
    for k, sign in enumerate(picture.signs):
        x, y = place.middle(k)
        half = cell * (0.44 if sign == CLUE else 0.035)
        if sign == OPEN:
            line = _OPEN_LINE * cell
            half = 0.44 * cell - line / 2
            left, right, low, high = x - half, x + half, y - half, y + half
            square = ((left, low), (right, low), (right, high), (left, high))
            yield Trace((square,), width=line, closed=True)
            yield _written(place, FACE, _QUESTION * cell, [(k, OPEN)])
            continue
        box = (x - half, y - half, x + half, y + half)
        (squares if sign == CLUE else specks).append(box)
        row, column = divmod(k, size)
        if sign == CLUE and column + 1 < size and picture.signs[k + 1] == CLUE:
            joints.append((x, y - half, x + cell, y + half))
        if sign == CLUE and row + 1 < size and picture.signs[k + size] == CLUE:
            joints.append((x - half, y - cell, x + half, y))
    yield Fills(tuple(specks))
    yield Fills(tuple(squares))
    if joints:
        yield Fills(tuple(joints))


def _technique(sheet: PageDesign, picture: CoverPicture, geometry: Geometry, place: GridPlace
               ) -> Iterable[Item]:  # fmt: skip
    """The clues of a puzzle, quiet; on them the cells of a step as towers or tiles.

    A clue in a tower stands in a lit window; where the riddle asks, in a disc.
    """
    size, cell, signs = place.size, place.cell, picture.signs
    thin = tuple(_bar(place, *ends, 0.25) for k in range(1, size)
                 for ends in ((0, k, size, k), (k, 0, k, size)))  # fmt: skip
    yield Fills(thin, "rule")
    if borders := tuple(_bar(place, *ends, 0.6) for ends in _borders(geometry)):
        yield Fills(borders, "rule")
    yield Fills(tuple(place.box(k) for k in sorted(picture.filled)))
    lit, panes = list[Box](), list[Box]()
    for k in sorted(picture.filled):
        x, y = place.middle(k)
        if signs[k] == OPEN:
            yield Disc(x, y, 0.37 * cell, fill="paper")
        elif signs[k] != EMPTY:
            lit.append((x - 0.32 * cell, y - 0.36 * cell, x + 0.32 * cell, y + 0.36 * cell))
        else:
            panes += [
                (x + dx * cell, y + dy * cell, x + (dx + 0.2) * cell, y + (dy + 0.2) * cell)
                for dx in (-0.29, 0.09)
                for dy in (-0.29, 0.09)
            ]
    for boxes in (lit, panes):
        if boxes:
            yield Fills(tuple(boxes), "paper")
    yield Fills(tuple(_bar(place, *ends, 1.1) for ends in
                      ((0, 0, size, 0), (0, size, size, size), (0, 0, 0, size),
                       (size, 0, size, size))))  # fmt: skip
    shown = [(k, sign) for k, sign in enumerate(signs) if sign not in (EMPTY, OPEN)]
    digit = max(_DIGIT * cell, sheet.least.small)
    outside = [one for one in shown if one[0] not in picture.filled]
    inside = [one for one in shown if one[0] in picture.filled]
    if outside:
        yield _written(place, FACE, digit, outside, quiet=True)
    if inside:
        yield _written(place, FACE, digit, inside)
    asked = [(k, OPEN) for k, sign in enumerate(signs) if sign == OPEN]
    yield _written(place, FACE, digit, asked)


def _bar(place: GridPlace, a: int, b: int, c: int, d: int, half: float) -> Box:
    """A line of the grid between two crossings, as a box."""
    (x0, y0), (x1, y1) = place.at(a, b), place.at(c, d)
    return x0 - half, y1 - half, x1 + half, y0 + half


def _borders(geometry: Geometry) -> Iterable[tuple[int, int, int, int]]:
    """The edges between cells of two regions, one at a time."""
    size, regions = geometry.size, geometry.regions or ()
    for k in range(len(regions)):
        row, column = divmod(k, size)
        if column + 1 < size and regions[k] != regions[k + 1]:
            yield column + 1, row, column + 1, row + 1
        if row + 1 < size and regions[k] != regions[k + size]:
            yield column, row + 1, column + 1, row + 1


def _outlines(drawing: Drawing, x: float, bottom: float, side: float) -> list[Item]:
    """A creator's own picture."""
    return [
        Trace(
            tuple(tuple((x + side * px, bottom + side * py) for px, py in run) for run in s.runs),
            width=None if s.stroke is None else s.width * side,
            ink="ink" if s.stroke else "paper",
            fill=None if s.fill is None else "ink" if s.fill else "paper",
            closed=s.closed,
            round_ends=s.round_ends,
            round_joints=s.round_joints,
        )
        for s in drawing.shapes
    ]
