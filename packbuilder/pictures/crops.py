"""Crops: pictures for posting, composed of whole pieces of a page on its own ground.

A piece is a box with bare ground all round it: a puzzle with its caption, the title, some
paragraphs. Pieces stand side by side in the middle of the picture, all at one scale, so nothing is
cut through and nothing that stands beside it on the page shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from packbuilder.pictures.page_ink import Box
from packbuilder.pictures.released_pages import ReleasedFile, ReleasedPage
from packbuilder.reader.text import COVER

if TYPE_CHECKING:
    from PIL.Image import Image

MARGIN = 0.06
"""Bare ground along each side of a picture, as a share of its height."""
BETWEEN = 0.08
"""Bare ground between two pieces, as a share of the picture's height."""
WIDE = (16, 9)
"""Width to height of a wide picture."""
PARAGRAPH = 8.0
"""Points: a bare band from which on it parts paragraphs, not lines."""


def whole(file: ReleasedFile, page: ReleasedPage, width: int) -> Image:
    """The whole page, ``width`` pixels wide."""
    picture = file.picture(page.folio, width / page.size[0])
    return picture.crop((0, 0, width, picture.height))


def square(file: ReleasedFile, page: ReleasedPage, width: int) -> Image:
    """Its first puzzle; or the cover; or the upper part of a page of text."""
    pieces = _puzzles(file, page, 1)
    if not pieces:
        box = _text(file, page)
        pieces = [box if page.section == COVER else _upper(file, page, box, 1.0)]
    return _composed(file, page, pieces, (width, width))


def wide(file: ReleasedFile, page: ReleasedPage, width: int) -> Image:
    """Its first two puzzles; or the cover's title beside its picture; or the upper part of text."""
    pieces = _puzzles(file, page, 2)
    if not pieces:
        box = _text(file, page)
        cover = page.section == COVER
        pieces = _halves(file, page, box) if cover else [_upper(file, page, box, WIDE[1] / WIDE[0])]
    return _composed(file, page, pieces, (width, width * WIDE[1] // WIDE[0]))


def _puzzles(file: ReleasedFile, page: ReleasedPage, most: int) -> list[Box]:
    return [file.ink(page.folio).uncut(box) for box in page.puzzles[:most]]


def _text(file: ReleasedFile, page: ReleasedPage) -> Box:
    """All that stands on a page but head and foot; the page itself where it is bare."""
    return file.ink(page.folio).inside(page.text) or (0, 0, *page.size)


def _upper(file: ReleasedFile, page: ReleasedPage, box: Box, most: float) -> Box:
    """The upper part of a box down to a bare band, ``most`` times as high as wide, or a bit less.

    Between paragraphs where that keeps at least half of the room; else between lines.
    """
    left, bottom, right, top = box
    lowest = top - (right - left) * most
    if bottom >= lowest:
        return box
    bands = [band for band in file.ink(page.folio).gaps(box) if band[0] >= lowest]
    broad = [b for b in bands if b[0] - b[1] >= PARAGRAPH and top - b[0] >= (top - lowest) / 2]
    if not bands:  # one piece that is higher: shown whole
        return box
    return left, (broad or bands)[-1][0], right, top


def _halves(file: ReleasedFile, page: ReleasedPage, box: Box) -> list[Box]:
    """A box parted at its broadest bare band, if it is higher than wide."""
    left, bottom, right, top = box
    ink = file.ink(page.folio)
    bands = ink.gaps(box)
    if top - bottom < right - left or not bands:
        return [box]
    upper, lower = max(bands, key=lambda band: band[0] - band[1])
    parts = ((left, upper, right, top), (left, bottom, right, lower))
    return [ink.inside(part) or part for part in parts]


def _composed(
    file: ReleasedFile, page: ReleasedPage, pieces: Sequence[Box], size: tuple[int, int]
) -> Image:
    """Pieces side by side in the middle of a picture, at the largest scale that holds them all."""
    from PIL import Image

    width, height = size
    margin, between = round(MARGIN * height), round(BETWEEN * height)
    across = sum(right - left for left, _, right, _ in pieces)
    down = max(top - bottom for _, bottom, _, top in pieces)
    room = width - 2 * margin - between * (len(pieces) - 1)
    scale = min(room / across, (height - 2 * margin) / down)
    drawn = [file.picture(page.folio, scale, piece) for piece in pieces]
    picture = Image.new("L", size, file.ground)
    x = (width - sum(d.width for d in drawn) - between * (len(drawn) - 1)) // 2
    for one in drawn:
        picture.paste(one, (x, (height - one.height) // 2))
        x += one.width + between
    return picture
