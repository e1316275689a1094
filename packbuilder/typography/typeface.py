"""Type faces: how wide a text is, which pairs are kerned, which letters a face has."""

from __future__ import annotations

from functools import cache, lru_cache

from reportlab.pdfbase.ttfonts import TTFont

from packbuilder.typography.fonts import font_file
from packbuilder.typography.kerning import kerns

_UPRIGHT = {"It": "Regular", "LightIt": "Light", "SemiboldIt": "Semibold", "BoldIt": "Bold"}


class Typeface:
    """One face. Units are thousandths of the type size, which both families use."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.font = TTFont(name, str(font_file(name)), asciiReadable=False)
        self._glyphs: dict[int, int] = self.font.face.charToGlyph
        self._widths: dict[int, int] = self.font.face.charWidths
        self._default: int = self.font.face.defaultWidth

    def units(self, text: str) -> float:
        """The width of a text, kerned, in thousandths of the type size."""
        plain = sum(self._widths.get(ord(letter), self._default) for letter in text)
        return plain + sum(kerns(text, self.name))

    def lacks(self, text: str) -> str | None:
        """The first letter of the text that the face has no glyph for, or None."""
        return next((letter for letter in text if ord(letter) not in self._glyphs), None)


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
