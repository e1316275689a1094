"""Faces: the house's own type, straight from the font files, by HarfBuzz."""

from __future__ import annotations

from functools import cache, lru_cache
from itertools import pairwise

import uharfbuzz as hb

from packbuilder.typography.fonts import font_file

_ONLY_KERNING = {
    "kern": True,
    **dict.fromkeys(("calt", "ccmp", "clig", "liga", "locl", "mark", "mkmk", "rlig"), False),
}


class Face:
    """One face. Units are thousandths of the type size, which both families use."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.file = font_file(name).read_bytes()
        self._font = hb.Font(hb.Face(hb.Blob(self.file)))
        self._pairs: dict[tuple[str, str], int] = {}

    def glyph(self, letter: str) -> int:
        """The number of a letter's glyph; 0 where there is none."""
        return self._font.get_nominal_glyph(ord(letter)) or 0

    def pair(self, pair: tuple[str, str]) -> int:
        """What is added to the advance of a letter before another one."""
        if pair not in self._pairs:
            text = hb.Buffer()
            text.add_str("".join(pair))
            text.direction, text.script, text.language = "ltr", "Zyyy", "en"
            text.flags = hb.BufferFlags.PRESERVE_DEFAULT_IGNORABLES
            hb.shape(self._font, text, _ONLY_KERNING)
            plain = self._font.get_glyph_h_advance(text.glyph_infos[0].codepoint)
            self._pairs[pair] = text.glyph_positions[0].x_advance - plain
        return self._pairs[pair]


@cache
def face(name: str) -> Face:
    """The face of that name, read once. Raises InputError where the house has none."""
    return Face(name)


@lru_cache(maxsize=20_000)
def kerning(text: str, name: str) -> tuple[tuple[int, int], ...]:
    """The letters that are kerned, by index, each with what is added to its advance."""
    pairs = face(name).pair
    return tuple((k, units) for k, two in enumerate(pairwise(text)) if (units := pairs(two)))
