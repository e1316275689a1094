"""Kerning: how much closer two letters stand, from a font's own tables, by HarfBuzz."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import uharfbuzz as hb

from packbuilder.typography.shaping import font_of

_ONLY_KERNING = {
    "kern": True,
    **dict.fromkeys(("calt", "ccmp", "clig", "liga", "locl", "mark", "mkmk", "rlig"), False),
}


@lru_cache(maxsize=20_000)
def kerns(text: str, face: str) -> tuple[int, ...]:
    """For each letter but the last, what is added to its advance, in thousandths of the size."""
    return tuple(_pair(two, face) for two in pairwise(text))


@lru_cache(maxsize=20_000)
def _pair(two: tuple[str, str], face: str) -> int:
    text, font = hb.Buffer(), font_of(face)
    text.add_str("".join(two))
    text.direction, text.script, text.language = "ltr", "Zyyy", "en"
    text.flags = hb.BufferFlags.PRESERVE_DEFAULT_IGNORABLES
    hb.shape(font, text, _ONLY_KERNING)
    plain = font.get_glyph_h_advance(text.glyph_infos[0].codepoint)
    return int(text.glyph_positions[0].x_advance - plain)
