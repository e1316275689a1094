"""Pages: missing, swapped, in the wrong order, too near the edge, too small, too pale."""

from __future__ import annotations

import io
from collections.abc import Callable

import pypdf
import pytest
from pypdf.generic import NameObject, NumberObject, RectangleObject
from reportlab.pdfgen.canvas import Canvas

from packbuilder.book.book import Book, Entry
from packbuilder.readback import read
from packbuilder.readback.colour import contrast
from packbuilder.readback.links import Paper
from packbuilder.readback.page_checks import check_papers, check_sections
from packbuilder.readback.reading import _agree
from packbuilder.readback.sections import TIERS, plain, says, unsaid
from tests.readback.conftest import Refused
from tests.readback.signed import reopened
from tests.readback.tiny_press import Press

Pages = list[tuple[str, list[tuple[Entry, int]]]]


def edited(data: bytes, edit: Callable[[pypdf.PdfWriter], None]) -> bytes:
    """The file after an edit of its objects."""
    writer = reopened(data)
    edit(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def without_page(number: int) -> Callable[[pypdf.PdfWriter], None]:
    return lambda writer: writer.remove_page(writer.pages[number - 1])


def replanned(book: Book, change: Callable[[Pages], Pages]) -> bytes:
    class Tampered(Press):
        def plan(self) -> Pages:
            return change(super().plan())

    return Tampered(book).print()


@pytest.mark.parametrize("number", [2, 5, 9, 10])
def test_a_missing_page_is_told(good: bytes, refused: Refused, number: int) -> None:
    data = edited(good, without_page(number))
    assert f"prints {number + 1}" in refused(data, "page-missing", number).message


def test_a_missing_last_page_is_told(good: bytes, refused: Refused) -> None:
    assert "Credits" in refused(edited(good, without_page(11)), "page-missing").message


def test_a_missing_puzzle_is_told_as_such(good: bytes, refused: Refused) -> None:
    refused(edited(good, without_page(5)), "grid-missing", number=2)


def test_swapped_pages_are_told(good: bytes, refused: Refused) -> None:
    def swap(writer: pypdf.PdfWriter) -> None:
        kids = writer.root_object["/Pages"]["/Kids"]
        kids[4], kids[5] = kids[5], kids[4]

    refused(edited(good, swap), "page-missing", 5)


def test_a_doubled_page_is_told(book: Book, refused: Refused) -> None:
    def twice(pages: Pages) -> Pages:
        return [*pages[:5], pages[4], *pages[5:]]

    refused(replanned(book, twice), "grid-doubled", 6, number=2)


def test_answers_facing_puzzles_are_told(book: Book, refused: Refused) -> None:
    def early(pages: Pages) -> Pages:
        return [*pages[:3], pages[3], pages[9], *pages[4:9], *pages[10:]]  # 4 and 5 face

    found = refused(replanned(book, early), "section", 5)
    assert "out of order" in found.message or "face" in found.message


def test_sections_by_name() -> None:
    start = ["Cover", "Contents", "How to play", "Puzzles"]
    absent = {"Foreword", "Primer", "The full pack", *TIERS}
    assert list(check_sections([*start, "Puzzles", "Answers", "Credits"], absent)) == []
    facing = check_sections([*start, "Answers", "Credits"], absent)
    assert [f.page for f in facing] == [5]
    strange = check_sections([*start, "Puzzles", "Answer", "Credits"], absent - {"Foreword"})
    assert {f.code for f in strange} == {"section", "page-missing"}
    surplus = check_sections([*start, "Puzzles", "Answers", "The full pack", "Credits"], absent)
    assert [(f.code, f.page) for f in surplus] == [("section", 7)]


def swapped_answers(book: Book) -> bytes:
    class Tampered(Press):
        def caption(self, section: str, number: int, text: str) -> str:
            if section == "Answers" and number < 3:
                entry = self.book.entries[2 - number]
                return f"{entry.number} {entry.puzzle.title}"
            return text

    return Tampered(book).print()


def test_two_answers_swapped_are_told(book: Book, refused: Refused) -> None:
    found = refused(swapped_answers(book), "digit-wrong", 10, number=1)
    assert len(found.cells) > 20
    refused(swapped_answers(book), "not-unique", number=1)


@pytest.mark.parametrize(
    "section, caption, code",
    [
        ("Puzzles", "2 The Lamp Rooms", "caption"),
        ("Puzzles", "2 Low …", "caption"),
        ("Puzzles", "Low Water", "grid-unknown"),
        ("Puzzles", "7 Low Water", "grid-unknown"),
        ("Puzzles", "1 Low Water", "grid-doubled"),
        ("Answers", "2 High Water", "caption"),
        ("Third hints", "Hint 7", "grid-unknown"),
        ("Third hints", "2", "grid-unknown"),
    ],
)
def test_a_wrong_caption_is_told(
    book: Book, refused: Refused, section: str, caption: str, code: str
) -> None:
    class Tampered(Press):
        def caption(self, name: str, number: int, text: str) -> str:
            return caption if (name, number) == (section, 2) else text

    refused(Tampered(book).print(), code)


def test_a_wrong_setter_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def text(self, x: float, y: float, words: str, size: float, face: str = "") -> None:
            super().text(x, y, words.replace("Ada Quill", "Ada Quilt"), size)

    assert "setter" in refused(Tampered(book).print(), "caption", 4).message


def test_other_words_of_a_hint_are_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def text(self, x: float, y: float, words: str, size: float, face: str = "") -> None:
            super().text(x, y, words.replace("two digits", "ten digits"), size)

    refused(Tampered(book).print(), "words", 9)


def drawn(book: Book, section: str, draw: Callable[[Canvas], None]) -> bytes:
    """The book with something drawn on each page of a section."""

    class Tampered(Press):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == section:
                canvas.setFont("SourceSerifPro-Regular", 10)
                draw(canvas)

    return Tampered(book).print()


def pale(canvas: Canvas) -> None:
    canvas.setFillGray(0.55)
    canvas.drawString(100, 300, "You can barely read this")


def on_dark(canvas: Canvas) -> None:
    canvas.setFillGray(0.3)
    canvas.rect(90, 290, 200, 30, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.drawString(100, 300, "Black on dark grey")


def covered(canvas: Canvas) -> None:
    canvas.drawString(100, 300, "Nobody sees this")
    canvas.setFillGray(1)
    canvas.rect(90, 290, 200, 30, stroke=0, fill=1)


def invisible(canvas: Canvas) -> None:
    text = canvas.beginText(100, 300)
    text.setTextRenderMode(3)
    text.textOut("Nobody sees this")
    canvas.drawText(text)


@pytest.mark.parametrize(
    "draw, code",
    [
        (lambda c: c.drawString(15, 300, "near the edge"), "margin"),
        (lambda c: c.drawString(300, 10, "near the foot"), "margin"),
        (lambda c: c.line(100, 300, 590, 300), "margin"),
        (lambda c: c.rect(5, 5, 585, 832), "margin"),
        (lambda c: (c.setFont("SourceSerifPro-Regular", 8), c.drawString(100, 300, "x")),
         "small-text"),
        (pale, "contrast"),
        (on_dark, "contrast"),
        (covered, "hidden-text"),
        (invisible, "hidden-text"),
        (lambda c: (c.setFont("Helvetica", 11), c.drawString(100, 300, "not embedded")), "font"),
    ],
)  # fmt: skip
def test_each_fault_of_a_page_is_told(
    book: Book, refused: Refused, draw: Callable[[Canvas], None], code: str
) -> None:
    # a font is told once, at the first page that could use it
    refused(drawn(book, "How to play", draw), code, None if code == "font" else 3)


def shaded(canvas: Canvas) -> None:
    """Ink that no path, glyph or image of the file tells of."""
    path = canvas.beginPath()
    path.rect(5, 200, 30, 30)
    canvas.clipPath(path, stroke=0)
    canvas.linearGradient(0, 0, 0, 842, ((0.2, 0.2, 0.2), (0.2, 0.2, 0.2)))


@pytest.mark.parametrize(
    "draw, words",
    [
        (lambda c: c.drawString(15, 300, "near the edge"), "mm from the left edge"),
        (lambda c: c.line(100, 300, 590, 300), "1.9 mm from the right edge"),
        (shaded, "there is ink at"),
    ],
)
def test_each_eye_sees_the_margin(
    book: Book, refused: Refused, draw: Callable[[Canvas], None], words: str
) -> None:
    data = drawn(book, "How to play", draw)
    told = [f.message for f in read(data, book).findings if f.code == "margin"]
    assert any(words in message for message in told), told


def test_invisible_text_is_told_by_its_mode_too(book: Book, refused: Refused) -> None:
    data = drawn(book, "How to play", invisible)
    told = [f.message for f in read(data, book).findings if f.code == "hidden-text"]
    assert any("render mode 3" in message for message in told)
    assert any("not in the ink" in message for message in told)


def test_readers_that_disagree_on_the_pages_are_told() -> None:
    assert list(_agree(11, 11, 11)) == []
    assert [f.code for f in _agree(11, 10, 11)] == ["page-missing"]


def test_white_type_on_a_dark_ground_is_no_fault_but_its_ground_is_none_of_the_house(
    book: Book,
) -> None:
    def light(canvas: Canvas) -> None:
        canvas.rect(90, 290, 200, 30, stroke=0, fill=1)
        canvas.setFillGray(1)
        canvas.drawString(100, 300, "White on black")

    found = read(drawn(book, "How to play", light), book).findings
    assert [f.code for f in found] == ["mark-stray"]


def test_an_answer_outside_the_answers_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def after(self, name: str, canvas: Canvas) -> None:
            if name == "How to play":
                entry = self.book.entries[1]
                self.grid("x", entry, 0, entry.solution, 100, 600, 180)

    refused(Tampered(book).print(), "answer-shown", 3, number=2)


def test_half_a_grid_is_told(book: Book, refused: Refused) -> None:
    class Tampered(Press):
        def edge(self, section: str, number: int, pair: tuple[int, int], due: float) -> float:
            return due if section != "Puzzles" or number != 2 or max(pair) < 54 else 0.0

    data = Tampered(book).print()
    assert "5 rows and 9 columns" in refused(data, "grid-broken", 5).message
    refused(data, "grid-missing", number=2)


def turn(writer: pypdf.PdfWriter) -> None:
    writer.pages[4][NameObject("/Rotate")] = NumberObject(90)


def crop(writer: pypdf.PdfWriter) -> None:
    writer.pages[4].cropbox = RectangleObject((0, 0, 300, 500))


def resize(writer: pypdf.PdfWriter) -> None:
    writer.pages[4].mediabox = RectangleObject((0, 0, 612, 792))


@pytest.mark.parametrize("edit", [turn, crop, resize])
def test_a_page_of_another_shape_is_told(
    good: bytes, refused: Refused, edit: Callable[[pypdf.PdfWriter], None]
) -> None:
    refused(edited(good, edit), "paper", 5)


def test_papers_by_size() -> None:
    a5 = Paper(419.53, 595.28, 0, False)  # ISO 216: 148 x 210 mm
    assert list(check_papers([a5], "a5")) == []
    assert len(list(check_papers([a5], "letter"))) == 1


def test_contrast_of_known_greys() -> None:
    """The greys that just pass and just fail on white, by the formula of WCAG 2.2 (1.4.3)."""
    assert contrast((0x76 / 255,) * 3) == pytest.approx(4.54, abs=0.01)
    assert contrast((0x77 / 255,) * 3) == pytest.approx(4.48, abs=0.01)
    assert contrast((0.0, 0.0, 0.0)) == pytest.approx(21.0)


def test_words_are_told_apart_by_letters_not_by_typography() -> None:
    assert plain('"A rope" - and tar...') == plain("“A rope” — and tar…")
    assert says("The Lamp Room", "The Lamp Room")
    assert says("The Lamp …", "The Lamp Room")
    assert not says("The Lamp", "The Lamp Room")
    assert not says("…", "The Lamp Room")
    assert unsaid("It’s a long— way, a way", "It's a long way -- a way") == []
    assert unsaid("a long way", "a long, long way home") == ["long", "home"]


def test_a_scaled_page_is_told_by_its_widths(good: bytes, refused: Refused) -> None:
    """Shrinking a whole page leaves all text and lines in place; their sizes tell."""

    def shrink(writer: pypdf.PdfWriter) -> None:
        page = writer.pages[2]
        page.add_transformation((0.6, 0, 0, 0.6, 100, 100))

    refused(edited(good, shrink), "small-text", 3)
