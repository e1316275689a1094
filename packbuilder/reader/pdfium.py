"""The file through pdfium: the marks of its pages, and their pixels with and without the text.

Its page objects are what a viewer paints, with every matrix and state applied. Taking the text away
and painting again shows what lies under it: the difference is the ink of the text alone, whatever
is drawn beneath.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from ctypes import byref, c_double, c_float, c_int, c_uint
from functools import partial
from math import hypot, sqrt
from typing import Any, NamedTuple

import numpy as np
import pypdfium2.raw as pdfium
from numpy.typing import NDArray

from packbuilder.errors import InputError
from packbuilder.reader.curves import track
from packbuilder.reader.file import MAX_PAGES, readable
from packbuilder.reader.marks import Box, Brush, Colour, Drawing, Glyph, PageMarks, Point, Track
from packbuilder.reader.navigation import Link, links
from packbuilder.reader.spoken import Spoken, spoken

MAX_MARKS = 100_000
"""Glyphs, or painted objects and the points of their paths, on one page; a full page of small type
has about 6,000."""

DEEPEST = 8
"""Forms within forms that are still looked into; a file of the house has one, its stamp."""

MAX_PIXELS = 30_000_000
"""Of a page as it is looked at: twice what the finest look at the largest sheet takes."""

AFRESH = 32
"""The file is opened again after so many pages: pdfium keeps each object that it has once read."""

_HYPHEN = "\x02"  # pdfium's sign for a hyphen at the end of a line

Grey = NDArray[np.uint8]
Matrix = tuple[float, float, float, float, float, float]
_AS_IT_IS: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class Pixels(NamedTuple):
    """A page as grey pixels, rows from the top, 0 black to 255 white: whole, and without its text.

    ``x`` and ``y`` are the pixels to a point across and up; they differ a little, since a page is a
    whole number of pixels.
    """

    whole: Grey
    ground: Grey
    x: float
    y: float


class File:
    """An open file. Raises InputError wherever it is too damaged to be read, and where it is
    encrypted and ``password`` does not open it."""

    def __init__(self, data: bytes, password: str | None = None) -> None:
        import pypdfium2

        with readable("its structure"):
            try:
                self._open = partial(pypdfium2.PdfDocument, data, password=password)
                self._pdf: Any = self._open()
            except pypdfium2.PdfiumError as fault:
                if fault.err_code == pdfium.FPDF_ERR_PASSWORD and b"/Encrypt" in data:
                    words = "is encrypted; read back the file as it was built"
                    if password is not None:
                        words = "does not open with that password"
                    raise InputError(f"the PDF {words}") from fault
                raise
            self.count: int = len(self._pdf)
            if not self.count:
                raise InputError("the PDF has no pages; build it again")
            if self.count > MAX_PAGES:
                raise InputError(f"the PDF has {self.count} pages; {MAX_PAGES} can be read")
        self._read = 0

    def __enter__(self) -> File:
        return self

    def __exit__(self, *_: object) -> None:
        self._pdf.close()

    def page(self, number: int) -> Page:
        """Page ``number``, from 1. One page is open at a time."""
        self._read += 1
        if self._read % AFRESH == 0:
            self._pdf.close()
            self._pdf = self._open()
        with readable(f"page {number}"):
            return Page(self, self._pdf[number - 1], number)

    @property
    def raw(self) -> Any:
        """pdfium's own handle."""
        return self._pdf.raw


class Page:
    """One open page of a file; to be closed."""

    def __init__(self, file: File, page: Any, number: int) -> None:
        self._file, self._page, self._number = file, page, number
        self.width, self.height = (float(v) for v in page.get_size())

    def __enter__(self) -> Page:
        return self

    def __exit__(self, *_: object) -> None:
        self._page.close()

    def marks(self) -> PageMarks:
        """All that stands on it. Raises InputError where that is too much for a page of puzzles."""
        with readable(f"page {self._number}"):
            drawings = tuple(_Drawings(self._page.raw, self._number))
            glyphs = tuple(self._glyphs())
        return PageMarks(self._number, self.width, self.height, glyphs, drawings, self._number)

    def spoken(self) -> Spoken:
        """What a screen reader is told of its tables."""
        with readable(f"page {self._number}"):
            return spoken(self._page.raw)

    def links(self) -> list[Link]:
        """Its links, in their order."""
        with readable(f"page {self._number}"):
            return list(links(self._file.raw, self._page.raw))

    def pixels(self, dpi: float) -> Pixels:
        """It at about ``dpi``. Its text is gone afterwards, so this comes last."""
        with readable(f"page {self._number}"):
            whole = self._grey(dpi)
            for one in _objects(self._page.raw):
                if pdfium.FPDFPageObj_GetType(one) == pdfium.FPDF_PAGEOBJ_TEXT:
                    pdfium.FPDFPageObj_SetIsActive(one, False)
            ground = self._grey(dpi)
        return Pixels(whole, ground, whole.shape[1] / self.width, whole.shape[0] / self.height)

    def _grey(self, dpi: float) -> Grey:
        if self.width * self.height * (dpi / 72) ** 2 > MAX_PIXELS:
            size = f"{self.width:.0f} x {self.height:.0f} points"
            raise InputError(f"page {self._number} has {size}; no page of a pack is so large")
        picture = self._page.render(scale=dpi / 72, grayscale=True).to_numpy()
        grey: Grey = picture.reshape(picture.shape[:2]).copy()
        return grey

    def _glyphs(self) -> Iterator[Glyph]:
        text = self._page.get_textpage()
        try:
            count = pdfium.FPDFText_CountChars(text.raw)
            if count > MAX_MARKS:
                raise _too_much(self._number)
            looks: dict[int, _Look] = {}
            x, y, box = c_double(), c_double(), pdfium.FS_RECTF()
            for i in range(count):
                if pdfium.FPDFText_IsGenerated(text.raw, i):
                    continue  # a blank that pdfium supposes between words
                one = pdfium.FPDFText_GetTextObject(text.raw, i)
                key = ctypes.addressof(one.contents)
                look = looks.get(key)
                if look is None:
                    look = looks[key] = _look(one)
                pdfium.FPDFText_GetCharOrigin(text.raw, i, byref(x), byref(y))
                pdfium.FPDFText_GetLooseCharBox(text.raw, i, byref(box))
                letter = chr(pdfium.FPDFText_GetUnicode(text.raw, i))
                yield Glyph(
                    "-" if letter == _HYPHEN else letter,
                    look.face, look.size, box.left, box.bottom, box.right, box.top,
                    x.value, y.value, look.turned, look.colour, look.mode, look.tag,
                    look.on_its_head,
                )  # fmt: skip
        finally:
            text.close()


def _too_much(number: int) -> InputError:
    return InputError(f"page {number} holds too many marks to be a page of puzzles")


def _objects(page: Any) -> Iterator[Any]:
    return (pdfium.FPDFPage_GetObject(page, k) for k in range(pdfium.FPDFPage_CountObjects(page)))


# --- text ----------------------------------------------------------------------------------------


class _Look(NamedTuple):
    """What all glyphs of one text object share."""

    face: str
    size: float
    turned: bool
    colour: Colour | None
    mode: int
    tag: int
    on_its_head: bool


def _look(one: Any) -> _Look:
    size = c_float()
    pdfium.FPDFTextObj_GetFontSize(one, byref(size))
    a, b, c, d, _, _ = _matrix(one)
    even = abs(b) + abs(c) < 0.01 * abs(a + d) and abs(a - d) <= 0.02 * abs(d) and size.value >= 0
    turned = not (even and a > 0 and d > 0)
    return _Look(
        _face(pdfium.FPDFTextObj_GetFont(one)),
        hypot(c, d) * abs(size.value),
        turned,
        _colour(one, pdfium.FPDFPageObj_GetFillColor),
        pdfium.FPDFTextObj_GetTextRenderMode(one),
        pdfium.FPDFPageObj_GetMarkedContentID(one),
        even and a < 0 and d < 0,
    )


def _face(font: Any) -> str:
    """The face's name without the mark of a subset."""
    length = pdfium.FPDFFont_GetBaseFontName(font, None, 0)
    name = ctypes.create_string_buffer(length)
    pdfium.FPDFFont_GetBaseFontName(font, name, length)
    return name.value.decode("utf-8", "replace").rpartition("+")[2]


def _colour(one: Any, ask: Any) -> Colour | None:
    """A plain colour; None for one that lets through what is under it, and where there is none."""
    parts = [c_uint() for _ in range(4)]
    if not ask(one, *map(byref, parts)) or parts[3].value != 255:
        return None
    red, green, blue = (part.value / 255 for part in parts[:3])
    return red, green, blue


def _matrix(one: Any) -> Matrix:
    found = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(one, byref(found))
    return found.a, found.b, found.c, found.d, found.e, found.f


# --- drawings ------------------------------------------------------------------------------------


class _Drawings:
    """The drawings of a page, in the order of painting."""

    def __init__(self, page: Any, number: int) -> None:
        self._page, self._number, self._marks = page, number, 0

    def __iter__(self) -> Iterator[Drawing]:
        for one in _objects(self._page):
            yield from self._drawn(one, _AS_IT_IS, 0)

    def _drawn(self, one: Any, outer: Matrix, depth: int) -> Iterator[Drawing]:
        kind = pdfium.FPDFPageObj_GetType(one)
        self._count(1)
        if kind == pdfium.FPDF_PAGEOBJ_PATH:
            yield self._path(one, _times(_matrix(one), outer))
        elif kind == pdfium.FPDF_PAGEOBJ_FORM and depth < DEEPEST:
            inner = _times(_matrix(one), outer)
            for k in range(pdfium.FPDFFormObj_CountObjects(one)):
                yield from self._drawn(pdfium.FPDFFormObj_GetObject(one, k), inner, depth + 1)
        elif kind != pdfium.FPDF_PAGEOBJ_TEXT:
            yield _image(one)

    def _count(self, some: int) -> None:
        self._marks += some
        if self._marks > MAX_MARKS:
            raise _too_much(self._number)

    def _path(self, one: Any, matrix: Matrix) -> Drawing:
        count = pdfium.FPDFPath_CountSegments(one)
        self._count(count)
        mode, stroked = c_int(), c_int()
        pdfium.FPDFPath_GetDrawMode(one, byref(mode), byref(stroked))
        tracks = tuple(_tracks(one, count, matrix))
        fill = _colour(one, pdfium.FPDFPageObj_GetFillColor) if mode.value else None
        brush = _brush(one, matrix) if stroked.value else None
        return Drawing(tracks, brush, bool(mode.value), fill)


def _times(inner: Matrix, outer: Matrix) -> Matrix:
    """One matrix after another."""
    if outer == _AS_IT_IS:
        return inner
    a, b, c, d, e, f = inner
    p, q, r, s, t, u = outer
    x, y = e * p + f * r + t, e * q + f * s + u
    return a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, x, y


def _tracks(one: Any, count: int, matrix: Matrix) -> Iterator[Track]:
    """The subpaths of a path, in page coordinates."""
    a, b, c, d, e, f = matrix
    x, y = c_float(), c_float()
    points: list[Point] = []
    curves: list[int] = []  # where points are the controls and the end of a curve: their first
    closed = False
    for k in range(count):
        segment = pdfium.FPDFPath_GetPathSegment(one, k)
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_MOVETO and points:
            yield track(points, curves, closed=closed)
            points, curves = [], []
        if kind == pdfium.FPDF_SEGMENT_BEZIERTO and (not curves or len(points) >= curves[-1] + 3):
            curves.append(len(points))
        pdfium.FPDFPathSegment_GetPoint(segment, byref(x), byref(y))
        points.append((a * x.value + c * y.value + e, b * x.value + d * y.value + f))
        closed = bool(pdfium.FPDFPathSegment_GetClose(segment))
    if points:
        yield track(points, curves, closed=closed)


def _brush(one: Any, matrix: Matrix) -> Brush:
    scale = sqrt(abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]))
    width, phase = c_float(), c_float()
    pdfium.FPDFPageObj_GetStrokeWidth(one, byref(width))
    count = max(pdfium.FPDFPageObj_GetDashCount(one), 0)
    dash = (c_float * count)()
    if count:
        pdfium.FPDFPageObj_GetDashArray(one, dash, count)
        pdfium.FPDFPageObj_GetDashPhase(one, byref(phase))
    return Brush(
        _colour(one, pdfium.FPDFPageObj_GetStrokeColor),
        width.value * scale,
        tuple(v * scale for v in dash),
        phase.value * scale,
        pdfium.FPDFPageObj_GetLineCap(one),
        pdfium.FPDFPageObj_GetLineJoin(one),
    )


def _image(one: Any) -> Drawing:
    """An image, a shading, or what else may be painted: its bounds, of no plain colour."""
    left, bottom, right, top = (c_float() for _ in range(4))
    pdfium.FPDFPageObj_GetBounds(one, byref(left), byref(bottom), byref(right), byref(top))
    box: Box = (left.value, bottom.value, right.value, top.value)
    corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return Drawing((Track(corners, closed=True, curved=False),), None, filled=True, fill=None)
