"""The ground under digits: what the shapes of rules must look like in pixels, and lifting it off.

The second eye judges a digit by its ink on bare paper. Where a rule draws under it or beside it,
the shapes that the first eye read are painted again, from the paths alone, by another library;
what they account for is taken away, and what is left is judged as ever. What they promise and the
page does not show is told too: a mark may be covered or white.

Darkness goes from 0 (paper) to 255. Two painters of one path differ by part of a pixel, so a thin
line is one dark pixel here and two grey ones there. Ink that could be the ground, by the darkest
that lies within a pixel, is taken for it; and ground is missed only where three by three pixels
are paler, on the whole, than any such patch beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot
from typing import Any

import numpy as np
from numpy.typing import NDArray

from packbuilder.readback.document import Drawing, Pen
from packbuilder.readback.shapes import Box
from packbuilder.readback.view import PALE, View

FINE = 4
"""Pixels are painted so many times finer, and averaged."""
HAIR = 1.0
"""No stroke is thinner than this (pixels): so pdfium draws them."""
EDGE = 0.6
"""Pillow paints the edge of a form too: so much (fine pixels) is taken off on each side."""
MITRE = -0.98
"""A line turns in a point unless it turns back more sharply than this cosine: PDF's limit of 10."""
PALER = 16
"""Mean darkness by which nine pixels must fall short of their ground to count as missing."""
DARKER = 50
"""Darkness by which a pixel must surpass its ground to count as inked over."""

Dark = NDArray[np.int16]
Point = tuple[float, float]
Points = Sequence[Point]


@dataclass(frozen=True)
class Ground:
    """What lies under the digits in one part of a page. ``top left`` is its first pixel.

    ``dark`` is how dark each pixel is to be, ``most`` how dark it may be.
    """

    top: int
    left: int
    dark: Dark
    most: Dark

    @property
    def rows(self) -> slice:
        """Its rows on the page."""
        return slice(self.top, self.top + self.dark.shape[0])

    @property
    def columns(self) -> slice:
        """Its columns on the page."""
        return slice(self.left, self.left + self.dark.shape[1])


def paint(view: View, drawings: Iterable[Drawing], box: Box) -> Ground:
    """Paint the drawings, in their order, in the pixels of a box (points) of a page."""
    from PIL import Image, ImageDraw

    high, wide = view.grey.shape
    top, bottom = max(int(high - box[3] * view.y), 0), min(int(high - box[1] * view.y) + 1, high)
    left, right = max(int(box[0] * view.x), 0), min(int(box[2] * view.x) + 1, wide)
    size = (max(right - left, 1) * FINE, max(bottom - top, 1) * FINE)
    picture = Image.new("L", size, 0)
    brush = _Brush(ImageDraw.Draw(picture), view, top, left)
    for drawing in drawings:
        brush.draw(drawing)
    dark = np.asarray(picture.reduce(FINE), dtype=np.int16)
    brush.touch_up()
    most = _darkest(np.asarray(picture))
    # what is pale is no ink: where nothing darker is near, a digit's own pale rim is kept
    return Ground(top, left, dark, np.where(most <= PALE, dark, most))


def _darkest(fine: NDArray[np.uint8]) -> Dark:
    """For each pixel, the darkest speck in it or in its neighbours."""
    rows = fine[::FINE]
    for k in range(1, FINE):
        rows = np.maximum(rows, fine[k::FINE])
    found = rows[:, ::FINE]
    for k in range(1, FINE):
        found = np.maximum(found, rows[:, k::FINE])
    return _around(found.astype(np.int16))


def lifted(view: View, grounds: Iterable[Ground]) -> View:
    """The page without its ground: as the ink over it would look on bare paper."""
    grounds = tuple(grounds)
    if not grounds:
        return view
    grey = view.grey.copy()
    for ground in grounds:
        part = grey[ground.rows, ground.columns]
        dark = 255 - part.astype(np.int16)
        ink = (dark - ground.dark) / np.maximum(255 - ground.dark, 1)
        ink[dark <= ground.most] = 0
        part[:] = (255 - np.clip(ink, 0, 1) * 255).astype(np.uint8)
    return replace(view, grey=grey)


def alone(view: View, ground: Ground) -> View:
    """A page with nothing on it but a ground."""
    grey = np.full_like(view.grey, 255)
    grey[ground.rows, ground.columns] = 255 - ground.dark
    return replace(view, grey=grey)


def missing(view: View, ground: Ground) -> NDArray[np.bool_]:
    """The pixels of a ground round which the page is paler than it must be."""
    short = _blurred(ground.dark) - _around(_blurred(_darkness_of(view, ground)))
    result: NDArray[np.bool_] = short > PALER
    return result


def surplus(view: View, ground: Ground) -> NDArray[np.bool_]:
    """The pixels of a ground that are much darker on the page than they may be."""
    result: NDArray[np.bool_] = _darkness_of(view, ground) - ground.most > DARKER
    return result


def _darkness_of(view: View, ground: Ground) -> Dark:
    dark: Dark = 255 - view.grey[ground.rows, ground.columns].astype(np.int16)
    return dark


def _around(dark: Dark) -> Dark:
    """For each pixel, the darkest of itself and its eight neighbours."""
    padded = np.pad(dark, 1, mode="edge")
    rows = np.maximum(np.maximum(padded[:-2], padded[1:-1]), padded[2:])
    found: Dark = np.maximum(np.maximum(rows[:, :-2], rows[:, 1:-1]), rows[:, 2:])
    return found


def _blurred(dark: Dark) -> Dark:
    """For each pixel, the mean of itself and its eight neighbours."""
    padded = np.pad(dark, 1, mode="edge")
    rows = padded[:-2] + padded[1:-1] + padded[2:]
    found: Dark = (rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]) // 9
    return found


class _Brush:
    """Paints paths into a fine picture of part of a page."""

    def __init__(self, canvas: Any, view: View, top: int, left: int) -> None:
        self.canvas = canvas
        self.view = view
        self.top = top
        self.left = left
        self.perhaps: list[tuple[Points, Pen]] = []

    def touch_up(self) -> None:
        """Paint what another painter may paint and need not: a dot just on the end of a line."""
        for piece, pen in self.perhaps:
            self._paint(piece, pen)

    def draw(self, drawing: Drawing) -> None:
        """Paint one path: filled, then stroked."""
        tracks = [([self._place(p) for p in t.points], t.closed) for t in drawing.tracks]
        if drawing.filled and drawing.fill is not None:
            self._fill([points for points, _ in tracks], _darkness(drawing.fill))
        pen = drawing.pen
        if pen and pen.colour is not None:
            for points, closed in tracks:
                line = [*points, points[0]] if closed else points
                self._stroke(line, pen, closed=closed)

    def _place(self, point: tuple[float, float]) -> tuple[float, float]:
        x, y = point
        row = self.view.grey.shape[0] - y * self.view.y - self.top
        return (x * self.view.x - self.left) * FINE, row * FINE

    def _fill(self, tracks: Sequence[Points], dark: int) -> None:
        if len(tracks) == 1:
            self.canvas.polygon(tracks[0], fill=dark)
            return
        from PIL import Image, ImageDraw

        xs, ys = zip(*(point for points in tracks for point in points), strict=True)
        wide, high = self.canvas.im.size
        left, top = max(int(min(xs)) - 1, 0), max(int(min(ys)) - 1, 0)
        size = (min(int(max(xs)) + 2, wide) - left, min(int(max(ys)) + 2, high) - top)
        if min(size) <= 0:
            return
        mask = np.zeros(size[::-1], dtype=np.uint8)
        for points in tracks:
            one = Image.new("L", size, 0)
            here = [(x - left, y - top) for x, y in points]
            ImageDraw.Draw(one).polygon(here, fill=255)
            mask ^= np.asarray(one)
        self.canvas.bitmap((left, top), Image.fromarray(mask), fill=dark)

    def _stroke(self, line: Points, pen: Pen, *, closed: bool) -> None:
        assert pen.colour is not None
        scale = self.view.x * FINE
        for piece in [line] if not pen.dash else _dashes(line, pen, scale):
            self._paint(piece, pen)
        if pen.dash and pen.cap == 1:
            self.perhaps.append((line[-1:], pen))
        elif closed and not pen.dash:
            self._turn(line[-2], line[0], line[1], pen)

    def _paint(self, piece: Points, pen: Pen) -> None:
        """One dash, or a whole line."""
        half = self._half(pen)
        for a, b in pairwise(piece):
            self._bar(a, b, half, _darkness_of_pen(pen))
        for before, at, after in zip(piece, piece[1:], piece[2:], strict=False):
            self._turn(before, at, after, pen)
        for at in {piece[0], piece[-1]} if pen.cap == 1 else ():
            self._spot(at, half, _darkness_of_pen(pen))

    def _half(self, pen: Pen) -> float:
        return max(pen.width * self.view.x, HAIR) * FINE / 2 - EDGE

    def _spot(self, at: Point, half: float, dark: int) -> None:
        x, y = at
        self.canvas.ellipse((x - half, y - half, x + half, y + half), fill=dark)

    def _turn(self, before: Point, at: Point, after: Point, pen: Pen) -> None:
        """The corner of a line: round, or in a point where that does not stand out too far."""
        half, dark = self._half(pen), _darkness_of_pen(pen)
        one, two = _way(before, at), _way(at, after)
        along = one[0] * two[0] + one[1] * two[1]
        if pen.join == 0 and along > MITRE:
            side = -1 if one[0] * two[1] - one[1] * two[0] > 0 else 1
            first, second = ((-w[1] * side * half, w[0] * side * half) for w in (one, two))
            tip = ((first[k] + second[k]) / (1 + along) for k in (0, 1))
            corners = [(0.0, 0.0), first, tuple(tip), second]
            self.canvas.polygon([(at[0] + x, at[1] + y) for x, y in corners], fill=dark)
        elif pen.join == 1:
            self._spot(at, half, dark)

    def _bar(self, a: Point, b: Point, half: float, dark: int) -> None:
        length = hypot(b[0] - a[0], b[1] - a[1])
        if length:
            dx, dy = (b[0] - a[0]) / length * half, (b[1] - a[1]) / length * half
            corners = [(a[0] - dy, a[1] + dx), (a[0] + dy, a[1] - dx)]
            corners += [(b[0] + dy, b[1] - dx), (b[0] - dy, b[1] + dx)]
            self.canvas.polygon(corners, fill=dark)


def _way(a: Point, b: Point) -> Point:
    """The direction from one point to another, one long."""
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _darkness_of_pen(pen: Pen) -> int:
    assert pen.colour is not None
    return _darkness(pen.colour)


def _darkness(colour: tuple[float, float, float]) -> int:
    r, g, b = colour
    return round(255 * (1 - (0.299 * r + 0.587 * g + 0.114 * b)))


def _dashes(line: Points, pen: Pen, scale: float) -> Iterator[list[tuple[float, float]]]:
    """The pieces of a line that its dashes paint, but for one that begins just at its end."""
    lengths = [max(v * scale, 0.01) for v in pen.dash]
    lengths *= 1 + len(lengths) % 2
    k, left = 0, pen.phase * scale % sum(lengths)
    while left >= lengths[k]:
        left -= lengths[k]
        k = (k + 1) % len(lengths)
    left = lengths[k] - left
    piece = [line[0]]
    for a, b in pairwise(line):
        length, gone = hypot(b[0] - a[0], b[1] - a[1]), 0.0
        while length - gone > left:
            gone += left
            at = (a[0] + (b[0] - a[0]) * gone / length, a[1] + (b[1] - a[1]) * gone / length)
            if k % 2 == 0:
                yield [*piece, at]
            k, piece = (k + 1) % len(lengths), [at]
            left = lengths[k]
        left -= length - gone
        piece.append(b)
    if k % 2 == 0 and hypot(piece[0][0] - line[-1][0], piece[0][1] - line[-1][1]) > FINE / 2:
        yield piece
