"""Shaded cells of hints: grey where a step rests, striped where it acts, and neither is ink."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packbuilder.book.book import Book
from packbuilder.grid import cell_name
from packbuilder.readback import read
from tests.readback import books
from tests.readback.rule_press import RulePress
from tests.readback.tiny_press import Press
from tests.readback.told import told


@pytest.fixture(scope="module")
def acting() -> Book:
    """A hint whose step rests on two cells, acts in a third, and strikes a candidate there."""
    book = books.book([(books.blocks(3, 3), 28)])
    entry = book.entries[0]
    hint = entry.hints[0]
    (struck, _), resting = hint.struck[0], [c for c, _ in hint.shown]
    assert struck in resting
    return replace(book, entries=(replace(entry, hints=(hint,)),))


def rests_and_acts(book: Book) -> tuple[list[int], list[int]]:
    step = book.entries[0].hints[0].step
    acts = sorted({c for c, _ in step.removes})
    return sorted(set(step.cells) - set(acts)), acts


def test_stripes_and_grey_pass(acting: Book) -> None:
    assert read(Press(acting).print(), acting).findings == ()


Cells = list[int]


def shaded(book: Book, grey: Cells | None = None, striped: Cells | None = None) -> bytes:
    class Tampered(Press):
        def shade(self, cells: Cells, n: int, left: float, top: float, pitch: float) -> None:
            super().shade(cells if grey is None else grey, n, left, top, pitch)

        def stripe(self, cells: Cells, n: int, left: float, top: float, pitch: float) -> None:
            super().stripe(cells if striped is None else striped, n, left, top, pitch)

    return Tampered(book).print()


def test_cells_shaded_wrongly_are_told(acting: Book) -> None:
    rests, acts = rests_and_acts(acting)
    other = next(c for c in range(81) if c not in (*rests, *acts))
    for data, words, cell in (
        (shaded(acting, grey=rests[1:]), "is not shaded", rests[0]),
        (shaded(acting, grey=[*rests, other]), "the step does not rest on it", other),
        (shaded(acting, striped=[]), "is not striped", acts[0]),
        (shaded(acting, striped=[*acts, other]), "the step does not act there", other),
        (shaded(acting, grey=[*rests, *acts]), "the step does not rest on it", acts[0]),
        (shaded(acting, grey=acts, striped=rests), "is not striped", acts[0]),
        (shaded(acting, striped=[*acts, *acts]), "cover 100% of it", acts[0]),
    ):
        told(data, acting, "shading", words, page=7, number=1, cell=cell_name(cell, 9))


def test_stripes_hide_no_fault_of_a_candidate(acting: Book) -> None:
    """A speck of ink between the stripes, and a candidate drawn as another one."""
    _, acts = rests_and_acts(acting)

    class Specked(Press):
        def stripe(self, cells: Cells, n: int, left: float, top: float, pitch: float) -> None:
            super().stripe(cells, n, left, top, pitch)
            x, y = left + (acts[0] % n) * pitch, top - (acts[0] // n + 1) * pitch
            free = {1, 2, 3, 4, 5, 6, 7, 8, 9} - set(dict(self.book.entries[0].hints[0].shown)
                                                    [acts[0]])  # fmt: skip
            row, column = divmod(min(free) - 1, 3)
            self.c.setFillGray(0.3)
            self.c.circle(x + (column + 0.5) / 3 * pitch, y + pitch - (row + 0.5) / 3 * pitch, 1.5,
                          stroke=0, fill=1)  # fmt: skip
            self.c.setFillGray(0)

    told(Specked(acting).print(), acting, "candidate", "inked beside its candidates", page=7)


@pytest.mark.parametrize("slug", ["cages", "thermometers", "parity"])
def test_stripes_lie_under_shapes_of_rules_too(slug: str) -> None:
    book = books.ruled(slug)
    assert read(RulePress(book).print(), book).findings == ()


def test_too_dark_stripes_are_told(acting: Book) -> None:
    class Dark(Press):
        def stripe(self, cells: Cells, n: int, left: float, top: float, pitch: float) -> None:
            self.c.setFillGray = lambda _: type(self.c).setFillGray(self.c, 0.7)
            super().stripe(cells, n, left, top, pitch)
            del self.c.setFillGray
            self.c.setFillGray(0)

    told(Dark(acting).print(), acting, "mark-stray", page=7)
