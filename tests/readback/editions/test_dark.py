"""The dark edition: made light again and proved; contrast is that of the colours on the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book
from packbuilder.readback import read
from packbuilder.readback.colour import contrast, darkened, lightened
from packbuilder.readback.editions.dark import greys
from tests.readback.books import PLAIN_PRINT
from tests.readback.editions.make import darkened as made_dark
from tests.readback.test_pages import drawn
from tests.readback.tiny_press import Mark, Press, Spot
from tests.readback.told import told


@pytest.fixture(scope="module")
def dark(book: Book) -> Book:
    return replace(book, edition=replace(PLAIN_PRINT, dark=True))


def test_a_dark_print_passes(good: bytes, dark: Book) -> None:
    seen = read(made_dark(good), dark)
    assert (seen.findings, seen.pages, seen.grids) == ((), 11, 9)


def test_black_and_white_change_places_and_come_back() -> None:
    assert darkened((0.0, 0.0, 0.0)) == (0.93,) * 3
    assert darkened((1.0, 1.0, 1.0)) == pytest.approx((0.10,) * 3)
    for k in range(11):
        grey = (k / 10,) * 3
        assert lightened(darkened(grey)) == pytest.approx(grey)
    table = greys()
    assert [int(table[k]) for k in (25, 26, 237, 238)] == [255, 255, 0, 0]


def test_contrast_is_that_of_the_colours_on_the_page() -> None:
    """Reckoned by hand from WCAG 2.2: luminance .8481 over .0100, and .3666 over .0100."""
    assert contrast((0.0, 0.0, 0.0), dark=True) == pytest.approx(14.9, abs=0.1)
    assert contrast((0.35, 0.35, 0.35), dark=True) == pytest.approx(6.9, abs=0.1)


@pytest.mark.parametrize("ground", [None, "0.2", "1"])
def test_a_missing_or_wrong_ground_is_told(good: bytes, dark: Book, ground: str | None) -> None:
    told(made_dark(good, ground), dark, "ground", page=4)


def test_a_page_that_was_left_light_is_told(good: bytes, dark: Book) -> None:
    data = made_dark(good, skip=[4])  # black digits on the dark ground, as they were for print
    told(data, dark, "contrast", page=4, number=1)
    told(data, dark, "ink-missing", page=4, number=1)


def plainly(grey: float) -> Callable[[Canvas], None]:
    def draw(canvas: Canvas) -> None:
        canvas.setFillGray(grey)
        canvas.drawString(100, 300, "Can you read this")

    return draw


def test_pale_text_is_told_by_its_true_contrast(book: Book, dark: Book) -> None:
    """Grey .5 is 3.98 to 1 on white, and 4.63 on the dark ground, by the formula of WCAG 2.2."""
    told(made_dark(drawn(book, "How to play", plainly(0.60))), dark, "contrast", page=3)
    data = made_dark(drawn(book, "How to play", plainly(0.48)))
    assert read(data, dark).findings == ()


def test_wrong_and_covered_digits_are_told_in_the_dark(book: Book, dark: Book) -> None:
    cell = next(c for c, v in enumerate(book.entries[0].puzzle.clues) if v)

    class Tampered(Press):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            here = (spot.section, spot.number, spot.cell) == ("Puzzles", 1, cell)
            return [replace(mark, cover=1.0)] if here else [mark]

    told(made_dark(Tampered(book).print()), dark, "ink-missing", page=4, number=1)


def test_a_solved_digit_paler_than_the_house_has_it_is_told(book: Book, dark: Book) -> None:
    class Tampered(Press):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            return [replace(mark, grey=0.4)] if spot.section == "Answers" else [mark]

    data = Tampered(book).print()
    told(data, book, "contrast", "not 7 to 1", page=10)
    told(made_dark(data), dark, "contrast", "not 7 to 1", page=10)
