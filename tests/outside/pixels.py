"""Pages as pictures: two renderers, and the grids found in the pixels alone."""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray
from PIL import Image

Grey = NDArray[np.uint8]
"""One page, a byte a pixel: 0 is black."""


class Box(NamedTuple):
    """A part of a page in pixels: from (left, top) to just before (right, bottom)."""

    left: int
    top: int
    right: int
    bottom: int

    def of(self, page: Grey) -> Grey:
        """The picture of this part."""
        return page[self.top : self.bottom, self.left : self.right]


def program(name: str, package: str) -> str:
    """The path of a program; skips the test, naming the package, where it is not installed."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} (of {package}) is not installed")
    return found


def run(name: str, package: str, *args: str | Path) -> str:
    """What a program prints; it must end well."""
    command = [program(name, package), *map(str, args)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{' '.join(command)}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def pdfium(pdf: bytes, pages: Sequence[int], dpi: float, fields: bool = False) -> Iterator[Grey]:
    """Pages (from 0) as pdfium draws them; with ``fields``, also what is typed into fields."""
    document = pypdfium2.PdfDocument(pdf)
    if fields:
        document.init_forms()
    for page in pages:
        drawn = document[page].render(scale=dpi / 72, grayscale=True, may_draw_forms=fields)
        yield np.array(drawn.to_pil().convert("L"))


def poppler(file: Path, page: int, dpi: float) -> Grey:
    """A page (from 0) as poppler draws it."""
    tool, number = program("pdftoppm", "poppler-utils"), str(page + 1)
    command = [tool, "-gray", "-r", str(dpi), "-f", number, "-l", number, str(file)]
    done = subprocess.run(command, capture_output=True, check=True)
    return np.array(Image.open(io.BytesIO(done.stdout)).convert("L"))


def frames(page: Grey, least: int, dark: bool = False) -> list[Box]:
    """The squares with four inked sides of at least so many pixels, in reading order.

    Only pixels are looked at: long level lines of equal extent, as far apart as they are long,
    with ink all the way down both sides. Inner lines may be broken, the frame may not. What lies
    within another frame is a square of a rule.
    """
    ink = (page > 127) if dark else (page < 128)
    lines = _level_lines(ink, least)
    found = []
    for k, upper in enumerate(lines):
        for lower in lines[k + 1 :]:
            box = Box(upper.left, upper.top, upper.right, lower.bottom)
            side = box.right - box.left
            if max(abs(lower.left - upper.left), abs(lower.right - upper.right)) > 1:
                continue
            if abs(box.bottom - box.top - side) <= 2 and _sides(ink, box):
                found.append(box)
    whole = [one for one in found if not any(_is_within(one, other) for other in found)]
    rows: list[list[Box]] = []  # with clues above it a grid stands lower than its neighbours
    for box in sorted(whole, key=lambda b: b.top):
        if rows and box.top < rows[-1][0].bottom:
            rows[-1].append(box)
        else:
            rows.append([box])
    return [box for row in rows for box in sorted(row, key=lambda b: b.left)]


def _is_within(one: Box, other: Box) -> bool:
    return (
        other.left < one.left and one.right < other.right
        and other.top < one.top and one.bottom < other.bottom
    )  # fmt: skip


def cells(frame: Box, size: int, inset: float) -> list[Box]:
    """The cells of a grid in that frame, row by row, each cut by a share of its side all round."""
    pitch = (frame.right - frame.left) / size
    trim = inset * pitch
    return [
        Box(
            round(frame.left + column * pitch + trim),
            round(frame.top + row * pitch + trim),
            round(frame.left + (column + 1) * pitch - trim),
            round(frame.top + (row + 1) * pitch - trim),
        )
        for row in range(size)
        for column in range(size)
    ]


def luminance(grey: Any) -> Any:
    """Relative luminance of greys 0-255: WCAG 2.x, "relative luminance", for R = G = B."""
    share = np.asarray(grey, dtype=float) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def contrast(one: Any, other: Any) -> Any:
    """Contrast ratio of two greys 0-255: WCAG 2.x, (L1 + 0.05) / (L2 + 0.05)."""
    a, b = luminance(one) + 0.05, luminance(other) + 0.05
    return np.maximum(a, b) / np.minimum(a, b)


def _level_lines(ink: NDArray[np.bool_], least: int) -> list[Box]:
    """Level runs of ink of at least so many pixels; runs of one extent on touching rows are one."""
    edges = np.diff(np.pad(ink, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    rows, starts = np.nonzero(edges == 1)
    _, ends = np.nonzero(edges == -1)
    lines: list[Box] = []
    for row, start, end in zip(rows, starts, ends, strict=True):
        if end - start < least:
            continue
        for k in range(len(lines) - 1, -1, -1):
            seen = lines[k]
            if seen.bottom == row and max(abs(seen.left - start), abs(seen.right - end)) <= 1:
                lines[k] = Box(seen.left, seen.top, seen.right, int(row) + 1)
                break
        else:
            lines.append(Box(int(start), int(row), int(end), int(row) + 1))
    return lines


def _sides(ink: NDArray[np.bool_], box: Box) -> bool:
    left = ink[box.top : box.bottom, box.left + 1]
    right = ink[box.top : box.bottom, box.right - 2]
    return bool(left.mean() > 0.99 and right.mean() > 0.99)
