"""Grids of the file against the book: rows whole, digits right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from packbuilder.book.book import Entry
from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.readback.plaintext.due import finding
from packbuilder.readback.plaintext.rows import Picture, check_rows, strange, values_of
from packbuilder.readback.report import Finding, gather


def check_grid(
    picture: Picture, geometry: Geometry, due: Values, entry: Entry | None
) -> Iterator[Finding]:
    """The rows of a grid are whole, and show the digits due."""
    n, broken = geometry.size, False
    for fault in check_rows(picture, geometry):
        broken = True
        yield finding(fault.code, fault.message, picture.line, entry)
    values = values_of(picture, n)
    if values is None:
        if sign := strange(picture, n):
            told = f"{sign!r} is no digit of a {n}x{n} grid"
            yield finding("stray-text", told, picture.line, entry)
        elif not broken:
            yield finding("grid-size", "the grid is not whole", picture.line, entry)
        return
    yield from _digits(picture, values, due, n, entry)


def _digits(
    picture: Picture, values: Values, due: Values, size: int, entry: Entry | None
) -> Iterator[Finding]:
    told: dict[str, list[tuple[int, str]]] = {}
    for cell, (value, wanted) in enumerate(zip(values, due, strict=True)):
        name = cell_name(cell, size)
        if value and not wanted:
            words = f"{name} shows {SYMBOLS[value]} and must be empty"
            told.setdefault("digit-extra", []).append((cell, words))
        elif wanted and not value:
            words = f"{name} must show {SYMBOLS[wanted]}"
            told.setdefault("digit-missing", []).append((cell, words))
        elif value != wanted:
            words = f"{name} shows {SYMBOLS[value]}, not {SYMBOLS[wanted]}"
            told.setdefault("digit-wrong", []).append((cell, words))
    for code, cells in told.items():
        for fault in gather(code, cells):
            names = tuple(cell_name(cell, size) for cell in fault.cells)
            line = picture.line_of(fault.cells[0], size)
            yield replace(finding(code, fault.message, line, entry), cells=names)


def check_no_answer(
    pictures: Iterable[Picture], solved: Sequence[tuple[Values, Entry]]
) -> Iterator[Finding]:
    """No grid that stands before the answers is the solution of a puzzle."""
    for picture in pictures:
        for solution, entry in solved:
            if values_of(picture, entry.puzzle.size) == solution:
                yield finding("answer-shown", "the answer stands here", picture.line, entry)
