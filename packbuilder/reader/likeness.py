"""Likeness: does ink look like the character that its text says?

Text can lie: a digit may be white, invisible, covered by a box, or drawn with another glyph than
its code says. So the ink of the text alone (`text_ink`) is held against glyphs drawn by another
library from the face's own file. Likeness is the normalised correlation (cosine) of the pixels,
each softened with its neighbours, 0 to 1, best over shifts of one pixel. Measured over 20,000
digits of this type in seven layouts, at 16 pixels to the em and more: likeness 0.92 to 1, of light
digits, whose strokes may fall between pixels, 0.879 to 1; amount of ink 0.86 to 1.22 of its due.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.typography.fonts import font_file

EM_PIXELS = 16.0
"""A page is drawn so that its smallest digit has so many pixels to the em."""
DPI = (110.0, 250.0)
"""But never coarser or finer than this."""
ALIKE, LIGHT_ALIKE = 0.88, 0.85
"""Likeness below which ink is not taken for the glyph, and that of the face of solved digits."""
SURE = 0.98
"""Likeness from which ink is the character wanted, whatever else it is like."""
FAINT = 0.75
"""Least share of the ink that a glyph of its colour would have."""
MARGIN = 2
"""Pixels round a glyph in its window."""
SEEN = 55.0
"""Ink (0 to 255) from which a pixel counts as inked."""

Ink = NDArray[np.float32]


class Look(NamedTuple):
    """What ink looks like. ``value`` is the character that it looks most like, "" for bare paper.

    ``likeness`` is to the character wanted; ``share`` its amount of ink, 1 for what is due.
    """

    value: str
    likeness: float
    share: float


BARE = Look("", 0.0, 0.0)


class Judge:
    """Looks at ink, and remembers: most crops of a book are equal to others, pixel by pixel."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, float, str, str, bytes], Look] = {}

    def look(
        self, ink: Ink, face: str, pixels: float, wanted: Sequence[tuple[str, str]]
    ) -> list[Look]:
        """Compare crops of ink (n, height, width; 0 to 255) with the characters wanted there.

        ``pixels`` are those to the em; each character is ``wanted`` out of all that there may be.
        """
        keys = [
            (face, pixels, *want, crop.tobytes()) for want, crop in zip(wanted, ink, strict=True)
        ]
        new = {key: k for k, key in enumerate(keys) if key not in self._known}
        for letters in {key[3] for key in new}:
            rows = [k for key, k in new.items() if key[3] == letters]
            own = [letters.find(wanted[k][0]) for k in rows]
            found = _compare(ink[rows], templates(face, pixels, letters), own, letters)
            self._known |= {keys[k]: one for k, one in zip(rows, found, strict=True)}
        return [self._known[key] for key in keys]


def dpi_for(sizes: Iterable[float]) -> float:
    """The resolution at which the smallest of these sizes (points) can be told."""
    smallest = min(sizes, default=EM_PIXELS)
    return min(max(EM_PIXELS * 72 / smallest, DPI[0]), DPI[1])


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


def _compare(ink: Ink, stamps: Ink, wanted: Sequence[int], letters: str) -> list[Look]:
    """Hold each crop against every glyph; ``wanted`` are places in ``letters``."""
    extent, amount = _extent(ink), ink.sum(axis=(1, 2))
    bare = ink.reshape(len(ink), -1).max(axis=1) < SEEN
    window = _windows(ink, extent, stamps.shape[1], stamps.shape[2])
    alike = _alikeness(window, stamps, np.pad(ink, ((0, 0), (1, 1), (1, 1))))
    due = stamps.sum(axis=(1, 2))
    return [
        BARE if bare[i] or own < 0 else Look(
            letters[int(alike[i].argmax())], float(alike[i, own]), float(amount[i] / due[own])
        )
        for i, own in enumerate(wanted)
    ]  # fmt: skip


def _windows(ink: Ink, extent: NDArray[np.intp], height: int, width: int) -> Ink:
    """Where a glyph's window would lie on each crop, its ink in the corner, a pixel more round."""
    pad = 2 * MARGIN
    padded = np.pad(ink, ((0, 0), (pad, height), (pad, width)))
    rows = extent[:, 0, None] + np.arange(height + 2) + pad - MARGIN - 1
    columns = extent[:, 1, None] + np.arange(width + 2) + pad - MARGIN - 1
    each = np.arange(len(ink))[:, None, None]
    window: Ink = padded[each, rows[:, :, None], columns[:, None, :]]
    return window


def _alikeness(window: Ink, stamps: Ink, whole: Ink) -> Ink:
    """(n, glyphs) likenesses, the best of nine shifts. ``whole`` are the crops, whose ink beyond
    the window makes them less alike."""
    (glyphs, height, width), count = stamps.shape, len(window)
    flat, soft = _soft(stamps).reshape(glyphs, -1), _soft(window)
    total = np.linalg.norm(_soft(whole).reshape(count, -1), axis=1)
    norm = np.maximum(np.linalg.norm(flat, axis=1)[None] * total[:, None], 1e-6)
    shifts = [
        soft[:, dy : dy + height, dx : dx + width].reshape(count, -1) @ flat.T / norm
        for dy in range(3)
        for dx in range(3)
    ]
    best: Ink = np.stack(shifts).max(axis=0)
    return best
