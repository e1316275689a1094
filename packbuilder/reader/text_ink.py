"""The ink of text: what of a page's pixels the text alone accounts for.

A page is painted whole, and without its text. Where text of colour c covers a share a of a pixel,
the ground g there becomes g + a (c - g): so the share can be told, whatever is drawn beneath, but
where text and ground are of one colour.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from packbuilder.reader.editions import INK, PAPER
from packbuilder.reader.likeness import Ink
from packbuilder.reader.marks import Box, PageMarks
from packbuilder.reader.pdfium import Pixels

SEEN = 40
"""Least difference that text makes to a pixel that counts as inked."""
TELLING = 60
"""Text and ground that differ by less (0 to 255) cannot be told apart."""
ROUND = 1.5
"""Pixels round a glyph that are its own too."""

Truth = NDArray[np.bool_]


class TextInk:
    """The ink of a page's text. Places are in points from the page's lower left corner."""

    def __init__(self, pixels: Pixels, page: PageMarks, *, dark: bool) -> None:
        whole, ground = pixels.whole, pixels.ground
        if dark:
            whole, ground = _LIGHT[whole], _LIGHT[ground]
        self._paper = pixels.ground
        self._ground = ground.astype(np.int16)
        self._made = self._ground - whole
        self._x, self._y = pixels.x, pixels.y
        self._high, self._wide = whole.shape
        self._corner = page.corner
        self._inked: Truth = np.asarray(np.abs(self._made) > SEEN) & self._within(page)

    def _within(self, page: PageMarks) -> Truth:
        """The pixels of the page itself, where it is one of several on its sheet."""
        (left,), (bottom,), (right,), (top,) = self._in_pixels([(0, 0, page.width, page.height)])
        rows, columns = np.ogrid[: self._made.shape[0], : self._made.shape[1]]
        inside: Truth = (
            (columns >= left - 1) & (columns <= right) & (rows >= top - 1) & (rows <= bottom)
        )
        return inside

    def crops(self, boxes: Sequence[Box], greys: Sequence[float]) -> tuple[Ink, Truth]:
        """Equal crops (n, height, width) round the middles of boxes: the share of text, 0 to 255.

        Nothing counts that lies outside a crop's own box. ``greys`` are those of the text in each,
        0 to 1. The second value says of each crop whether something of the text's own colour lies
        in it, so that text cannot be seen there.
        """
        left, bottom, right, top = self._in_pixels(boxes)
        width, height = (
            int(np.ceil((right - left).max())) + 1,
            int(np.ceil((bottom - top).max())) + 1,
        )
        first = np.rint((left + right) / 2 - width / 2).astype(int)
        above = np.rint((top + bottom) / 2 - height / 2).astype(int)
        rows = np.clip(above[:, None] + np.arange(height), 0, self._made.shape[0] - 1)
        columns = np.clip(first[:, None] + np.arange(width), 0, self._made.shape[1] - 1)
        at = (rows[:, :, None], columns[:, None, :])
        contrast = self._ground[at] - np.array(greys)[:, None, None] * 255
        telling = np.abs(contrast) > TELLING
        share = np.where(telling, self._made[at] / np.where(telling, contrast, 1), 0)
        own = (rows + 0.5 >= top[:, None]) & (rows + 0.5 <= bottom[:, None])
        across = (columns + 0.5 >= left[:, None]) & (columns + 0.5 <= right[:, None])
        within = own[:, :, None] & across[:, None, :]
        ink: Ink = np.rint(np.clip(share, 0, 1) * 255 * within).astype(np.float32)
        hidden: Truth = (~telling & within).any(axis=(1, 2))
        return ink, hidden

    def inked(self, boxes: Sequence[Box]) -> list[bool]:
        """For each box, whether text leaves any ink in it."""
        left, bottom, right, top = self._in_pixels(boxes)
        edges = np.stack([np.floor(left), np.ceil(right), np.floor(top), np.ceil(bottom)])
        sides = np.clip(edges, 0, None).astype(int).T.tolist()
        return [bool(self._inked[c:d, a:b].any()) for a, b, c, d in sides]

    def beyond(self, boxes: Sequence[Box]) -> list[tuple[float, float]]:
        """Where text leaves ink outside all of these boxes: one place, or none."""
        left = self._inked.copy()
        if boxes:
            x0, bottom, x1, top = self._in_pixels(boxes)
            edges = np.stack([x0 - ROUND, x1 + ROUND + 1, top - ROUND, bottom + ROUND + 1])
            for a, b, c, d in np.clip(edges, 0, None).astype(int).T.tolist():
                left[c:d, a:b] = False
        if not left.any():
            return []
        row, column = np.unravel_index(int(left.argmax()), left.shape)
        x = (float(column) + 0.5) / self._x - self._corner[0]
        return [(x, (self._high - float(row) - 0.5) / self._y - self._corner[1])]

    def grey_at(self, x: float, y: float) -> int:
        """The grey under the text at a point, as the page shows it: 0 black to 255 white."""
        return int(self._paper[self._pixel(x, y)])

    def ground_at(self, x: float, y: float) -> int:
        """The grey under the text at a point, as the page would show it on white paper."""
        return int(self._ground[self._pixel(x, y)])

    def _pixel(self, x: float, y: float) -> tuple[int, int]:
        (column,), (row,), _, _ = self._in_pixels([(x, y, x, y)])
        return min(max(int(row), 0), self._high - 1), min(max(int(column), 0), self._wide - 1)

    @property
    def scale(self) -> float:
        """Pixels to a point."""
        return self._x

    def _in_pixels(self, boxes: Sequence[Box]) -> tuple[NDArray[np.float64], ...]:
        """Left, bottom, right, top of boxes in pixels, rows counted from the top."""
        x0, y0, x1, y1 = np.array(boxes, dtype=np.float64).reshape(-1, 4).T
        dx, dy = self._corner
        return (
            (x0 + dx) * self._x,
            self._high - (y0 + dy) * self._y,
            (x1 + dx) * self._x,
            self._high - (y1 + dy) * self._y,
        )


_LIGHT = np.clip(
    (INK * 255 - np.arange(256)) / (INK - PAPER), 0, 255
).round().astype(np.uint8)  # fmt: skip
"""For each grey of a dark page's pixels, that of the same page on white paper."""
