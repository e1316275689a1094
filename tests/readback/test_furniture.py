"""What is drawn outside the grids of real pages: each kind of it, changed, is told."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pypdf
import pytest

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS
from packbuilder.readback import Finding, document, read
from packbuilder.readback.squares import modules
from packbuilder.readback.survey import survey
from tests.pages.sample_book import sample_book, with_puzzle
from tests.printing import print_book
from tests.readback.test_pages import edited

LINK = "https://example.org/harbour/first-ferry"
Change = Callable[[bytes], bytes]


def printed(book: Book) -> bytes:
    out = io.BytesIO()
    print_book(book, out)
    return out.getvalue()


@pytest.fixture(scope="module")
def real() -> tuple[Book, bytes]:
    whole = with_puzzle(sample_book(), 0, link=LINK)
    entries = tuple(replace(e, ways=(3, 1, 9, 2, 1)) for e in whole.entries[:2])
    book = Book(replace(whole.pack, puzzles=tuple(e.puzzle for e in entries)), entries)
    data = printed(book)
    assert read(data, book).findings == ()
    return book, data


def changed(data: bytes, page: int, change: Change) -> bytes:
    def edit(writer: pypdf.PdfWriter) -> None:
        content = writer.pages[page - 1].get_contents()
        assert content is not None
        before = content.get_data()
        after = change(before)
        assert after != before
        content.set_data(after)
        writer.pages[page - 1].replace_contents(content)

    return edited(data, edit)


def page_of(data: bytes, words: bytes) -> int:
    """The first page whose content has some operators."""
    for number, page in enumerate(pypdf.PdfReader(io.BytesIO(data)).pages, start=1):
        content = page.get_contents()
        if content is not None and words in content.get_data():
            return number
    raise AssertionError(words)


def added(code: str) -> Change:
    return lambda content: content + f"\n/Artifact BMC q {code} Q EMC\n".encode()


def found(real: tuple[Book, bytes], page: int, change: Change, code: str) -> Finding:
    book, data = real
    findings = read(changed(data, page, change), book).findings
    for one in findings:
        if one.code == code:
            return one
    raise AssertionError(f"no {code}; told were:\n" + "\n".join(f.words() for f in findings))


@pytest.mark.parametrize(
    "code",
    [
        "0 G 6 w 60 300 m 200 700 400 100 540 600 c S",  # a scribble
        "0 G 1 w 300 300 m 340 300 320 300 310 240 c S",
        "0.5 g 300 60 100 10 re f",  # a grey bar
        "0 g 230 560 300 40 re f",  # over words
        "1 g 40 650 500 40 re f",  # white
        "0 G 2.2 w 100 400 m 500 400 l S",  # a head's rule, and no section begins here
        "0.5 G 0.5 w 100 400 m 500 420 l S",  # slanted
        "0.5 G 0.5 w [3 2] 0 d 100 60 m 500 60 l S",
        "0 g 300 60 m 305 65 l 300 70 l 295 65 l h f",  # a lozenge on its own
    ],
)
@pytest.mark.parametrize("section", [b"(Cover)", b"Second", b"Credits"])
def test_a_mark_of_no_known_kind_is_told(
    real: tuple[Book, bytes], code: str, section: bytes
) -> None:
    book, data = real
    count = len(pypdf.PdfReader(io.BytesIO(data)).pages)
    page = {b"(Cover)": 1, b"Second": count - 3, b"Credits": count}[section]
    found((book, data), page, added(code), "mark-stray")


def test_a_rule_through_words_is_told(real: tuple[Book, bytes]) -> None:
    run = survey(document.sheets(real[1])[1]).runs[8]
    rule = f"0.5 G 0.5 w {run.x0 - 5} {run.y + 3} m {run.x1 + 5} {run.y + 3} l S"
    assert "over text" in found(real, 2, added(rule), "mark-stray").message


def test_an_image_on_the_page_is_told(real: tuple[Book, bytes]) -> None:
    inline = "30 0 0 3 300 60 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \0 EI"
    assert "an image" in found(real, 2, added(inline), "mark-stray").message


# --- pips ----------------------------------------------------------------------------------------

_OPEN = re.compile(rb"0 G [\d.]+ w ((?:[\d.]+ [\d.]+ m(?: [\d.]+ [\d.]+ l){3} h ?)+)S")
_FULL = re.compile(rb"(?:0 g )?(?:[\d.]+ [\d.]+ m(?: [\d.]+ [\d.]+ l){3} h ?)+f")


def test_pips_that_are_all_filled_are_told(real: tuple[Book, bytes]) -> None:
    page = page_of(real[1], b"/TD")
    told = found(real, page, lambda c: _OPEN.sub(rb"0 g \1f", c), "grade")
    assert "7 of the lozenges before 'Grade" in told.message


def test_pips_that_are_gone_are_told(real: tuple[Book, bytes]) -> None:
    page = page_of(real[1], b"/TD")
    told = found(real, page, lambda c: _OPEN.sub(b"", _FULL.sub(b"", c)), "grade")
    assert "0 of 7 lozenges" in told.message


def test_the_grade_of_another_puzzle_is_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    entry = book.entries[0]
    assert isinstance(entry.grade, int)
    asked = replace(book, entries=(replace(entry, grade=entry.grade + 1), *book.entries[1:]))
    told = [f for f in read(data, asked).findings if f.code == "grade"]
    assert told[0].number == 1


# --- QR codes ------------------------------------------------------------------------------------


def longest(content: bytes) -> tuple[bytes, list[bytes]]:
    """The line of the code: the one with most boxes."""
    line = max(content.split(b"\n"), key=lambda one: one.count(b" re"))
    return line, re.findall(rb"[\d.]+ [\d.]+ [\d.]+ [\d.]+ re", line)


def test_a_code_without_some_of_its_modules_is_told(real: tuple[Book, bytes]) -> None:
    page = page_of(real[1], b"/TD")

    def thinned(content: bytes) -> bytes:
        line, boxes = longest(content)
        kept = b" ".join(box for k, box in enumerate(boxes) if k % 40)
        return content.replace(line, b"0 g " + kept + b" f")

    told = found(real, page, thinned, "code")
    assert told.number == 1
    assert "modules of its QR code are not those of its link" in told.message


def test_a_missing_code_and_the_code_of_another_link_are_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    page = page_of(data, b"/TD")

    def gone(content: bytes) -> bytes:
        return content.replace(longest(content)[0], b"")

    assert "0 QR codes" in found(real, page, gone, "code").message
    puzzle = replace(book.entries[0].puzzle, link=LINK[:-1] + "x")
    asked = replace(book, entries=(replace(book.entries[0], puzzle=puzzle), book.entries[1]))
    assert any(f.code == "code" for f in read(data, asked).findings)


def test_modules_are_those_of_the_standard() -> None:
    """Three finders, and the dark module (ISO/IEC 18004, 6.3.3 and 7.9; from memory)."""
    code = modules(LINK)
    n = len(code)
    assert (n - 17) % 4 == 0
    ring = [(r, c) for r in range(7) for c in range(7) if r in (0, 6) or c in (0, 6)]
    for top, left in ((0, 0), (0, n - 7), (n - 7, 0)):
        assert all(code[top + r][left + c] for r, c in ring)
    assert code[n - 8][8]


# --- pictures, strips, cards ---------------------------------------------------------------------


def test_a_picture_of_other_clues_is_told(real: tuple[Book, bytes]) -> None:
    def smaller(content: bytes) -> bytes:
        _, boxes = longest(content)
        x, y, w, h, _ = boxes[0].split()
        small = b"%b %b %.2f %.2f re" % (x, y, float(w) * 0.8, float(h) * 0.8)
        return content.replace(boxes[0], small, 1)

    found(real, 1, smaller, "mark-stray")


def test_a_strip_of_another_solve_is_told(real: tuple[Book, bytes]) -> None:
    book, data = real
    longer = replace(book.entries[0], ways=(3, 1, 9, 2, 2))
    asked = replace(book, entries=(longer, *book.entries[1:]))
    told = [f for f in read(data, asked).findings if f.code == "mark-stray"]
    assert [f.message for f in told] == ["the strip under it is not that of its solve"]


@pytest.mark.parametrize("edition", ["screen-dark", "print-shop", "booklet"])
def test_marks_are_told_in_every_edition(real: tuple[Book, bytes], edition: str) -> None:
    book = book_of(real[0], EDITIONS[edition])
    data = printed(book)
    scribble = added("0.5 G 3 w 120 300 m 140 340 200 310 240 380 c S")
    findings = read(changed(data, 2, scribble), book).findings
    assert "mark-stray" in {f.code for f in findings}


def test_gift_cards_are_known_and_what_is_scribbled_on_them_is_told() -> None:
    whole = sample_book(layout="gift-card")
    entries = whole.entries[:2]
    pack = replace(whole.pack, puzzles=tuple(e.puzzle for e in entries))
    book = Book(pack, entries)
    data = printed(book)
    assert [f for f in read(data, book).findings if f.code == "mark-stray"] == []
    page = page_of(data, b"/TD")
    found((book, data), page, added("0 g 60 70 9 30 re f"), "mark-stray")
