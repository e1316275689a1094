"""The contact sheet: every page small, its folio under it; what gives a puzzle away is veiled."""

from __future__ import annotations

from math import ceil, sqrt
from typing import TYPE_CHECKING

from packbuilder.pictures.released_pages import ReleasedFile, ReleasedPage
from packbuilder.typography.fonts import font_file

if TYPE_CHECKING:
    from PIL.Image import Image

RATIO = 1.25
"""About how much wider than high a sheet of pages is."""
GAP = 0.12
"""Between two pages, as a share of a page's width."""
OVERSIZE = 3
"""Pages are drawn so many times as large, and made small then: hairlines keep their weight."""
FOLIO = 0.075
"""Size of a folio, as a share of a page's width; never under LEAST_FOLIO pixels."""
LEAST_FOLIO = 9
FRAME_GREY, FOLIO_GREY, SHEET_GREY = 150, 60, 255
TILES = 16
"""Tiles across a veiled page: each as wide as five letters of its text or more."""
TONES = 12
"""Greys of tiles."""
VEIL_GREY = 205
"""Of a veiled grid, the same for every grid."""


def sheet(file: ReleasedFile, width: int, with_answers: bool) -> Image:
    """All pages on one sheet, ``width`` pixels wide; veiled unless ``with_answers``."""
    from PIL import Image, ImageDraw, ImageFont

    pages = file.pages
    wide, high = pages[0].size
    across = min(len(pages), max(1, round(sqrt(len(pages) * RATIO * high / wide))))
    page = int(width / (across + (across + 1) * GAP))
    gap, tall = round(page * GAP), round(page * high / wide)
    size = max(LEAST_FOLIO, round(page * FOLIO))
    step = tall + gap + round(size * 1.6)
    picture = Image.new("L", (width, gap + ceil(len(pages) / across) * step), SHEET_GREY)
    pen = ImageDraw.Draw(picture)
    font = ImageFont.truetype(str(font_file("SourceSansPro-Regular")), size)
    first = (width - across * page - (across - 1) * gap) // 2
    for k, one in enumerate(pages):
        x, y = first + k % across * (page + gap), gap + k // across * step
        large = file.picture(one.folio, OVERSIZE * page / wide)
        small = large.resize((page, tall), Image.Resampling.BOX)
        if one.spoils and not with_answers:
            small = veiled(small, one, file.ground)
        picture.paste(small, (x, y))
        pen.rectangle((x - 1, y - 1, x + page, y + tall), outline=FRAME_GREY)
        middle = x + page / 2
        pen.text((middle, y + tall + size * 0.3), str(one.folio), FOLIO_GREY, font, anchor="ma")
    return picture


def veiled(picture: Image, page: ReleasedPage, ground: int) -> Image:
    """A page of which nobody reads a digit: its grids are plain grey, and all of it is tiles.

    No grid's picture depends on what stands in it, so there is nothing in it to be recovered.
    """
    from PIL import Image, ImageDraw

    across, down = picture.width / page.size[0], picture.height / page.size[1]
    pen = ImageDraw.Draw(picture)
    for left, bottom, right, top in page.grids:
        x0, x1 = int(left * across) - 2, ceil(right * across) + 2
        y0, y1 = int(picture.height - top * down) - 2, ceil(picture.height - bottom * down) + 2
        pen.rectangle((x0, y0, x1, y1), fill=VEIL_GREY if ground > 127 else 255 - VEIL_GREY)
    tiles = (TILES, round(TILES * picture.height / picture.width))
    coarse = picture.resize(tiles, Image.Resampling.BOX)
    coarse = coarse.point([round(round(grey / 255 * TONES) / TONES * 255) for grey in range(256)])
    return coarse.resize(picture.size, Image.Resampling.NEAREST)
