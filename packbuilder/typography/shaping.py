"""Shaping: HarfBuzz's view of a face, read once."""

from __future__ import annotations

from functools import cache

import uharfbuzz as hb

from packbuilder.typography.fonts import font_file


@cache
def font_of(face: str) -> hb.Font:
    """The font of a face, in thousandths of the type size."""
    return hb.Font(hb.Face(hb.Blob(font_file(face).read_bytes())))
