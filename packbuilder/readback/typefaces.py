"""Type: which fonts the file carries, and how a glyph of a face measures."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

from packbuilder.errors import InputError
from packbuilder.readback.document import Glyph, readable
from packbuilder.readback.report import Finding
from packbuilder.typography.fonts import font_file

if TYPE_CHECKING:
    from pypdf import PdfReader

CLUE_FACE = "SourceSansPro-Semibold"
SOLVED_FACES = frozenset({"SourceSansPro-Light", "SourceSansPro-Regular"})

_EM = 1000
_PLAIN = (0.05, 0.0, 0.45, 0.65)
"""The ink of a digit of an unknown face, in ems: only so that its place can be told."""


class Font(NamedTuple):
    """A font that a page refers to: its name, whether the file carries it, and its first page."""

    name: str
    embedded: bool
    page: int | None


@cache
def is_house_face(face: str) -> bool:
    """Whether a face is one of the font packages'."""
    try:
        font_file(face)
    except InputError:
        return False
    return True


@cache
def ink_box(face: str, text: str) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a glyph's ink in ems from its origin, y upwards."""
    from PIL import ImageFont

    if not is_house_face(face):
        return _PLAIN
    font = ImageFont.truetype(str(font_file(face)), _EM, layout_engine=ImageFont.Layout.BASIC)
    left, top, right, bottom = font.getbbox(text, anchor="ls")
    return left / _EM, -bottom / _EM, right / _EM, -top / _EM


def ink_of(glyph: Glyph) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a printed glyph's ink in points on the page."""
    if glyph.turned:
        return glyph.x0, glyph.y0, glyph.x1, glyph.y1
    left, bottom, right, top = ink_box(glyph.face, glyph.text)
    s = glyph.size
    return glyph.x + left * s, glyph.y + bottom * s, glyph.x + right * s, glyph.y + top * s


def fonts_of(reader: PdfReader) -> list[Font]:
    """Every font that pages, forms inside them, annotations or form fields refer to."""
    found: list[Font] = []
    with readable("its fonts"):
        seen: set[tuple[int, int]] = set()
        for number, page in enumerate(reader.pages, start=1):
            roots = [page.get("/Resources"), page.get("/Annots")]
            parent: Any = page.get("/Parent")  # resources may be inherited from the page tree
            while parent is not None:
                node: Any = parent.get_object()
                roots.append(node.get("/Resources"))
                parent = node.get("/Parent")
            found += [f._replace(page=number) for root in roots for f in _walk(root, seen)]
        root: Any = reader.trailer["/Root"]
        found += _walk(root.get("/AcroForm"), seen)
    return found


_SKIP = frozenset({"/Parent", "/P", "/Dest", "/A", "/StructParent", "/StructParents", "/Popup"})


def _walk(root: Any, seen: set[tuple[int, int]]) -> Iterator[Font]:
    """The fonts under an object of the file, each indirect object visited once."""
    from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

    waiting = [root]
    while waiting:
        item = waiting.pop()
        if isinstance(item, IndirectObject):
            key = (item.idnum, item.generation)
            if key in seen:
                continue
            seen.add(key)
            item = item.get_object()
        if isinstance(item, ArrayObject):
            waiting.extend(item)
        elif isinstance(item, DictionaryObject):
            if item.get("/Type") == "/Page":
                continue
            if item.get("/Type") == "/Font":
                yield Font(_name(item), _embedded(item), None)
            waiting.extend(item.raw_get(k) for k in item if k not in _SKIP)


def _name(font: Any) -> str:
    return str(font.get("/BaseFont", font.get("/Name", "?"))).lstrip("/").rpartition("+")[2]


def _embedded(font: Any) -> bool:
    if font.get("/Subtype") == "/Type3":
        return False  # its glyphs are drawings: no face to hold them against
    below = font.get("/DescendantFonts")
    if below is not None:
        return all(_embedded(one.get_object()) for one in below.get_object())
    described = font.get("/FontDescriptor")
    files = ("/FontFile", "/FontFile2", "/FontFile3")
    return described is not None and any(key in described.get_object() for key in files)


def check_fonts(fonts: list[Font]) -> Iterator[Finding]:
    """Each font is carried by the file, and is a face of the house."""
    for font in dict.fromkeys(fonts):
        if not font.embedded:
            yield Finding(
                "font",
                f"the font {font.name} is not embedded: another machine would print it in "
                "another face; set all type in the house's faces",
                font.page,
            )
        elif not is_house_face(font.name):
            yield Finding(
                "font", f"the font {font.name} is no face of the font packages", font.page
            )
