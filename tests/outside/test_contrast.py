"""WCAG 2.x contrast, computed from rendered pixels: 1.4.3 for text, 1.4.11 for lines and shapes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import pytest
from pypdfium2 import raw

from packbuilder.book.assembling import assemble, book_of
from packbuilder.book.book import Book
from packbuilder.editions import edition
from packbuilder.gate import check
from packbuilder.manifest import load
from packbuilder.rules.shapes import Outside
from tests.conftest import ROOT
from tests.outside.pixels import Grey, cells, contrast, pdfium
from tests.outside.prints import PDFS, UNFOLDED, edited, grids, pdf, printed, section_pages

DPI = 432
"""Fine enough that the thinnest stem (Light at 9 points: .45) covers whole pixels."""
FINE = 200
"""Fine enough for lines: the thinnest has .4 points or more."""
TEXT, LARGE_TEXT, SHAPES = 4.5, 3.0, 3.0
"""WCAG 2.1, level AA: 1.4.3 for text and for text of 18 points or more; 1.4.11 for the rest."""


class Letter(NamedTuple):
    """One printed character: itself, its points, and the pixels that it stands in."""

    text: str
    size: float
    pixels: Grey


@pytest.mark.parametrize("name", PDFS)
def test_every_letter_stands_out_from_its_ground(name: str) -> None:
    data = pdf(name)
    faint, seen = [], 0
    for page in sorted(set(section_pages(data).values())) or [0, 2, 5, 10]:
        (drawn,) = pdfium(data, [page], DPI)
        for letter in _letters(data, page, drawn):
            seen += 1
            ratio = _ratio(letter.pixels)
            if ratio < (LARGE_TEXT if letter.size >= 18 else TEXT):
                faint.append(f"page {page + 1}: {letter.text!r}, {letter.size:.1f} pt: {ratio:.2f}")
    assert not faint
    assert seen > 1000


def test_a_grey_letter_would_be_seen() -> None:
    # the same measure on what is known to be too faint: #949494 has 3.03 on white (WCAG's formula)
    page = np.full((60, 60), 255, np.uint8)
    page[20:40, 20:24] = 0x94
    assert _ratio(page) == pytest.approx(3.03, abs=0.01)
    page[20:40, 20:24] = 0x76
    assert _ratio(page) == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("name", UNFOLDED)
def test_every_line_between_cells_stands_out(name: str) -> None:
    for one in grids(pdf(name), "puzzle", edited(name), FINE)[:3]:
        (page,) = pdfium(pdf(name), [one.page], FINE)
        ground, grid = _ground(page), page[one.frame.top :, one.frame.left :]
        n = one.entry.puzzle.size
        pitch = (one.frame.right - one.frame.left) / n
        for k in range(n + 1):
            about = slice(max(0, round(k * pitch) - 5), round(k * pitch) + 6)
            for j in range(n):  # a strip across the line, a quarter of the way along each cell
                along = round((j + 0.25) * pitch)
                for strip in (grid[about, along], grid[along, about]):
                    assert contrast(strip, ground).max() >= SHAPES, (one.entry.number, k, j)


def _off_the_frame(part: Any, row: int, column: int, last: int) -> Any:
    """A cell's picture without the inner edge of the frame, which is broader than other lines."""
    rows = slice(3 * (row == 0), len(part) - 3 * (row == last))
    return part[rows, 3 * (column == 0) : part.shape[1] - 3 * (column == last)]


@pytest.mark.parametrize("name", ["print", "large-print", "screen-dark"])
def test_every_shape_of_a_rule_stands_out_in_each_empty_cell_that_it_touches(name: str) -> None:
    # what is in an empty cell, away from its borders, is the drawing of a rule
    ruled = book_of(_ruled(), edition(name))
    data = printed(ruled)
    for one in grids(data, "puzzle", ruled, FINE):
        (page,) = pdfium(data, [one.page], FINE)
        ground, puzzle, touched = _ground(page), one.entry.puzzle, 0
        boxes = cells(one.frame, puzzle.size, 0.06)
        for k, (box, clue) in enumerate(zip(boxes, puzzle.clues, strict=True)):
            part = _off_the_frame(box.of(page), *divmod(k, puzzle.size), puzzle.size - 1)
            drawn = np.abs(part.astype(int) - ground) > 8
            if not clue and drawn.mean() > 0.003:
                touched += 1
                assert contrast(part, ground).max() >= SHAPES, f"{puzzle.id}: {box}"
        assert touched >= 4, puzzle.id


@cache
def _ruled() -> Book:
    """A dozen puzzles with rules that are drawn inside their grids."""
    pack = load(ROOT / "packs" / "cold-kettle-hill")
    drawn = []
    for puzzle in pack.puzzles:
        shapes = [shape for part in puzzle.rules for shape in part.shapes()]
        if shapes and not any(isinstance(shape, Outside) for shape in shapes):
            drawn.append(puzzle)
    return assemble(check(replace(pack, puzzles=tuple(drawn[:12]))))


def _letters(data: bytes, number: int, drawn: Grey) -> Iterator[Letter]:
    """The characters of a page, each with the pixels of its box and a little about it."""
    page = pypdfium2.PdfDocument(data)[number]
    text, scale = page.get_textpage(), DPI / 72
    left, _, _, top = page.get_cropbox()
    for k in range(text.count_chars()):
        sign = chr(raw.FPDFText_GetUnicode(text, k))
        if sign.isspace() or not sign.isprintable():
            continue
        x0, y0, x1, y1 = text.get_charbox(k)
        rows = slice(max(0, int((top - y1) * scale) - 4), int((top - y0) * scale) + 5)
        columns = slice(max(0, int((x0 - left) * scale) - 4), int((x1 - left) * scale) + 5)
        height = (y1 - y0) * 1.5  # a glyph's box is two thirds of its size, from memory
        yield Letter(sign, max(raw.FPDFText_GetFontSize(text, k), height), drawn[rows, columns])


def _ratio(pixels: Grey) -> float:
    """The contrast of what stands out most to what there is most of."""
    ground = _ground(pixels)
    return float(contrast(pixels, ground).max())


def _ground(pixels: Grey) -> int:
    return int(np.bincount(pixels.ravel(), minlength=256).argmax())
