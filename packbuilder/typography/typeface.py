"""Type faces: how wide a text is, which pairs are kerned, which letters a face has."""

from __future__ import annotations

from functools import cache, cached_property, lru_cache
from typing import TYPE_CHECKING

from packbuilder.typography.fonts import PACKAGES, font_file
from packbuilder.typography.kerning import kerns
from packbuilder.typography.shaping import font_of

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

_UPRIGHT = {"It": "Regular", "LightIt": "Light", "SemiboldIt": "Semibold", "BoldIt": "Bold"}
_FIRM = "\u00a0"  # a blank at which no line ends: the press sets it as any other


class Typeface:
    """One face. Units are thousandths of the type size, which both families use."""

    def __init__(self, name: str) -> None:
        self.name = name
        self._font = font_of(name)
        self._widths: dict[str, int] = {}

    @cached_property
    def font(self) -> TTFont:
        """The face as the press takes it: slow to load, and not needed to measure."""
        from reportlab.pdfbase.ttfonts import TTFont

        return TTFont(self.name, str(font_file(self.name)), asciiReadable=False)

    def units(self, text: str) -> float:
        """The width of a text, kerned, in thousandths of the type size."""
        return sum(map(self._width, text)) + sum(kerns(text, self.name))

    def _width(self, letter: str) -> int:
        known = self._widths.get(letter)
        if known is None:
            glyph = self._font.get_nominal_glyph(ord(letter if letter != _FIRM else " "))
            known = self._widths[letter] = self._font.get_glyph_h_advance(glyph or 0)
        return known

    def lacks(self, text: str) -> str | None:
        """The first letter of the text that the face has no glyph for, or None."""
        has = self._font.get_nominal_glyph
        return next((letter for letter in text if has(ord(letter)) is None), None)


@cache
def typeface(name: str) -> Typeface:
    """The face of that name, read once."""
    return Typeface(name)


@lru_cache(maxsize=20_000)
def _units(text: str, face: str) -> float:
    return typeface(face).units(text)


def width(text: str, face: str, size: float) -> float:
    """The width of a text in points."""
    return _units(text, face) * size / 1000


@lru_cache(maxsize=20_000)
def face_for(text: str, face: str) -> str:
    """The face itself, or its upright where only the upright has the text's letters.

    The italics of both families are Latin only, while their uprights have Greek and Cyrillic.
    """
    if typeface(face).lacks(text) is None:
        return face
    family, _, style = face.partition("-")
    upright = _UPRIGHT.get(style)
    return f"{family}-{upright}" if upright else face


def lacking(text: str) -> tuple[str, ...]:
    """The letters of a text that print cannot set, each once: no glyph in one of the families.

    The few signs beyond the first plane (🅪, 🅫) are not read back alike by all, and are refused.
    Blanks and line breaks need no glyph. Italics have fewer letters than their uprights, which
    stand in for them.
    """
    if text.isascii() and text.replace("\n", " ").isprintable():
        return ()
    uprights = [typeface(f"{family}-Regular") for family in PACKAGES]
    lost = (
        c
        for c in text
        if not c.isspace() and (ord(c) > 0xFFFF or any(f.lacks(c) for f in uprights))
    )
    return tuple(dict.fromkeys(lost))
