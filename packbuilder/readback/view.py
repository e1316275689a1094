"""A page as the second eye sees it: grey pixels, and what can be asked of them by place.

Places are in points from the page's lower left corner, as everywhere in this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.readback.document import readable
from packbuilder.readback.shapes import Box, Lattice

Grey = NDArray[np.uint8]
Ink = NDArray[np.float32]
Truth = NDArray[np.bool_]
Line = tuple[Sequence[tuple[float, float]], float]
"""Points along a line, and its width, in points."""

INSET = 0.12
"""The rim of a cell that is left out, in cells: lines stand there."""
NARROW = 0.07
"""The same where shapes of rules may stand in it."""
SEEN = 55.0
"""Darkness against the paper (0 to 255) from which a pixel counts as inked."""
PALE = 45.0
"""Darkness of the darkest fill that may lie under digits (85 % white), and a little more."""
STEP = 40
"""Least difference between neighbouring pixels that is taken for the edge of something."""
DUST = 16
"""Darkness that the rim of the paper may show: none, but for rounding."""
SPILL = 1.3
"""How far the ink of a line may spill beyond its edge, in pixels."""


@dataclass(frozen=True)
class View:
    """A page's pixels: rows from the top, 0 black to 255 white. ``x`` and ``y`` are the pixels to
    a point across and up; they differ a little, since a page is a whole number of pixels."""

    grey: Grey
    x: float
    y: float

    def rows_at(self, y: NDArray[np.float64]) -> NDArray[np.float64]:
        """Pixel rows (with fractions, from the top) of heights in points."""
        rows: NDArray[np.float64] = self.grey.shape[0] - y * self.y
        return rows


class Window(NamedTuple):
    """Where a page is found in the file: on which of its pages, and in which box of that one
    (points from its paper's lower left corner; None for all of it).

    ``lines`` and ``boxes`` are marks of the edition (fold marks and the like), measured in the
    window. They have been checked, and are wiped away.
    """

    page: int
    box: Box | None = None
    lines: tuple[Line, ...] = ()
    boxes: tuple[Box, ...] = ()


class Pixels:
    """A file's pages as grey pictures, by pdfium."""

    def __init__(self, data: bytes, windows: Sequence[Window] | None = None) -> None:
        import pypdfium2

        with readable("its drawing"):
            self._pdf: Any = pypdfium2.PdfDocument(data)
            self.sheets = len(self._pdf)
        self._windows = windows
        self._turn: NDArray[np.uint8] | None = None

    @property
    def count(self) -> int:
        """How many pages there are."""
        return self.sheets if self._windows is None else len(self._windows)

    def turned(self, greys: NDArray[np.uint8]) -> Pixels:
        """These pages with another grey (0 to 255) in place of each."""
        self._turn = greys
        return self

    def view(self, number: int, dpi: float) -> View:
        """Page ``number`` (from 1) at about ``dpi``. Raises InputError where it cannot be drawn."""
        return self.through(self._windows[number - 1] if self._windows else Window(number), dpi)

    def through(self, window: Window, dpi: float) -> View:
        """What a window shows. Raises InputError where it cannot be drawn."""
        with readable(f"page {window.page}"):
            page = self._page(window)
            picture = page.render(scale=dpi / 72, grayscale=True).to_numpy()
            grey: Grey = picture.reshape(picture.shape[:2]).copy()
            width, height = page.get_size()
            page.close()
        if self._turn is not None:
            grey = self._turn[grey]
        view = View(grey, grey.shape[1] / width, grey.shape[0] / height)
        wiped = window.lines or window.boxes
        return without(view, window.lines, window.boxes) if wiped else view

    def _page(self, window: Window) -> Any:
        """The page of a window; where that shows a part, its crop box is set to it in memory, so
        that pixels begin exactly at its corner."""
        page = self._pdf[window.page - 1]
        if window.box is not None:
            left, bottom, *_ = page.get_mediabox()
            x0, y0, x1, y1 = window.box
            page.set_cropbox(left + x0, bottom + y0, left + x1, bottom + y1)
            page.close()
            page = self._pdf[window.page - 1]
        return page

    def __enter__(self) -> Pixels:
        return self

    def __exit__(self, *_: object) -> None:
        self._pdf.close()


def cut(view: View, boxes: Sequence[Box], within: Sequence[Box] | None = None) -> Ink:
    """Equal crops (n, height, width) of a page round the middles of boxes, as darkness against
    the paper. The paper of a crop is its median, so a pale fill is paper too; so is, for each
    crop, all that lies outside its box of ``within``."""
    x0, y0, x1, y1 = np.array(boxes, dtype=np.float64).T
    width = int(np.ceil((x1 - x0).max() * view.x)) + 1
    height = int(np.ceil((y1 - y0).max() * view.y)) + 1
    left = np.rint((x0 + x1) / 2 * view.x - width / 2).astype(int)
    top = np.rint(view.rows_at((y0 + y1) / 2) - height / 2).astype(int)
    rows = np.clip(top[:, None] + np.arange(height), 0, view.grey.shape[0] - 1)
    columns = np.clip(left[:, None] + np.arange(width), 0, view.grey.shape[1] - 1)
    crops = view.grey[rows[:, :, None], columns[:, None, :]].astype(np.float32)
    paper = np.median(crops.reshape(len(boxes), -1), axis=1)
    ink: Ink = np.clip(paper[:, None, None] - crops, 0, None)
    if within is not None:
        x0, y0, x1, y1 = np.array(within, dtype=np.float64).T[:, :, None]
        ink *= ((rows >= view.rows_at(y1)) & (rows + 1 <= view.rows_at(y0)))[:, :, None]
        ink *= ((columns >= x0 * view.x) & (columns + 1 <= x1 * view.x))[:, None, :]
    return ink


def bare(ink: Ink) -> Truth:
    """For each crop, whether nothing is inked in it."""
    result: Truth = ink.reshape(len(ink), -1).max(axis=1) < SEEN
    return result


def cell_boxes(lattice: Lattice, cells: Iterable[int], inset: float = INSET) -> list[Box]:
    """The boxes of cells without their rims."""
    half = lattice.pitch * (0.5 - inset)
    middles = (lattice.middle(c) for c in cells)
    return [(x - half, y - half, x + half, y + half) for x, y in middles]


def without(view: View, lines: Iterable[Line], boxes: Iterable[Box]) -> View:
    """The page with some lines and boxes painted over in white.

    What is known and not to be judged is taken away, so that anything else that is left is told.
    """
    grey = view.grey.copy()
    for points, width in lines:
        path = [(x * view.x, grey.shape[0] - y * view.y) for x, y in points]
        for start, end in pairwise(path):
            _wipe(grey, start, end, width * view.x / 2 + SPILL)
    for x0, y0, x1, y1 in boxes:
        top, bottom = (round(grey.shape[0] - y * view.y) for y in (y1, y0))
        grey[max(top, 0) : bottom, max(round(x0 * view.x), 0) : round(x1 * view.x)] = 255
    return replace(view, grey=grey)


def differ(one: View, other: View, box: Box) -> bool:
    """Whether two views of one page differ in a box."""
    top, bottom = (int(v) for v in one.rows_at(np.array([box[3], box[1]])))
    left, right = int(box[0] * one.x), int(box[2] * one.x)
    part = np.s_[max(top, 0) : bottom + 1, max(left, 0) : right + 1]
    return bool((one.grey[part] != other.grey[part]).any())


def _wipe(grey: Grey, start: tuple[float, float], end: tuple[float, float], reach: float) -> None:
    """Whiten every pixel whose middle lies within ``reach`` of a line from start to end."""
    (ax, ay), (bx, by) = start, end
    left, right = max(int(min(ax, bx) - reach), 0), int(max(ax, bx) + reach) + 1
    top, bottom = max(int(min(ay, by) - reach), 0), int(max(ay, by) + reach) + 1
    part = grey[top:bottom, left:right]
    x = np.arange(part.shape[1]) + (left + 0.5 - ax)
    y = np.arange(part.shape[0])[:, None] + (top + 0.5 - ay)
    dx, dy = bx - ax, by - ay
    along = np.clip((x * dx + y * dy) / max(dx * dx + dy * dy, 1e-9), 0, 1)
    part[(x - along * dx) ** 2 + (y - along * dy) ** 2 <= reach * reach] = 255


def line_widths(
    view: View,
    pieces: Sequence[tuple[float, float, bool]],
    pitch: float,
    ground: View | None = None,
) -> NDArray[np.float32]:
    """How wide the ink of line pieces is, in points.

    Each piece is the middle of a cell's edge and whether it is upright. Darkness is summed across
    the line, a cell's rim to each side, over the middle fifth of the edge; what is dark in the
    ``ground`` already counts for nothing.
    """
    widths = np.zeros(len(pieces), dtype=np.float32)
    aside = NARROW if ground else INSET
    reach, half = max(int(pitch * aside * view.x), 2), max(int(pitch * 0.1 * view.x), 1)
    for upright in (False, True):
        some = [i for i, piece in enumerate(pieces) if piece[2] is upright]
        if not some:
            continue
        dx, dy = (reach, half) if upright else (half, reach)
        x = np.floor(np.array([pieces[i][0] for i in some]) * view.x).astype(int)
        y = np.floor(view.rows_at(np.array([pieces[i][1] for i in some]))).astype(int)
        columns = np.clip(x[:, None] + np.arange(-dx, dx + 1), 0, view.grey.shape[1] - 1)
        rows = np.clip(y[:, None] + np.arange(-dy, dy + 1), 0, view.grey.shape[0] - 1)
        at = (rows[:, :, None], columns[:, None, :])
        dark = _share(view.grey[at])
        if ground:
            under = _share(ground.grey[at])
            # black ground is compared as it is: two painters part it differently between pixels
            dark = (dark - under) / np.where(under < 0.8, 1 - under, 1)
        widths[some] = dark.sum(axis=2 if upright else 1).mean(axis=1) / view.x
    return widths


def _share(grey: Grey) -> NDArray[np.float64]:
    """How much ink pixels have, 1 for black; pale fills have none."""
    share: NDArray[np.float64] = np.clip(255.0 - PALE - grey, 0, None) / (255.0 - PALE)
    return share


def rim_ink(view: View, margin: float) -> list[tuple[float, float]]:
    """Where there is ink nearer than ``margin`` (points) to the paper's edge: one place a side."""
    high, wide = view.grey.shape
    rim = int(margin * view.x)
    found = []
    for top, bottom, left, right in (
        (0, high, 0, rim),
        (0, high, wide - rim, wide),
        (0, rim, 0, wide),
        (high - rim, high, 0, wide),
    ):
        dark = view.grey[top:bottom, left:right] < 255 - DUST
        if dark.any():
            row, column = np.unravel_index(int(dark.argmax()), dark.shape)
            found.append(((column + left) / view.x, (high - row - top) / view.y))
    return found


def inked(view: View, box: Box, spans: Sequence[tuple[float, float]]) -> Truth:
    """For each span (from x to x) of a line of text, whether anything is inked in it.

    What counts is a step in grey between neighbours, so white type on a dark ground is seen too.
    """
    top, bottom = view.rows_at(np.array([box[3], box[1]]))
    band = view.grey[max(int(top), 0) : int(np.ceil(bottom))].astype(np.int16)
    step = np.asarray((np.abs(np.diff(band, axis=1)) > STEP).any(axis=0))
    total = np.concatenate([[0], step.cumsum()])
    x0, x1 = np.array(spans, dtype=np.float64).T * view.x
    left = np.clip(np.floor(x0), 0, len(step)).astype(int)
    right = np.clip(np.ceil(x1), 0, len(step)).astype(int)
    result: Truth = total[right] > total[left]
    return result


def ground(view: View, box: Box) -> float:
    """The grey (0 to 1) of what lies under and round the type in a box: its median pixel."""
    x0, y0, x1, y1 = box
    top, bottom = (int(v) for v in view.rows_at(np.array([y1, y0])))
    part = view.grey[max(top, 0) : bottom + 1, max(int(x0 * view.x), 0) : int(x1 * view.x) + 1]
    return float(np.median(part)) / 255 if part.size else 1.0
