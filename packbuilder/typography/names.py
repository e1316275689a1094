"""Names: the letters that a person's name may be set in, their face, and how wide they are."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache

from packbuilder.typography.shaping import font_of

FACE = "SourceSansPro-Regular"

_LAST = 0x2FFF
"""What lies above is no letter of a name that the face has, but ligatures and the like."""


@cache
def advances() -> Mapping[str, int]:
    """The letters, by code point, each with its advance in thousandths of the type size.

    All of ASCII that is printed, and of the face's letters, marks, digits and punctuation those up
    to U+2FFF.
    """
    font, found = font_of(FACE), {}
    for code in sorted(font.face.unicodes):
        kind = unicodedata.category(chr(code))[0]
        if 0x20 <= code < 0x7F or (0x7F < code <= _LAST and kind in "LMNP"):
            found[chr(code)] = font.get_glyph_h_advance(font.get_nominal_glyph(code))
    return found


def strange(name: str) -> str:
    """The first character of a name that cannot be set; "" where all can."""
    return next((letter for letter in name if letter not in advances()), "")


def width(name: str, size: float) -> float:
    """The width of a name in points, set without kerning."""
    known = advances()
    return sum(known[letter] for letter in name) * size / 1000
