"""The print shop's sheets: boxes, crop marks and the cover's band; all else as on a plain page."""

from __future__ import annotations

from dataclasses import replace

import pypdf
import pytest

from packbuilder.book.book import Book
from packbuilder.readback import read
from tests.readback import books
from tests.readback.editions.make import MM, appended, band, boxed, crops, line
from tests.readback.test_pages import edited
from tests.readback.tiny_press import HIGH, WIDE, Press
from tests.readback.told import told


@pytest.fixture(scope="module")
def shop() -> Book:
    return replace(books.single(), edition=replace(books.PLAIN_PRINT, bleed=3.0))


@pytest.fixture(scope="module")
def page(shop: Book) -> bytes:
    return Press(shop).print()


def test_a_sheet_with_bleed_passes(good: bytes, book: Book) -> None:
    whole = replace(book, edition=replace(books.PLAIN_PRINT, bleed=3.0))
    seen = read(boxed(good), whole)
    assert (seen.findings, seen.pages, seen.grids) == ((), 11, 9)


def test_a_plain_page_is_no_sheet_with_bleed(page: bytes, shop: Book) -> None:
    told(page, shop, "page-box", "no trim box or no bleed box", page=2)
    told(page, shop, "crop-mark", page=2)


def test_wrong_boxes_are_told(page: bytes, shop: Book) -> None:
    told(boxed(page, bleed=5 * MM), shop, "page-box", "the bleed box", page=2)
    told(boxed(page, slug=12 * MM), shop, "page-box", "the media box", page=2)


@pytest.mark.parametrize("gone", range(8))
def test_each_missing_crop_mark_is_told(page: bytes, shop: Book, gone: int) -> None:
    def marks(number: int) -> str:
        return "".join(m for k, m in enumerate(crops()) if number != 3 or k != gone)

    told(boxed(page, marks), shop, "crop-mark", "is missing or elsewhere", page=3)


@pytest.mark.parametrize(
    "more, words",
    [
        (line(-4 * MM, 1.0, -9 * MM, 1.0, width=0.25), "is no crop mark"),
        (line(-4 * MM, 0.0, -9 * MM, 0.0, width=0.25), "is there 2 times"),
        (line(WIDE / 2, -5 * MM, WIDE / 2, -9 * MM, width=0.25), "is no crop mark"),
    ],
)
def test_a_mark_too_many_is_told(page: bytes, shop: Book, more: str, words: str) -> None:
    data = boxed(page, lambda number: "".join(crops()) + (more if number == 3 else ""))
    told(data, shop, "crop-mark", words, page=3)


@pytest.mark.parametrize("cover", ["", band(8 * MM), "q 0.5 g -8.5 -8.5 34 860 re f Q"])
def test_a_wrong_band_is_told(page: bytes, shop: Book, cover: str) -> None:
    told(boxed(page, cover=cover), shop, "bleed", "no black band", page=1)


def test_ink_beyond_the_trim_or_near_it_is_told(page: bytes, shop: Book) -> None:
    def scribble(writer: pypdf.PdfWriter) -> None:
        appended(writer.pages[1], f"q 0 g {WIDE + 10} 300 8 8 re f Q")
        appended(writer.pages[2], f"q 0 g {WIDE - 20} 300 8 8 re f Q")

    data = edited(boxed(page), scribble)
    told(data, shop, "bleed", "there is ink", page=2)
    told(data, shop, "margin", "mm from the right edge", page=3)


def test_a_covered_digit_is_told_where_the_trim_lies(page: bytes, shop: Book) -> None:
    def cover(writer: pypdf.PdfWriter) -> None:
        appended(writer.pages[3], f"q 1 g 62 {HIGH - 60 - 102 - 448} 446 446 re f Q")

    told(edited(boxed(page), cover), shop, "ink-missing", page=4, number=1)
