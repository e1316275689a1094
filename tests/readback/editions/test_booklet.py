"""Booklets: unfolded and proved; each way in which folding can go wrong is told."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf.annotations import Link

from packbuilder.book.book import Book
from packbuilder.editions import BOOKLET
from packbuilder.readback import read
from packbuilder.readback.document import Sheet
from packbuilder.readback.editions.booklet import leaf_of, unfold
from tests.readback import books
from tests.readback.editions.make import Booklet, appended, line, written
from tests.readback.test_pages import edited
from tests.readback.tiny_press import HIGH, LEFT, WIDE, Press
from tests.readback.told import told


def folded(book: Book, creep: float = 0.0) -> Book:
    return replace(book, edition=BOOKLET, pack=replace(book.pack, creep=creep))


@pytest.fixture(scope="module")
def bound(book: Book) -> Book:
    return folded(book)


@pytest.fixture(scope="module")
def thin() -> tuple[Book, bytes]:
    """A booklet of two sheets."""
    book = folded(books.single())
    return book, Press(book).print()


@given(st.integers(1, 40).map(lambda k: 4 * k))
def test_pages_lie_where_folding_puts_them(pages: int) -> None:
    sides = Booklet().order(pages)
    for page in range(1, pages + 1):
        side, right = leaf_of(page, pages)
        assert sides[side - 1][right] == page


@pytest.mark.parametrize("creep", [0.0, 0.1])
def test_a_booklet_passes(good: bytes, book: Book, creep: float) -> None:
    seen = read(Booklet(creep).make(good), folded(book, creep))
    assert (seen.findings, seen.pages, seen.grids) == ((), 11, 9)


def test_pages_in_reading_order_are_told(good: bytes, bound: Book) -> None:
    class Straight(Booklet):
        def order(self, pages: int) -> list[tuple[int, int]]:
            return [(p, p + 1) for p in range(1, pages + 1, 2)]

    told(Straight().make(good), bound, "page-missing", "prints", page=2)


def test_a_swapped_half_is_told(good: bytes, bound: Book) -> None:
    class Swapped(Booklet):
        def order(self, pages: int) -> list[tuple[int, int]]:
            sides = super().order(pages)
            sides[1] = sides[1][::-1]
            return sides

    told(Swapped().make(good), bound, "page-missing", "prints 11", page=2)


def test_a_missing_side_is_told(good: bytes, bound: Book) -> None:
    data = Booklet().make(good, keep=lambda side: side != 5)
    told(data, bound, "blank", "5 sides")


def test_what_stands_on_a_page_that_must_be_bare_is_told(good: bytes, bound: Book) -> None:
    def scribble(writer: pypdf.PdfWriter) -> None:  # 12 pages: the last is left of the first
        appended(writer.pages[0], "q 0 g 200 400 50 50 re f Q")

    told(edited(Booklet().make(good), scribble), bound, "page-missing", page=12)

    def shade(writer: pypdf.PdfWriter) -> None:  # ink that no path of the file tells of
        shading = ("<</ShadingType 2/ColorSpace/DeviceGray/Coords[0 0 0 842]"
                   "/Function<</FunctionType 2/Domain[0 1]/C0[0]/C1[0]/N 1>>>>")  # fmt: skip
        page = writer.pages[0]
        resources = page["/Resources"].get_object()
        read_back = pypdf.generic.read_object(io.BytesIO(shading.encode()), writer)
        found = pypdf.generic.DictionaryObject({pypdf.generic.NameObject("/Sh1"): read_back})
        resources[pypdf.generic.NameObject("/Shading")] = found
        appended(page, "q 100 400 60 60 re W n /Sh1 sh Q")

    told(edited(Booklet().make(good), shade), bound, "blank", "inked", page=1)


@dataclass
class Slipped(Booklet):
    """One page, or all of one hand, without its creep."""

    pages: tuple[int, ...] = ()

    def shift(self, page: int, sheet: int) -> float:
        return 0.0 if page in self.pages else super().shift(page, sheet)


def test_a_page_that_is_moved_too_little_is_told(good: bytes, book: Book) -> None:
    # page 5 of 12 is on the third sheet, two in from the cover: .2 mm, and 25.4 mm are 72 points
    data = Slipped(0.1, (5,)).make(good)
    found = told(data, folded(book, 0.1), "creep", "0.57 points further right", page=5)
    assert found.page == 5


def test_a_booklet_without_its_creep_is_told(good: bytes, book: Book) -> None:
    told(Booklet(0.0).make(good), folded(book, 0.1), "creep")


class Marked(Booklet):
    """A booklet whose marks a test has changed."""

    def __init__(self, side: int, gone: int | None, more: str = "") -> None:
        super().__init__()
        self.side, self.gone, self.more = side, gone, more

    def marks(self, side: int) -> list[str]:
        found = super().marks(side)
        if side == self.side:
            if self.gone is not None:
                del found[self.gone]
            found.append(self.more)
        return found


@pytest.mark.parametrize(
    "side, gone, more, words",
    [
        (2, 0, "", "lower fold mark"),
        (3, 1, "", "upper fold mark"),
        (3, 1, line(WIDE, HIGH - 42.5, WIDE, HIGH - 28.3), "upper fold mark"),  # not dashed
        (3, 1, line(WIDE + 2, HIGH - 42.5, WIDE + 2, HIGH - 28.3, "2 2"), "upper fold mark"),
        (0, 2, "", "lower staple mark"),
        (0, None, line(WIDE - 8.5, HIGH / 4, WIDE + 8.5, HIGH / 4), "staple mark"),  # twice
        (2, None, line(WIDE - 8.5, HIGH / 4, WIDE + 8.5, HIGH / 4), "no mark of it"),
        (3, None, line(WIDE - 50, 400, WIDE + 50, 400), "fold"),
    ],
)
def test_wrong_marks_are_told(
    thin: tuple[Book, bytes], side: int, gone: int | None, more: str, words: str
) -> None:
    book, data = thin
    told(Marked(side, gone, more).make(data), book, "fold-mark", words, page=side + 1)


def test_links_bookmarks_and_labels_have_no_place_in_a_booklet(good: bytes, bound: Book) -> None:
    def mark(writer: pypdf.PdfWriter) -> None:
        writer.add_outline_item(title="Puzzles", page_number=1)
        writer.set_page_label(0, 3, "/D")
        writer.add_annotation(1, Link(rect=(10, 10, 90, 90), url="https://a.b"))

    data = edited(Booklet().make(good), mark)
    told(data, bound, "bookmark", "no bookmarks")
    told(data, bound, "label", "no page labels")
    told(data, bound, "link", "no links")


def test_a_sheet_of_another_paper_is_told() -> None:
    a4 = Sheet(1, 841.89, 595.28, (), (), ())  # ISO 216, on its side
    codes = {f.code for f in unfold([a4, replace(a4, number=2)], "a5", 0.0).findings}
    assert codes == {"fold-mark"}
    upright = Sheet(1, 595.28, 841.89, (), (), ())
    found = unfold([upright, replace(a4, number=2)], "a5", 0.0).findings
    assert [f.page for f in found if f.code == "paper"] == [1]


# --- what a page number says, by its words alone -------------------------------------------------


def test_a_wrong_page_number_is_told_without_any_link(book: Book, bound: Book) -> None:
    class Tampered(Press):
        def reference(self, name: str, page: int) -> int:
            return page + (name == "answer-2")

    data = Booklet().make(Tampered(book).print())
    told(data, bound, "reference", "'Answer: page 11' beside puzzle 2: that is on page 10",
         page=5, number=2)  # fmt: skip
    told(data, bound, "reference", "row in the contents", page=2, number=2)


@pytest.mark.parametrize("name", ["hint-1-1", "hint-1-2", "hint-1-3", "puzzle-1"])
def test_every_kind_of_page_number_is_checked(book: Book, bound: Book, name: str) -> None:
    class Tampered(Press):
        def reference(self, which: str, page: int) -> int:
            return page - (which == name)

    told(Booklet().make(Tampered(book).print()), bound, "reference", number=1)


def test_a_page_number_that_is_not_printed_is_told(book: Book, bound: Book) -> None:
    class Tampered(Press):
        def link(self, section: str, x: float, y: float, words: str, name: str,
                 size: float = 9.5) -> None:  # fmt: skip
            if (section, name) != ("Puzzles", "answer-3"):
                super().link(section, x, y, words, name, size)

    data = Booklet().make(Tampered(book).print())
    told(data, bound, "reference-missing", "nothing printed in Puzzles", page=6, number=3)


def test_a_covered_digit_of_a_folded_page_is_told(good: bytes, book: Book, bound: Book) -> None:
    """Page 5 lies on the right half of the fifth side; r1c1 of its grid stands at its left."""
    cell = next(c for c, v in enumerate(book.entries[1].puzzle.clues) if v)
    x, y = WIDE + LEFT + (cell % 9) * 50 + 5, HIGH - 60 - 102 - (cell // 9 + 1) * 50 + 5

    def cover(writer: pypdf.PdfWriter) -> None:
        appended(writer.pages[4], f"q 1 g {x} {y} 40 40 re f Q")

    told(edited(Booklet().make(good), cover), bound, "ink-missing", page=5, number=2)


def test_a_booklet_is_written_by_pypdf_alone(good: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(Booklet().make(good)))
    assert len(reader.pages) == 6
    assert written(pypdf.PdfWriter(clone_from=reader))
