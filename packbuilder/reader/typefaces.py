"""Type: how a glyph of a face measures, by the face's own file."""

from __future__ import annotations

from functools import cache

from packbuilder.errors import InputError
from packbuilder.reader.marks import Box, Glyph
from packbuilder.typography.fonts import font_file

CLUE_FACE, LARGE_CLUE_FACE = "SourceSansPro-Semibold", "SourceSansPro-Bold"
LIGHT = "SourceSansPro-Light"
SOLVED_FACES = frozenset({LIGHT, "SourceSansPro-Regular", "SourceSansPro-Bold"})
"""Faces of digits that are no clues; bold ones stand on tiles, in white."""


def is_clue(glyph: Glyph) -> bool:
    """Whether a digit is set as clues are: in large print they are bold."""
    white = glyph.colour is not None and min(glyph.colour) > 0.9
    return glyph.face == CLUE_FACE or (glyph.face == LARGE_CLUE_FACE and not white)


_EM = 1000
_PLAIN = (0.05, 0.0, 0.45, 0.65)
"""The ink of a digit of an unknown face, in ems: only so that its place can be told."""


@cache
def is_house_face(face: str) -> bool:
    """Whether a face is one of the font packages'."""
    try:
        font_file(face)
    except InputError:
        return False
    return True


@cache
def ink_box(face: str, text: str) -> Box:
    """Left, bottom, right, top of a glyph's ink in ems from its origin, y upwards."""
    from PIL import ImageFont

    if not is_house_face(face):
        return _PLAIN
    font = ImageFont.truetype(str(font_file(face)), _EM, layout_engine=ImageFont.Layout.BASIC)
    left, top, right, bottom = font.getbbox(text, anchor="ls")
    return left / _EM, -bottom / _EM, right / _EM, -top / _EM


def ink_of(glyph: Glyph) -> Box:
    """Left, bottom, right, top of a printed glyph's ink in points on the page."""
    if glyph.turned:
        return glyph.x0, glyph.y0, glyph.x1, glyph.y1
    left, bottom, right, top = ink_box(glyph.face, glyph.text)
    s = glyph.size
    return glyph.x + left * s, glyph.y + bottom * s, glyph.x + right * s, glyph.y + top * s
