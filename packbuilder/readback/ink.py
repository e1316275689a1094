"""The second eye: does the ink of each cell look like the digit that must stand there?

Text can lie: a digit may be white, invisible, covered by a box, or drawn with another glyph than
its code says. So each page is drawn to grey pixels, every cell is cut out (without its rim), and
what is in it is held against glyphs drawn by another library from the face's own file.

The grid's lines come from the first eye; where a digit stands in its cell, the ink alone says.
Likeness is the normalised correlation (cosine) of the pixels, each softened with its neighbours,
0 to 1, best over shifts of one pixel. Measured over 20,000 digits of this type in seven layouts,
at 16 pixels to the em and more: likeness 0.92 and above, amount of ink 0.86 to 1.22 of its due.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.readback.view import SEEN, Ink, bare
from packbuilder.typography.fonts import font_file

EM_PIXELS = 16.0
"""A page is drawn so that its smallest digit has so many pixels to the em."""
DPI = (110.0, 250.0)
"""But never coarser or finer than this."""
ALIKE = 0.88
"""Likeness below which ink is not taken for the glyph."""
SURE = 0.98
"""Likeness from which ink is the character wanted, whatever else it is like."""
FAINT = 0.75
"""Least share of the ink that a glyph of its colour would have."""
BEYOND = 0.02
"""Most of the ink that may lie beyond the glyph: of a clean one none does."""
HALO = 3.0
"""Darkness of a twice softened glyph from which a pixel counts as the glyph's: two pixels round."""
MARGIN = 2
"""Pixels round a glyph in its window."""


class Want(NamedTuple):
    """What must be seen: a character, its face and size in points, and how dark (1 is black).

    ``value`` is the character's place among those that there may be, from 1: a digit's value.
    """

    value: int
    face: str
    size: float
    dark: float = 1.0


class Look(NamedTuple):
    """What was seen. ``value`` is what the ink looks most like, None for bare paper.

    ``likeness`` is to the character wanted; ``share`` its amount of ink, 1 for what is due;
    ``beyond`` the share of it that lies beyond that glyph; ``x y`` the middle of the ink from the
    middle of the place looked at, in points, y upwards.
    """

    value: int | None
    likeness: float
    share: float
    beyond: float = 0.0
    x: float = 0.0
    y: float = 0.0


def dpi_for(sizes: Iterable[float]) -> float:
    """The resolution at which the smallest of these sizes (points) can be told."""
    smallest = min(sizes, default=EM_PIXELS)
    return min(max(EM_PIXELS * 72 / smallest, DPI[0]), DPI[1])


def look(ink: Ink, wants: Sequence[Want], scale: float, letters: str) -> list[Look]:
    """Read each crop (see ``view.cut``) and compare it with what is wanted there.

    ``scale`` is in pixels to a point; ``letters`` are the characters that there may be.
    """
    looks: list[Look] = [Look(None, 0.0, 0.0)] * len(wants)
    kinds: dict[tuple[str, float], list[int]] = {}
    for i, want in enumerate(wants):
        kinds.setdefault((want.face, round(want.size * scale, 1)), []).append(i)
    for (face, pixels), rows in kinds.items():
        stamps = templates(face, pixels, letters)
        found = _compare(ink[rows], stamps, [wants[i] for i in rows], 1 / scale)
        for i, one in zip(rows, found, strict=True):
            looks[i] = one
    return looks


@cache
def templates(face: str, pixels: float, letters: str) -> Ink:
    """The glyphs of some characters, (count, height, width), each in the corner of its window,
    MARGIN pixels in."""
    from PIL import Image, ImageDraw, ImageFont

    basic = ImageFont.Layout.BASIC
    font = ImageFont.truetype(str(font_file(face)), pixels, layout_engine=basic)
    side = int(pixels * 1.4) + 8
    glyphs = []
    for symbol in letters:
        picture = Image.new("L", (side, side))
        ImageDraw.Draw(picture).text((4, side - 4 - int(pixels * 0.3)), symbol, 255, font, "ls")
        glyphs.append(np.asarray(picture, dtype=np.float32))
    boxes = [_extent(g[None])[0] for g in glyphs]
    height = max(b[2] for b in boxes) + 2 * MARGIN
    width = max(b[3] for b in boxes) + 2 * MARGIN
    stamps = np.zeros((len(letters), height, width), dtype=np.float32)
    for stamp, glyph, (top, left, _, _) in zip(stamps, glyphs, boxes, strict=True):
        part = glyph[max(top - MARGIN, 0) :, max(left - MARGIN, 0) :][:height, :width]
        stamp[: part.shape[0], : part.shape[1]] = part
    return stamps


def _extent(ink: Ink) -> NDArray[np.intp]:
    """Top, left, height, width of what is inked in each crop; zeros where nothing is."""
    seen: NDArray[np.bool_] = np.asarray(ink >= SEEN)
    rows: NDArray[np.bool_] = np.asarray(seen.any(axis=2))
    columns: NDArray[np.bool_] = np.asarray(seen.any(axis=1))
    top, left = rows.argmax(axis=1), columns.argmax(axis=1)
    height = ink.shape[1] - rows[:, ::-1].argmax(axis=1) - top
    width = ink.shape[2] - columns[:, ::-1].argmax(axis=1) - left
    extent: NDArray[np.intp] = np.stack([top, left, height, width], axis=1)
    extent[~np.asarray(rows.any(axis=1))] = 0
    return extent


def _soft(ink: Ink) -> Ink:
    """Each pixel with a share of its neighbours': thin strokes then match half a pixel apart."""
    for axis in (1, 2):
        ink = 0.5 * ink + 0.25 * (np.roll(ink, 1, axis) + np.roll(ink, -1, axis))
    return ink


def _compare(ink: Ink, stamps: Ink, wants: Sequence[Want], point: float) -> list[Look]:
    """Hold each crop against every glyph. ``point`` is the size of a pixel in points."""
    _, tall, wide = ink.shape
    extent, amount, empty = _extent(ink), ink.sum(axis=(1, 2)), bare(ink)
    window = _windows(ink, extent, stamps.shape[1], stamps.shape[2])
    alike, shift = _alikeness(window, stamps, np.pad(ink, ((0, 0), (1, 1), (1, 1))))
    due, halo = stamps.sum(axis=(1, 2)), _soft(_soft(stamps)) > HALO
    looks = []
    for i, want in enumerate(wants):
        if empty[i]:
            looks.append(Look(None, 0.0, 0.0))
            continue
        own = want.value - 1
        (top, left, high, across), (dy, dx) = (
            (int(v) for v in extent[i]),
            divmod(int(shift[i, own]), 3),
        )
        part = window[i, dy : dy + halo.shape[1], dx : dx + halo.shape[2]]
        looks.append(
            Look(
                value=int(alike[i].argmax()) + 1,
                likeness=float(alike[i, own]),
                share=float(amount[i] / (due[own] * want.dark)),
                beyond=1 - float(part[halo[own]].sum() / amount[i]),
                x=(left + across / 2 - wide / 2) * point,
                y=(tall / 2 - top - high / 2) * point,
            )
        )
    return looks


def _windows(ink: Ink, extent: NDArray[np.intp], height: int, width: int) -> Ink:
    """Where a glyph's window would lie on each crop, its ink in the corner, a pixel more round."""
    pad = 2 * MARGIN
    padded = np.pad(ink, ((0, 0), (pad, height), (pad, width)))
    rows = extent[:, 0, None] + np.arange(height + 2) + pad - MARGIN - 1
    columns = extent[:, 1, None] + np.arange(width + 2) + pad - MARGIN - 1
    each = np.arange(len(ink))[:, None, None]
    window: Ink = padded[each, rows[:, :, None], columns[:, None, :]]
    return window


def _alikeness(window: Ink, stamps: Ink, whole: Ink) -> tuple[Ink, NDArray[np.intp]]:
    """(n, glyphs) likenesses, and for each the best of nine shifts. ``whole`` are the crops, whose
    ink beyond the window makes them less alike."""
    (glyphs, height, width), count = stamps.shape, len(window)
    flat, soft = _soft(stamps).reshape(glyphs, -1), _soft(window)
    total = np.linalg.norm(_soft(whole).reshape(count, -1), axis=1)
    norm = np.maximum(np.linalg.norm(flat, axis=1)[None] * total[:, None], 1e-6)
    shifts = [
        soft[:, dy : dy + height, dx : dx + width].reshape(count, -1) @ flat.T / norm
        for dy in range(3)
        for dx in range(3)
    ]
    scores = np.stack(shifts)
    best: Ink = scores.max(axis=0)
    return best, scores.argmax(axis=0)
