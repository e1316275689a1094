"""What stands on a planned page, measured: boxes of ink, grids, lines of text.

Type is measured by HarfBuzz, from the font files, so that no width comes from the code that set it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache, cached_property, lru_cache
from typing import NamedTuple

import uharfbuzz as hb

from packbuilder.book.book import Book
from packbuilder.plan.items import (
    FURNITURE,
    Box,
    Disc,
    Figure,
    Fills,
    Glyphs,
    Item,
    Lozenges,
    Page,
    Plan,
    Rings,
    Strokes,
    Table,
    Text,
    Trace,
)
from packbuilder.plan.painting import Painted
from packbuilder.typography.fonts import font_file

MM = 72 / 25.4
HINTS = ("First hints", "Second hints", "Third hints")
HEADS = ("Cover", "Contents", "Foreword", "How to play", "Primer", "Puzzles", "Notes", "The rules",
         *HINTS[:2], "Ideas in the hints", HINTS[2], "Answers", "Credits",
         "Back cover")  # fmt: skip
"""The sections of a book, in order."""
SAMPLER = ("Cover", "How to play", "Puzzles", "Notes", "The full pack", "Answers")
"""Those of a sampler."""
TEACHING = ("How to play", "The rules")
"""Those with pictures of grids, or of corners of grids, that teach."""

Told = Iterator[str]


class Mark(NamedTuple):
    """One thing that leaves ink: its box, the item that it is of, and the letter, if it is one."""

    box: Box
    item: Painted
    text: str = ""
    cell: int = -1


class Grid:
    """A grid in print: the table or figure that it is, what leaves ink in it, and its frame."""

    def __init__(self, item: Table | Figure, marks: list[Mark], lines: list[Strokes]) -> None:
        self.item, self.marks, self.lines = item, marks, lines
        self.frame = around(lines[-1].segments)
        self.size = len(lines[0].segments) // 2 + 1
        self.pitch = (self.frame[2] - self.frame[0]) / self.size
        self.outside = [mark for mark in marks if not overlap(mark.box, self.frame)]
        self.inner = [mark for mark in marks if mark.text and mark not in self.outside]
        self.digits = {m.cell: m.text for m in self.inner if m.cell >= 0 and _is_digit(m, self)}

    def cell(self, k: int) -> Box:
        """The box of a cell, counted row by row."""
        row, column = divmod(k, self.size)
        left, top = self.frame[0] + column * self.pitch, self.frame[3] - row * self.pitch
        return left, top - self.pitch, left + self.pitch, top


def _is_digit(mark: Mark, grid: Grid) -> bool:
    """Candidates have .40 of a cell at most, digits half of it or more (house style)."""
    return isinstance(mark.item, Glyphs) and mark.item.size > 0.45 * grid.pitch


class Look:
    """A page as it is looked at: its grids, its pictures, and what is in neither."""

    def __init__(self, page: Page) -> None:
        self.page, self.folio, self.section = page, page.folio, page.section
        self.loose: list[Mark] = []
        self.grids: list[Grid] = []
        self.pictures: list[tuple[Figure, list[Mark]]] = []
        self.cases: list[tuple[Figure, list[Mark]]] = []
        for item in page.items:
            if not isinstance(item, Table | Figure):
                self.loose += marks_of(item)
                continue
            marks = [mark for part in flat(item.items) for mark in marks_of(part)]
            if isinstance(item, Figure) and page.section in TEACHING:
                self.cases.append((item, marks))
                continue
            lines = [part for part in flat(item.items) if isinstance(part, Strokes)]
            lines = [*lines[:1], *(line for line in lines if line.square)]
            if len(lines) > 1:  # what has no frame is a sign
                self.grids.append(Grid(item, marks, lines))
            elif isinstance(item, Figure):
                self.pictures.append((item, marks))

    @cached_property
    def marks(self) -> list[Mark]:
        """All that leaves ink."""
        inner = [grid.marks for grid in self.grids]
        inner += [marks for _, marks in (*self.pictures, *self.cases)]
        return [*self.loose, *(mark for marks in inner for mark in marks)]

    @cached_property
    def lines(self) -> list[Mark]:
        """Its lines of text outside grids, from the top."""
        lines = [mark for mark in self.loose if isinstance(mark.item, Text)]
        return sorted(lines, key=lambda mark: -mark.item.y)

    @cached_property
    def head(self) -> list[Mark]:
        """What stands on the topmost line, from the left."""
        return self._on(self.lines[0].item.y)

    @cached_property
    def foot(self) -> list[Mark]:
        """What stands on the lowest line, from the left."""
        return self._on(self.lines[-1].item.y)

    @cached_property
    def card_feet(self) -> list[Mark]:
        """At the feet of cards, what stands on its head and the lines just above."""
        turned = [m for m in self.lines if m.item.turned]
        return [m for m in self.lines if m.item.tag is FURNITURE and any(
            -1 < m.item.y - one.item.y < 6 * one.item.size for one in turned)]  # fmt: skip

    def _on(self, y: float) -> list[Mark]:
        return sorted((m for m in self.lines if m.item.y == y), key=lambda mark: mark.box[0])

    def codes(self) -> Iterator[list[Mark]]:
        """Its QR codes."""
        return (marks for item, marks in self.pictures if item.tag.alt.startswith("QR code"))


class Printed:
    """A book, its plan, and its pages as they are looked at."""

    def __init__(self, book: Book, plan: Plan) -> None:
        self.book, self.plan, self.looks = book, plan, [Look(page) for page in plan.pages]


def flat(items: Iterable[Item]) -> Iterator[Item]:
    """The items, with what tables and figures are made of in their place."""
    for item in items:
        if isinstance(item, Table | Figure):
            yield from flat(item.items)
        else:
            yield item


def marks_of(item: Item) -> Iterator[Mark]:
    """The pieces of an item, each with the box of its ink."""
    half = (getattr(item, "width", None) or 0) / 2
    match item:
        case Text() if item.text.strip():
            box = _of_text(item.x, item.y, item.text, item.face, item.size, item.spacing)
            if item.turned:  # round the point where it begins
                left, bottom, right, top = box
                x, y = 2 * item.x, 2 * item.y
                box = x - right, y - top, x - left, y - bottom
            yield Mark(box, item, item.text)
        case Glyphs():
            for (x, y, letter), cell in zip(
                item.places, item.cells or [-1] * len(item.places), strict=True
            ):
                yield Mark(_of_text(x, y, letter, item.face, item.size), item, letter, cell)
        case Fills() | Rings():
            yield from (Mark(_grown(box, half), item) for box in item.boxes)
        case Strokes():
            yield from (Mark(_grown(around([one]), half), item) for one in item.segments)
        case Lozenges():
            reach = item.reach + half * 2**0.5
            yield from (Mark(_grown((x, y, x, y), reach), item) for x, y in item.centres)
        case Trace():
            for run in item.runs:
                yield Mark(_grown(around([(*point, *point) for point in run]), half), item)
        case Disc():
            yield Mark(_grown((item.x, item.y, item.x, item.y), item.radius + half), item)


# --- boxes ---------------------------------------------------------------------------------------


def around(boxes: Iterable[Box]) -> Box:
    """The box round boxes, or segments; a point where there are none."""
    boxes = list(boxes) or [(0.0, 0.0, 0.0, 0.0)]
    xs, ys = [x for b in boxes for x in b[::2]], [y for b in boxes for y in b[1::2]]
    return min(xs), min(ys), max(xs), max(ys)


def inked(marks: Iterable[Mark]) -> Box:
    """The box round what leaves ink."""
    return around(mark.box for mark in marks)


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def overlap(one: Box, other: Box, room: float = 0.0) -> bool:
    """Whether two boxes have a part in common, or stand nearer than ``room``."""
    across = one[0] < other[2] + room and other[0] < one[2] + room
    return across and one[1] < other[3] + room and other[1] < one[3] + room


def within(one: Box, other: Box, room: float = 0.0) -> bool:
    """Whether a box lies in another, so far from its sides at least."""
    low = one[0] >= other[0] + room and one[1] >= other[1] + room
    return low and one[2] <= other[2] - room and one[3] <= other[3] - room


# --- type ----------------------------------------------------------------------------------------


def bare(text: str) -> str:
    """The letters and figures of a text, whatever typography made of its quotes and blanks."""
    return re.sub(r"[\W_]+", "", unicodedata.normalize("NFKD", text)).casefold()


@cache
def _font(face: str) -> hb.Font:
    return hb.Font(hb.Face(hb.Blob.from_file_path(str(font_file(face)))))


@lru_cache(maxsize=200_000)
def _ink(text: str, face: str, spacing: float) -> Box:
    """The ink of a text in thousandths of its size; ``spacing`` is put between its letters."""
    font, buffer = _font(face), hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(font, buffer, {"kern": True, "liga": False, "clig": False, "calt": False})
    boxes, x = [], 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        ink = font.get_glyph_extents(info.codepoint)
        if ink and ink.width:
            left, top = x + ink.x_bearing, ink.y_bearing
            boxes.append((left, top + ink.height, left + ink.width, top))
        x += place.x_advance + spacing
    return around(boxes)


def _of_text(x: float, y: float, text: str, face: str, size: float, spacing: float = 0.0) -> Box:
    left, bottom, right, top = (v * size / 1000 for v in _ink(text, face, spacing / size * 1000))
    return x + left, y + bottom, x + right, y + top
