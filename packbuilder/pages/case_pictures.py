"""Pictures of cases: a corner of a grid with its digits and marks, and below it what is to be seen.

A right case has a tick in an open disc before its words, a wrong one a white cross in a black disc,
and rings round the digits at which the rule is broken. Where the grid goes on, its lines do so too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby

from packbuilder.book.pictures import Borders, Picture
from packbuilder.layouts.fitting import bands, text_cell
from packbuilder.pages.blocks import Block, gap, moved, paragraph, stack
from packbuilder.pages.evidence_marks import ARM, FULL, HALF, between, cross, crossed, dots, ring
from packbuilder.pages.faults import HOUSE
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid, lightness
from packbuilder.pages.page_design import ASCENT, PageDesign, left_text
from packbuilder.pages.prose import NO_BREAK, checked
from packbuilder.plan.items import Disc, Figure, Fills, Item, Point, Segment, Strokes, Tag
from packbuilder.rules.shapes import Edge
from packbuilder.typography.typeface import width

_USUAL, _LARGEST = 24.0, 33.0  # points: a cell beside usual type, and beside any
_ROOMY = 1.15  # times the least cell: what text in corners leaves of that is little
_LETTER = 22.0  # points: a cell in which a letter on an edge has 7
_ON = 5.0  # points: lines go on so far where the grid does
_DISC, _APART = 0.66, 0.5  # of the type size: a sign's radius, and the white behind it
_TICK = ((-0.45, 0.05), (-0.12, -0.32), (0.48, 0.36))  # its corners, in radii


def usual_cell(
    sheet: PageDesign, pictures: Sequence[Picture], room: float, share: float = 1.0
) -> float:
    """The cell in which some pictures are drawn: the usual one, or a share of it, if it leaves them
    in their room."""
    least = max(_least(sheet, picture) for picture in pictures)
    across = max(_across(picture) for picture in pictures)
    on = max(sum(_goes_on(picture)[::2]) for picture in pictures)
    aim = share * max(min(_USUAL * sheet.scale, _LARGEST), least * _ROOMY)
    return max(least, min(aim, (room - on) / across))


def _least(sheet: PageDesign, picture: Picture) -> float:
    """The least cell in which the text of a picture can be read: also letters on edges."""
    text, lettered = sheet.least.text, any(isinstance(s, Edge) for s in picture.shapes)
    least = max(text / sheet.layout.digit, lettered * _LETTER)
    return max(least, text_cell(picture.shapes, text, sheet.least.small))


def _across(picture: Picture) -> float:
    return picture.columns + bands(picture.shapes, picture.size).across


def _goes_on(picture: Picture) -> tuple[float, float, float, float]:
    """How far lines go on at the left, at the top, at the right and below."""
    return (
        0.0 if any(picture.down[0]) else _ON,
        0.0 if any(picture.across[0]) else _ON,
        0.0 if picture.columns == picture.size else _ON,
        0.0 if picture.rows == picture.size else _ON,
    )


def width_of(sheet: PageDesign, picture: Picture, cell: float) -> float:
    """How wide a picture is, with the clues and the labels beside it."""
    face, size = sheet.faces.label, sheet.type.label
    beside = (width(word, face, size) for word, _, side in picture.labels if side == "right")
    left, _, right, _ = _goes_on(picture)
    return _across(picture) * cell + left + max([right, *(size + wide for wide in beside)])


def case(sheet: PageDesign, picture: Picture, cell: float, room: float) -> Block:
    """A picture with its words below it, of which no line is wider than ``room``.

    The sign before the words is a part of the picture.
    """
    size, radius = sheet.type.label, _DISC * sheet.type.label
    grid, apart = pictured(sheet, picture, cell), 0.6 * size
    if not picture.verdict:
        return stack([grid, gap(apart), caption(sheet, picture, room)])
    low, indent = grid.height + apart + (ASCENT - 0.33) * size, 2 * radius + _APART * size

    def draw(x: float, top: float) -> list[Item]:
        mark = sign(picture.verdict, (x + radius, top - low), radius)
        figure, *labels = grid.draw(x, top)
        assert isinstance(figure, Figure)
        return [Figure(figure.tag, (*figure.items, *mark)), *labels]

    words = moved(caption(sheet, picture, room - indent), indent)
    return stack([Block(grid.height, draw), gap(apart), words])


def pictured(sheet: PageDesign, picture: Picture, cell: float) -> Block:
    """A picture with its labels."""
    band, size = bands(picture.shapes, picture.size), sheet.type.label
    left, head, _, foot = _goes_on(picture)
    below = any(side == "below" for _, _, side in picture.labels)

    def draw(x: float, top: float) -> list[Item]:
        corner = x + left + band.left * cell, top - head - band.top * cell
        place = GridPlace(*corner, cell, picture.columns)
        tag = Tag("Figure", alt=" ".join(picture.told[:-1]))
        drawn = tuple(_drawn(sheet, place, picture))
        return [Figure(tag, drawn), *_labels(sheet, place, picture)]

    high = (picture.rows + band.down) * cell + head + foot + size * (1.4 if below else 0.0)
    return Block(high, draw)


def caption(sheet: PageDesign, picture: Picture, room: float) -> Block:
    """What a picture shows; sums stay on one line."""
    face, size = sheet.faces.label, sheet.type.label
    words = re.sub(r" ([+=]) ", rf"{NO_BREAK}\1{NO_BREAK}", checked(picture.words, face, HOUSE))
    return paragraph(words, face, size, room, leading=size * 1.3)


def sign(verdict: str, middle: Point, radius: float) -> list[Item]:
    """A tick in an open disc, or a white cross in a black one."""
    (x, y), weight = middle, max(1.0, 0.16 * radius)
    if verdict == "right":
        (ax, ay), (bx, by), (cx, cy) = ((x + u * radius, y + v * radius) for u, v in _TICK)
        tick = Strokes(weight * 1.3, ((ax, ay, bx, by), (bx, by, cx, cy)))
        return [Disc(x, y, radius - weight / 2, weight), tick]
    strokes = crossed(x, y, 0.36 * radius)
    return [Disc(x, y, radius, fill="ink"), Strokes(weight * 1.5, strokes, "paper")]


def _labels(sheet: PageDesign, place: GridPlace, picture: Picture) -> Iterator[Item]:
    """Words in line with cells: at the right of the grid, or below it."""
    face, size = sheet.faces.label, sheet.type.label
    for word, cell, side in picture.labels:
        x, y = place.middle(cell)
        if side == "right":
            right, _ = place.at(picture.columns, 0)
            yield left_text(right + size * 0.8, y - 0.25 * size, word, face, size)
        else:
            _, low = place.at(0, picture.rows)
            yield left_text(x - width(word, face, size) / 2, low - 1.15 * size, word, face, size)


def _drawn(sheet: PageDesign, place: GridPlace, picture: Picture) -> list[Item]:
    """The grid with all its marks."""
    marks = [*_leap(place, picture), *(ring(place, cell) for cell in picture.ringed)]
    if picture.crossed:
        marks.append(cross(place, map(place.middle, picture.crossed), ARM))
    grey = Fills(tuple(place.box(cell) for cell in picture.grey), "shade")
    ruled = [*_lines(sheet, place, picture)]
    digits, shapes = picture.digits, picture.shapes
    drawn = grid(sheet, None, place, digits, digits, shapes, rings=marks, ruled=ruled)
    return [*([grey] if picture.grey else []), *drawn]


def _leap(place: GridPlace, picture: Picture) -> list[Item]:
    """Dots from cell to cell, clear of the digits and the cross at their ends."""
    if not picture.leap:
        return []
    start, turn, end = picture.leap
    last = HALF if end in picture.crossed else FULL
    ways = between(place, start, turn, 0.0, FULL), between(place, turn, end, last, 0.0)
    return [dots(place, way) for way in ways]


def _lines(sheet: PageDesign, place: GridPlace, picture: Picture) -> Iterator[Item]:
    """Thin lines, the borders of blocks, and the frame, as far as it is the grid's."""
    weights, lighter = sheet.layout.lines, lightness(place.cell)
    rows, columns = picture.rows, picture.columns
    left, head, right, foot = (on / place.cell for on in _goes_on(picture))

    def level(k: float, a: float, b: float) -> Segment:
        return (*place.at(a - left * (a == 0), k), *place.at(b + right * (b == columns), k))

    def upright(k: float, a: float, b: float) -> Segment:
        return (*place.at(k, a - head * (a == 0)), *place.at(k, b + foot * (b == rows)))

    thin = [level(k, 0, columns) for k, line in enumerate(picture.across) if not all(line)]
    thin += [upright(k, 0, rows) for k, line in enumerate(picture.down) if not all(line)]
    yield Strokes(weights.cell * lighter, tuple(thin))
    borders = [level(*run) for run in _runs(picture.across)]
    borders += [upright(*run) for run in _runs(picture.down)]
    if borders:
        yield Strokes(weights.border * lighter, tuple(borders), square=True)


def _runs(heavy: Borders) -> Iterator[tuple[int, int, int]]:
    """The heavy runs of lines: which line, from where to where."""
    for k, line in enumerate(heavy):
        start = 0
        for is_heavy, some in groupby(line):
            end = start + len([*some])
            if is_heavy:
                yield k, start, end
            start = end
