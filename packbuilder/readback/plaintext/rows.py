"""Rows: grids and pictures of letters, from the lines that they stand on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.readback.plaintext.file import LONGEST, Line
from packbuilder.readback.plaintext.outline import Paragraph
from packbuilder.readback.report import Fault

_ROW = re.compile(r"r(\d{1,2})( .*)?")


@dataclass(frozen=True)
class Picture:
    """Rows one below the other: lines, and after which of them (from 0) a blank line stands."""

    lines: tuple[Line, ...]
    breaks: frozenset[int]

    @property
    def line(self) -> int:
        """The number of its first line."""
        return self.lines[0].number

    @property
    def cells(self) -> list[list[str]]:
        """The signs of each row, whatever stands between them."""
        return [line.text.split()[1:] for line in self.lines]

    def line_of(self, cell: int, size: int) -> int:
        """The line on which a cell stands, if the rows are whole."""
        return self.lines[min(cell // size, len(self.lines) - 1)].number


def parted(paragraphs: Sequence[Paragraph]) -> list[Picture | Paragraph]:
    """The pictures and the other paragraphs, in order. A row r1 begins a new picture."""
    found: list[Picture | Paragraph] = []
    held: list[Line] = []
    breaks: set[int] = set()
    for paragraph in paragraphs:
        if not _is_row(paragraph.lines[0]):
            found += _picture(held, breaks)
            held, breaks = [], set()
            found.append(paragraph)
            continue
        if held:
            breaks.add(len(held) - 1)
        for line in paragraph.lines:
            if held and line.text.split()[0] == "r1":
                found += _picture(held, breaks - {len(held) - 1})
                held, breaks = [], set()
            held.append(line)
    return [*found, *_picture(held, breaks)]


def _is_row(line: Line) -> bool:
    return _ROW.fullmatch(line.text) is not None


def _picture(lines: list[Line], breaks: set[int]) -> Iterator[Picture]:
    if lines:
        yield Picture(tuple(lines), frozenset(breaks))


def check_rows(picture: Picture, geometry: Geometry) -> Iterator[Fault]:
    """Every row is there, named, in order, with a sign for each cell, blocks set apart."""
    n = geometry.size
    names = [line.text.split()[0] for line in picture.lines]
    due = [f"r{k + 1}" for k in range(n)]
    if names != due:
        lost = [name for name in due if name not in names]
        told = f"row {', '.join(lost)} is missing" if lost else "its rows are not in order"
        yield Fault("grid-broken", told)
        return
    for name, row in zip(names, picture.cells, strict=True):
        if len(row) != n or any(len(sign) != 1 for sign in row):
            yield Fault("grid-size", f"{name} has not {n} signs with blanks between them")
            return
    yield from _check_blocks(picture, geometry)


def _check_blocks(picture: Picture, geometry: Geometry) -> Iterator[Fault]:
    n = geometry.size
    high, wide = geometry.shape or (n, n)
    start = len(f"r{n}") + 2
    if start + 2 * n - 1 + n // wide - 1 > LONGEST:
        wide = n
    places = [start + 2 * k + k // wide for k in range(n)]
    for line in picture.lines:
        at = [k for k, sign in enumerate(line.text) if sign != " " and k >= start]
        if at != places or line.text[len(line.text.split()[0]) : start].strip():
            name = line.text.split()[0]
            yield Fault("border-wrong", f"the blanks of {name} do not set its blocks apart")
            return
    if picture.breaks != {k - 1 for k in range(high, n, high)}:
        yield Fault("border-wrong", "blank lines do not stand between its bands of blocks")


def values_of(picture: Picture, size: int) -> Values | None:
    """The digits of a grid, 0 for an empty cell; None where its rows are not whole."""
    signs = [sign for row in picture.cells for sign in row]
    if len(signs) != size * size or any(sign not in SYMBOLS[: size + 1] for sign in signs):
        return None
    return tuple(SYMBOLS.index(sign) for sign in signs)


def strange(picture: Picture, size: int) -> str | None:
    """A sign that is no digit of a grid of that size, if there is one."""
    signs = (sign for row in picture.cells for sign in row)
    return next((sign for sign in signs if sign not in SYMBOLS[: size + 1]), None)
