"""Digits as tesseract, an OCR engine, recognises them in the rendered pixels.

The engine is told where each cell is (found in the pixels) and which figures there are, and nothing
else. Every digit must be recognised, and as the one that the manifest has.
"""

from __future__ import annotations

import os
import subprocess
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np
import pytest
from PIL import Image

from packbuilder.editions import PRINT
from packbuilder.grid import SYMBOLS
from tests.outside.pixels import Box, Grey, cells, pdfium, program
from tests.outside.prints import Printed, edited, grids, pdf, printed

LANCZOS = Image.Resampling.LANCZOS
T = TypeVar("T")

SAMPLED = [("print", "night-train"), ("large-print", "small"), ("booklet", "small"),
           ("screen", "small"), ("screen-dark", "small")]  # fmt: skip
"""Editions, and of which book; the rest are set as the print edition is."""

HEIGHTS = (26, 28, 30, 32, 34)
"""Pixels of a picture as the engine gets it: figures of about 20, which suit it best (measured: of
366 lines none to two are misread at these, more at others). What most readings say is taken."""

INSET = 0.2
"""The share of a cell that is cut off all round: marks of rules are there."""

OWN = (0.2, 0.247, 0.29)
"""A digit's room about the middle of its cell: how far aside, up and down, and away at all. Figures
reach .18 and .232 (of .72 of a cell in type, the largest); marks keep off (house style)."""

INK, ALL = 38, 115
"""Greys that only ink has (the house style: contours have 51, or 60 on dark pages), and that digits
and contours have, and no fill."""

LINE = 9
"""Figures set side by side: the engine reads a line far better than a single character."""


@pytest.mark.parametrize(("name", "which"), SAMPLED)
def test_every_clue_is_recognised_and_no_empty_cell_has_ink(
    name: str, which: str, tmp_path: Path
) -> None:
    dpi, book = 150, edited(name, which)
    if book.edition.folded:  # its pages as they are before folding: see test_booklet
        book = replace(book, edition=PRINT)
    data = printed(book)
    pages = _Pages(data, dpi, book.edition.dark)
    pictures, wanted = [], []
    for one in grids(data, "puzzle", book, dpi):
        for cell, value in zip(pages.cells(one), one.entry.puzzle.clues, strict=True):
            assert _has_ink(cell) == bool(value), f"{one.entry.puzzle.title}: {value or 'empty'}"
            if value:
                pictures.append(cell)
                wanted.append(SYMBOLS[value])
    assert len(wanted) > 40
    assert recognised(pictures, tmp_path) == in_lines(wanted)


@pytest.mark.parametrize("name", ["print", "large-print", "screen-dark"])
def test_every_digit_of_the_answers_is_recognised(name: str, tmp_path: Path) -> None:
    dpi, book = 300, edited(name)
    pages = _Pages(pdf(name), dpi, book.edition.dark)
    pictures, wanted = [], []
    for one in grids(pdf(name), "answer", book, dpi)[::4]:
        pictures += pages.cells(one)
        wanted += [SYMBOLS[value] for value in one.entry.solution]
    assert recognised(pictures, tmp_path) == in_lines(wanted)


def test_the_engine_sees_one_digit_in_anothers_place(tmp_path: Path) -> None:
    # without this, a comparison that is of no use would go unseen
    pages = _Pages(pdf("print"), 150, False)
    one = grids(pdf("print"), "puzzle", edited("print"), 150)[1]
    both = zip(pages.cells(one), one.entry.puzzle.clues, strict=True)
    pictures, figures = zip(*((c, SYMBOLS[value]) for c, value in both if value), strict=True)
    other = next(k for k, figure in enumerate(figures) if figure != figures[0])
    false = [pictures[other], *pictures[1:]]
    assert recognised(false, tmp_path) == in_lines([figures[other], *figures[1:]])


def recognised(pictures: Sequence[Grey], folder: Path) -> list[str]:
    """What the engine makes of pictures of one figure each, in lines of nine."""
    lines = _full_lines(pictures)
    readings = [_read([_line(line, height) for line in lines], folder) for height in HEIGHTS]
    return [Counter(told).most_common(1)[0][0] for told in zip(*readings, strict=True)]


def in_lines(figures: Sequence[str]) -> list[str]:
    """The same lines as they should be read."""
    return ["".join(line) for line in _full_lines(figures)]


def _full_lines(things: Sequence[T]) -> list[Sequence[T]]:
    """All things in lines of nine; the first fill up the last line, for short ones read badly."""
    whole = [*things, *things[: -len(things) % LINE]]
    return [whole[k : k + LINE] for k in range(0, len(whole), LINE)]


def _line(pictures: Sequence[Grey], height: int) -> Grey:
    gap = np.full((height, round(0.3 * height)), 255, np.uint8)
    row = [gap]
    for picture in pictures:
        scaled = np.array(Image.fromarray(picture).resize((height, height), LANCZOS))
        columns = np.flatnonzero((scaled < 200).any(axis=0))
        row += [scaled[:, columns[0] : columns[-1] + 1] if columns.size else scaled, gap]
    return np.pad(np.hstack(row), 20, constant_values=255)


def _read(lines: Sequence[Grey], folder: Path) -> list[str]:
    files = [folder / f"{k}.png" for k in range(len(lines))]
    for file, line in zip(files, lines, strict=True):
        Image.fromarray(line).save(file)
    listed = folder / "lines.txt"
    listed.write_text("\n".join(map(str, files)), encoding="utf-8")
    tool, figures = (
        program("tesseract", "tesseract-ocr"),
        f"tessedit_char_whitelist={SYMBOLS[1:10]}",
    )
    command = [tool, str(listed), "-", "--psm", "7", "--dpi", "300", "-c", figures]
    one_thread = os.environ | {"OMP_THREAD_LIMIT": "1"}
    done = subprocess.run(command, env=one_thread, capture_output=True, text=True, check=True)
    told = ["".join(one.split()) for one in done.stdout.split("\f")]
    assert len(told) == len(lines)
    return told


class _Pages:
    """The cells of grids, cut out of their pages: black on white, without what is not a digit."""

    def __init__(self, data: bytes, dpi: float, dark: bool) -> None:
        self._data, self._dpi, self._dark = data, dpi, dark
        self._drawn: dict[int, Grey] = {}

    def cells(self, one: Printed) -> list[Grey]:
        """The middle of each cell; fills are made white."""
        if one.page not in self._drawn:
            (page,) = pdfium(self._data, [one.page], self._dpi)
            self._drawn[one.page] = 255 - page if self._dark else page
        page = self._drawn[one.page]
        frame = _half_in(one.frame, page)
        return [_own(box.of(page)) for box in cells(frame, one.entry.puzzle.size, INSET)]


def _half_in(frame: Box, page: Grey) -> Box:
    """The middles of a frame's lines, from which cells are measured."""
    side = page[frame.top : frame.bottom, frame.left + (frame.right - frame.left) // 30]
    half = int(np.argmin(side < 128)) // 2
    return Box(frame.left + half, frame.top + half, frame.right - half, frame.bottom - half)


def _own(cell: Grey) -> Grey:
    """What a digit may have of its cell, its fills made white."""
    y, x = ((np.indices(cell.shape) + 0.5) / len(cell) - 0.5) * (1 - 2 * INSET)
    own = (abs(x) < OWN[0]) & (abs(y) < OWN[1]) & (np.hypot(x, y) < OWN[2])
    return np.where(own & (cell < ALL), cell, 255).astype(np.uint8)


def _has_ink(cell: Grey) -> bool:
    return int((cell < INK).sum()) > 0.01 * cell.size
