"""Lines in print: thin, missing, covered, in the wrong place; and grids that are none."""

from __future__ import annotations

import pytest
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book
from packbuilder.grid import cell_name
from packbuilder.readback.document import Stroke
from packbuilder.readback.shapes import lattices
from tests.readback.conftest import Refused
from tests.readback.tiny_press import HEAVY, THIN, Press

INSIDE, BORDER, FRAME = (0, 1), (2, 3), (-1, 0)  # r1c1|r1c2, r1c3|r1c4, above r1c1


def with_edge(book: Book, cells: tuple[int, int], width: float, style: str = "batches") -> bytes:
    """Puzzle 2 with one edge of another width (in the puzzles section)."""

    class Tampered(Press):
        def edge(self, section: str, number: int, pair: tuple[int, int], due: float) -> float:
            return width if (section, number, pair) == ("Puzzles", 2, cells) else due

    return Tampered(book, style).print()


@pytest.mark.parametrize(
    "cells, width, code, cell",
    [
        (BORDER, 1.0, "border-thin", "r1c3"),
        (BORDER, THIN, "border-thin", "r1c3"),
        (FRAME, THIN, "border-thin", "r1c1"),
        (INSIDE, HEAVY, "border-wrong", "r1c1"),
        (INSIDE, 0.0, "line-missing", "r1c1"),
        (INSIDE, 0.1, "line-missing", "r1c1"),
        (BORDER, 0.0, "line-missing", "r1c3"),
        (FRAME, 0.0, "line-missing", "r1c1"),
    ],
)
def test_each_fault_of_a_line_is_told(
    book: Book, refused: Refused, cells: tuple[int, int], width: float, code: str, cell: str
) -> None:
    assert refused(with_edge(book, cells, width), code, 5, cell).number == 2


def test_all_borders_thin_is_told_and_not_proved_as_if_they_stood(
    book: Book, refused: Refused
) -> None:
    class Tampered(Press):
        def edge(self, section: str, number: int, pair: tuple[int, int], due: float) -> float:
            return THIN if (section, number) == ("Puzzles", 2) and -1 not in pair else due

    data = Tampered(book).print()
    refused(data, "border-thin", 5, "r1c3")
    refused(data, "not-unique", 5, number=2)  # without blocks the clues do not suffice


def over(section: str, mark: str) -> type[Press]:
    """A press that makes a mark over r1c3|r1c4 of each page of a section: x 210, y 620 to 670."""

    class Tampered(Press):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == section:
                canvas.setFillGray(1 if mark == "white" else 0)
                width = 8 if mark == "white" else 2
                x = {"white": 206, "black": 109}[mark]
                canvas.rect(x, 645, width, 40, stroke=0, fill=1)

    return Tampered


def test_a_covered_border_is_told_by_the_ink(book: Book, refused: Refused) -> None:
    refused(over("Puzzles", "white")(book).print(), "line-missing", 5, "r1c3")


def test_a_border_drawn_as_a_sliver_is_told_by_the_ink(book: Book, refused: Refused) -> None:
    refused(over("Puzzles", "black")(book).print(), "border-wrong", 5, "r1c1")


def test_text_over_a_grid_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == "Puzzles":
                canvas.setFont("SourceSerifPro-Regular", 11)
                canvas.drawString(500, 500, "over the edge")

    refused(Tampered(book).print(), "stray-text", 5)


@pytest.mark.parametrize("clue, x", [(False, 0.0), (True, 14.0)], ids=["empty", "beside a clue"])
def test_a_small_black_dot_in_a_cell_is_told(
    book: Book, refused: Refused, clue: bool, x: float
) -> None:
    cell = next(c for c, v in enumerate(book.entries[1].puzzle.clues) if bool(v) is clue)

    class Tampered(Press):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == "Puzzles":
                canvas.circle(85 + 50 * (cell % 9) + x, 655 - 50 * (cell // 9), 1.5, fill=1)

    refused(Tampered(book).print(), "ink-stray", 5, cell_name(cell, 9))


# --- lattices by hand -------------------------------------------------------------------------


def ruled(columns: list[float], rows: list[float], width: float = 1.0) -> list[Stroke]:
    """Full lines at the given places."""
    across = [Stroke(columns[0], y, columns[-1], y, width, None) for y in rows]
    return across + [Stroke(x, rows[0], x, rows[-1], width, None) for x in columns]


def places(count: int, pitch: float = 20.0, start: float = 100.0) -> list[float]:
    return [start + pitch * k for k in range(count)]


@pytest.mark.parametrize("size", range(4, 17))
def test_every_size_is_found(size: int) -> None:
    (grid,), broken = lattices(ruled(places(size + 1), places(size + 1)))
    assert (grid.size, grid.pitch, broken) == (size, 20.0, [])
    assert grid.regions is None
    assert grid.cell_at(101, 99 + 20 * size) == 0  # the top left corner
    assert grid.cell_at(99, 101) is None


@pytest.mark.parametrize(
    "columns, rows, why",
    [
        (places(10), places(7), "6 rows and 9 columns"),
        (places(10), [*places(9), 281.5], "rows are not evenly spaced"),
        (places(10), places(10, 24), "not square"),
        (places(18), places(18), "17 rows"),
    ],
)
def test_lines_that_make_no_grid_are_told(
    columns: list[float], rows: list[float], why: str
) -> None:
    grids, (broken,) = lattices(ruled(columns, rows))
    assert grids == []
    assert why in broken.why


def test_a_table_of_three_columns_is_no_grid() -> None:
    assert lattices(ruled(places(4, 100), places(12))) == ([], [])


def test_grids_side_by_side_are_told_apart_and_ordered() -> None:
    low = ruled(places(10, 10), places(10, 10))
    high = ruled(places(5, 10, 300), places(5, 10, 400))
    right = ruled(places(10, 10, 200), places(10, 10))
    found, _ = lattices([*right, *low, *high])
    assert [(g.size, g.x[0]) for g in found] == [(4, 300), (9, 100), (9, 200)]


def test_regions_are_what_heavy_lines_part() -> None:
    strokes = ruled(places(5), places(5), 0.5)
    strokes += ruled([100.0, 140.0, 180.0], [100.0, 140.0, 180.0], 2.0)
    (grid,), _ = lattices(strokes)
    assert grid.regions == (0, 0, 1, 1, 0, 0, 1, 1, 2, 2, 3, 3, 2, 2, 3, 3)


def test_a_grid_that_runs_off_the_paper_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def place_for(self, section: str, k: int) -> tuple[float, float, float]:
            left, top, side = super().place_for(section, k)
            return (left + 200 if section == "Puzzles" else left), top, side

    refused(Tampered(book).print(), "grid-broken", 5)
