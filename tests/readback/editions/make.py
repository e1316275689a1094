"""Editions made from a plain print, by pypdf alone: imposed, darkened, boxed, with fields."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import pypdf
from pypdf import PageObject, PdfWriter, Transformation
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    RectangleObject,
    TextStringObject,
)

from packbuilder.book.book import Book
from packbuilder.grid import cell_name
from tests.readback.signed import reopened, take_over
from tests.readback.tiny_press import HIGH, LEFT, TOP, WIDE

MM = 72 / 25.4
SIDE = 450.0
"""The side of a puzzle's grid in the tests' press; its top lies 102 pt under the head."""


def written(writer: PdfWriter) -> bytes:
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def appended(page: PageObject, code: str, before: str = "") -> None:
    """Add operators to a page, behind (and before) its own."""
    content = page.get_contents()
    own = content.get_data() if content is not None else b""
    stream = pypdf.generic.DecodedStreamObject()
    stream.set_data(before.encode() + b"\nq\n" + own + b"\nQ\n" + code.encode())
    page.replace_contents(pypdf.generic.ContentStream(stream, None))


# --- booklet -------------------------------------------------------------------------------------


def line(x0: float, y0: float, x1: float, y1: float, dash: str = "", width: float = 0.4) -> str:
    dashes = f"[{dash}] 0 d" if dash else ""
    return f"q 0 G {width} w {dashes} {x0:.3f} {y0:.3f} m {x1:.3f} {y1:.3f} l S Q\n"


@dataclass
class Booklet:
    """Imposes a print. A test may change ``order``, ``shift`` and ``marks``."""

    creep: float = 0.0

    def order(self, pages: int) -> list[tuple[int, int]]:
        """Left and right page of each side, worked out by folding sheets of paper: for 8 pages,
        8 1, 2 7, 6 3, 4 5 (common practice, no source)."""
        stack = list(range(1, pages + 1))
        sides = []
        while stack:
            sides += [(stack.pop(), stack.pop(0)), (stack.pop(0), stack.pop())]
        return sides

    def shift(self, page: int, sheet: int) -> float:
        """How far a page is moved towards the fold, in points."""
        return sheet * self.creep * MM

    def marks(self, side: int) -> list[str]:
        """Operators of the marks on a side, from 0."""
        low, far = 10 * MM, 15 * MM
        found = [line(WIDE, low, WIDE, far, "2 2"), line(WIDE, HIGH - far, WIDE, HIGH - low, "2 2")]
        if side == 0:
            for y in (HIGH / 4, HIGH * 3 / 4):
                found.append(line(WIDE - 3 * MM, y, WIDE + 3 * MM, y))
        return found

    def make(self, data: bytes, keep: Callable[[int], bool] = lambda side: True) -> bytes:
        source = pypdf.PdfReader(io.BytesIO(data))
        writer = PdfWriter()
        count = -(-len(source.pages) // 4) * 4
        for side, pair in enumerate(self.order(count)):
            if not keep(side):
                continue
            sheet = writer.add_blank_page(2 * WIDE, HIGH)
            for half, page in enumerate(pair):
                if page <= len(source.pages):
                    moved = self.shift(page, side // 2) * (-1 if half else 1)
                    place = Transformation().translate(half * WIDE + moved, 0)
                    own = source.pages[page - 1]
                    own.pop("/Annots", None)
                    sheet.merge_transformed_page(own, place, over=True, expand=False)
            appended(sheet, "".join(self.marks(side)))
        take_over(writer, source)
        return written(writer)


# --- dark ----------------------------------------------------------------------------------------


def darkened(data: bytes, ground: str | None = "0.1", skip: Sequence[int] = ()) -> bytes:
    """Every grey turned; pages of ``skip`` keep their own."""
    writer = reopened(data)

    def turn(found: re.Match[bytes]) -> bytes:
        return b"%.4f %s" % (0.93 - 0.83 * float(found[1]), found[2])

    for number, page in enumerate(writer.pages, start=1):
        content = page.get_contents()
        assert content is not None
        code = content.get_data()
        if number not in skip:
            code = re.sub(rb"(?<![\d. ] )(?<!\d)((?:\d*\.)?\d+) ([gG])(?=\s)", turn, code)
        paint = f"{ground} g 0 0 {WIDE:.2f} {HIGH:.2f} re f\n" if ground else ""
        stream = pypdf.generic.DecodedStreamObject()
        stream.set_data(f"{paint}0.93 g 0.93 G\n".encode() + code)
        page.replace_contents(pypdf.generic.ContentStream(stream, None))
    return written(writer)


# --- print shop ----------------------------------------------------------------------------------


def crops() -> list[str]:
    """The eight crop marks, measured from the trim's lower left corner."""
    near, far, found = 4 * MM, 9 * MM, []
    for x, a in ((0.0, -1), (WIDE, 1)):
        for y, b in ((0.0, -1), (HIGH, 1)):
            found.append(line(x + a * near, y, x + a * far, y, width=0.25))
            found.append(line(x, y + b * near, x, y + b * far, width=0.25))
    return found


def band(edge: float = 9 * MM) -> str:
    bleed = 3 * MM
    return f"q 0 g {-bleed:.3f} {-bleed:.3f} {edge + bleed:.3f} {HIGH + 2 * bleed:.3f} re f Q\n"


def boxed(
    data: bytes,
    marks: Callable[[int], str] = lambda number: "".join(crops()),
    cover: str | None = None,
    bleed: float = 3 * MM,
    slug: float = 10 * MM,
) -> bytes:
    """A print with page boxes round its pages, crop marks and the cover's band."""
    writer = reopened(data)
    for number, page in enumerate(writer.pages, start=1):
        for name, room in (("media", slug), ("crop", slug), ("bleed", bleed), ("trim", 0.0)):
            box = RectangleObject((-room, -room, WIDE + room, HIGH + room))
            setattr(page, f"{name}box", box)
        extra = (band() if cover is None else cover) if number == 1 else ""
        appended(page, extra + marks(number))
    return written(writer)


# --- fields --------------------------------------------------------------------------------------

Note = DictionaryObject


def field(number: int, cell: int, size: int) -> Note:
    """The field of a cell of a puzzle in the tests' press, to the letter of the house style."""
    pitch, (row, column) = SIDE / size, divmod(cell, size)
    x, y = LEFT + column * pitch, TOP - 102 - (row + 1) * pitch
    name = f"p{number}-{cell_name(cell, size)}"
    return Note(
        {
            NameObject("/Type"): NameObject("/Annot"),
            NameObject("/Subtype"): NameObject("/Widget"),
            NameObject("/FT"): NameObject("/Tx"),
            NameObject("/T"): TextStringObject(name),
            NameObject("/TU"): TextStringObject(
                f"Puzzle {number}, row {row + 1}, column {column + 1}"
            ),
            NameObject("/MaxLen"): NumberObject(1),
            NameObject("/Q"): NumberObject(1),
            NameObject("/F"): NumberObject(4),
            NameObject("/DA"): TextStringObject(f"/F {pitch * 0.6:.2f} Tf 0 g"),
            NameObject("/Rect"): ArrayObject(
                FloatObject(v) for v in (x + 1, y + 1, x + pitch - 1, y + pitch - 1)
            ),
        }
    )


Notes = dict[int, list[Note]]


def fields_of(book: Book, first: int = 4) -> Notes:
    """The fields of a book's puzzles, one a page from page ``first`` on."""
    return {
        first + k: [
            field(entry.number, cell, entry.puzzle.size)
            for cell, clue in enumerate(entry.puzzle.clues)
            if not clue
        ]
        for k, entry in enumerate(book.entries)
    }


def with_fields(data: bytes, notes: Notes, tabs: str = "/S") -> bytes:
    writer = reopened(data)
    listed = ArrayObject()
    for number, some in notes.items():
        page = writer.pages[number - 1]
        page[NameObject("/Tabs")] = NameObject(tabs)
        here = page.get("/Annots")
        kept = ArrayObject(here.get_object()) if here is not None else ArrayObject()
        for note in some:
            added = writer._add_object(note)
            kept.append(added)
            listed.append(added)
        page[NameObject("/Annots")] = kept
    fonts: Any = writer.pages[0]["/Resources"]["/Font"].get_object()
    font = next(fonts.raw_get(k) for k in fonts if "SourceSans" in str(fonts[k]["/BaseFont"]))
    named = DictionaryObject({NameObject("/F"): font})
    resources = DictionaryObject({NameObject("/Font"): named})
    form = DictionaryObject({NameObject("/Fields"): listed, NameObject("/DR"): resources})
    form[NameObject("/NeedAppearances")] = BooleanObject(True)
    writer.root_object[NameObject("/AcroForm")] = writer._add_object(form)
    return written(writer)
