"""Faces: the house's own type, straight from the font files, by HarfBuzz."""

from __future__ import annotations

from functools import cache

import uharfbuzz as hb

from packbuilder.typography.fonts import font_file


class Face:
    """One face. Units are thousandths of the type size, which both families use."""

    def __init__(self, name: str) -> None:
        self.file = font_file(name).read_bytes()
        self._font = hb.Font(hb.Face(hb.Blob(self.file)))

    def glyph(self, letter: str) -> int:
        """The number of a letter's glyph; 0 where there is none."""
        return self._font.get_nominal_glyph(ord(letter)) or 0


@cache
def face(name: str) -> Face:
    """The face of that name, read once. Raises InputError where the house has none."""
    return Face(name)
