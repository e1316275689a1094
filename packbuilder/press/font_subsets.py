"""Type case: the fonts of one file, each letter given its code as it is first used.

reportlab cuts the subsets and writes the font objects; they are handed to the file as they are.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from reportlab import rl_config
from reportlab.pdfbase import pdfdoc
from reportlab.pdfbase.ttfonts import TTFont

from packbuilder.press.pdf_file import PdfFile
from packbuilder.typography.fonts import font_file
from packbuilder.typography.typeface import typeface

_SETTINGS = {"invariant": 1, "useA85": 0, "wrapA85": 0, "pdfMultiLine": 0, "pdfComments": 0}
"""What of reportlab's configuration reaches a font: it may come from a user's environment."""


class TypeCase:
    """The fonts of a file."""

    def __init__(self) -> None:
        with _settled():
            self._document = pdfdoc.PDFDocument(compression=1, invariant=1)
        self._coded: dict[tuple[str, str], list[tuple[str, bytes]]] = {}

    def codes(self, text: str, face: str) -> list[tuple[str, bytes]]:
        """The text in runs, each with its font's resource name and its codes in that font."""
        known = self._coded.get((text, face))
        if known is None:
            document, font = self._document, typeface(face).font
            known = self._coded[text, face] = [
                (font.getSubsetInternalName(subset, document), codes)
                for subset, codes in font.splitString(text, document)
            ]
        return known

    def write(self, file: PdfFile) -> str:
        """Put the fonts into the file; gives the entries of a font resource dictionary."""
        with _settled():
            return _written(self._document, file)


def form_font(face: str, file: PdfFile) -> int:
    """A font with all of ASCII at its own codes, for text that a reader types; gives its number."""
    with _settled():
        document = pdfdoc.PDFDocument(compression=1, invariant=1)
        font = TTFont(f"packbuilder-form-{face}", str(font_file(face)), asciiReadable=True)
        font.getSubsetInternalName(font.splitString("0", document)[0][0], document)
        entries = _written(document, file, subset=b"PACKFN", encoding=b"/WinAnsiEncoding")
    return int(entries.split()[1])


def _written(
    document: pdfdoc.PDFDocument, file: PdfFile, subset: bytes = b"", encoding: bytes = b""
) -> str:
    names = document.idToObject[pdfdoc.BasicFonts].dict
    before = document.objectcounter
    document.objectcounter = start = file.reserve() - 1  # reportlab counts on from our numbers
    for font in document.delayedFonts:
        font.addObjects(document)
    number = start + 1
    while number in document.numberToId:  # formatting an object may bring new ones
        body = pdfdoc.format(document.idToObject[document.numberToId[number]], document, toplevel=1)
        if subset:
            body = body.replace(b"/AAAAAA+", b"/" + subset + b"+")
        if encoding and b"/Subtype /TrueType" in body:
            body = body.replace(b"/Subtype /TrueType", b"/Subtype /TrueType /Encoding " + encoding)
        if encoding:  # codes have their usual meaning: no symbols (ISO 32000-1, 9.6.6.4)
            body = body.replace(b"/Flags 4 ", b"/Flags 32 ")
        _put(file, number, body)
        number += 1
    assert before <= start
    places = document.idToObjectNumberAndVersion
    return " ".join(f"/{name} {places[name][0]} 0 R" for name in names)


def _put(file: PdfFile, number: int, body: bytes) -> None:
    while number > file.count:
        file.reserve()
    if body.endswith(b"endstream\n"):  # the end of a line stands before the word, not after it
        file.put(number, body.removesuffix(b"endstream\n") + b"\nendstream")
    else:
        file.put(number, body.decode("latin-1").strip())


@contextlib.contextmanager
def _settled() -> Iterator[None]:
    """reportlab set as we need it, and set back at the end."""
    before = {name: getattr(rl_config, name) for name in _SETTINGS}
    try:
        for name, value in _SETTINGS.items():
            setattr(rl_config, name, value)
        yield
    finally:
        for name, value in before.items():
            setattr(rl_config, name, value)
