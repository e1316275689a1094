"""Pages lost, doubled, swapped or folded wrongly; and files that cannot be read."""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pypdf.generic import DecodedStreamObject

from packbuilder.book import Book
from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.plan.items import Fills, Item, Page, Plan, Table, Text
from packbuilder.readback import read
from packbuilder.reader import pdfium
from tests.readback import books
from tests.readback.altering import (
    altered,
    drawn,
    findings,
    letter_in,
    of_letter,
    planned,
    printed,
    told,
    with_pages,
)
from tests.readback.as_planned.sealing import content, sealed

PDFS = [name for name, edition in EDITIONS.items() if edition.suffix == ".pdf"]


def edited(data: bytes, edit: Callable[[pypdf.PdfWriter], object]) -> bytes:
    """The file after an edit of its objects by another program."""
    writer, out = pypdf.PdfWriter(clone_from=io.BytesIO(data)), io.BytesIO()
    edit(writer)
    writer.write(out)
    return out.getvalue()


def without(data: bytes, page: int) -> bytes:
    return edited(data, lambda writer: writer.remove_page(writer.pages[page - 1]))


LOST = [
    (1, "reference", "the number at its foot is"),
    (2, "reference", "the number at its foot is"),
    (3, "words", "How to play is not printed"),
    (5, "grid-missing", "Puzzles, 1 is not printed"),
    (10, "grid-missing", "Second hints, hint 1 is not printed"),
    (14, "grid-missing", "Third hints, hint 3 is not printed"),
    (16, "grid-missing", "Answers, 1 is not printed"),
    (17, "caption", "a setter's line in the credits"),
]


@pytest.mark.parametrize("page, code, words", LOST)
def test_a_missing_page_is_told(book: Book, plan: Plan, page: int, code: str, words: str) -> None:
    told(without(printed(plan), page), book, code, words)


def swapped(pages: tuple[Page, ...]) -> tuple[Page, ...]:
    return (*pages[:4], pages[5], pages[4], *pages[6:])


def test_pages_that_are_swapped_or_there_twice_are_told(book: Book, plan: Plan) -> None:
    made = with_pages(plan, swapped)
    told(made, book, "reference", "the number at its foot is", page=5)
    told(made, book, "reference", "that is on page", number=1)
    twice = with_pages(plan, lambda pages: (*pages[:6], pages[5], *pages[6:]))
    told(twice, book, "grid-doubled", page=7, number=2)
    early = with_pages(plan, lambda pages: (*pages[:4], pages[13], *pages[4:13], *pages[14:]))
    told(early, book, "reference", "the number at its foot is", page=5)


def test_answers_that_are_swapped_are_told(book: Book, plan: Plan) -> None:
    numbers = {"1": "2", "2": "1"}

    def swap(item: Item) -> Item:
        if isinstance(item, Text) and item.text in numbers and item.size == 9.5:
            return replace(item, text=numbers[item.text])
        return item

    pages = [
        replace(p, items=tuple(map(swap, p.items))) if p.section == "Answers" else p
        for p in plan.pages
    ]
    found = told(replace(plan, pages=tuple(pages)), book, "digit-wrong", page=16, number=1)
    assert len(found.cells) > 20


def test_the_print_of_another_book_is_refused(plan: Plan) -> None:
    other = books.book([(books.blocks(3, 3), 30)] * 3)  # the same titles, more clues
    assert "digit-missing" in {one.code for one in read(printed(plan), other).findings}


def test_a_grid_that_runs_off_the_paper_is_told(book: Book, plan: Plan) -> None:
    wide = sealed(plan, content(rb"^(?=.*30\.61 Tf)(.*)$", rb"q 1 0 0 1 250 0 cm \1 Q"))
    told(wide, book, "grid-broken", "beyond the paper", page=5)


# --- editions ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PDFS)
def test_digits_are_told_in_every_edition(name: str) -> None:
    book = book_of(books.lone(), EDITIONS[name])
    plan, cell = planned(book), next(c for c, v in enumerate(book.entries[0].puzzle.clues) if v)
    g = letter_in(plan, "Puzzle 1", cell)
    ((x, y, letter),) = g.places
    other = ((x, y, str(int(letter) % 9 + 1)),)
    s = g.size
    white = Fills(((x - 0.05 * s, y - 0.05 * s, x + 0.55 * s, y + 0.75 * s),), "paper")
    for made, code in (
        (of_letter(plan, "Puzzle 1", cell, lambda g: replace(g, places=other)), "digit-wrong"),
        (of_letter(plan, "Puzzle 1", cell, lambda g: replace(g, ink="rule")), "ink-faint"),
        (drawn(plan, "Puzzles", white), "ink-missing"),
    ):
        if (name, code) != ("large-print", "ink-faint"):  # no ink of large print is faint
            told(made, book, code, number=1)


def test_a_light_page_among_dark_ones_is_told() -> None:
    book = book_of(books.lone(), EDITIONS["screen-dark"])
    light = sealed(planned(book), content(rb"0\.93 g( /F\S+ \S+ Tf 1 0 0 1 \S+ \S+ Tm <..> Tj EMC)",
                                          rb"0 g\1"))  # fmt: skip
    told(light, book, "ink-missing", number=1)


def test_a_booklet_that_is_folded_wrongly_is_told() -> None:
    book = book_of(books.plain(), EDITIONS["booklet"])
    halves = content(rb"(q [^q]*? 0 cm)(.*?\nQ\n)(q [^q]*? 0 cm)", rb"\3\2\1")
    told(sealed(planned(book), halves), book, "words", "how the booklet is folded", page=20)
    less = without(printed(planned(book)), 8)
    assert {"grid-missing", "reference"} <= {one.code for one in findings(less, book)}


def test_a_sampler_tells_the_full_pack_and_gives_nothing_away() -> None:
    whole = books.plain()
    book = book_of(replace(whole, pack=replace(whole.pack, sampler=1)), EDITIONS["sampler"])
    for old, new in (("Low Water", "Low Tide"), ("Ada Quill", "Ada Quilt"), ("Grade 2", "Grade 3")):
        made = altered(planned(book), "The full pack", lambda i, old=old: isinstance(i, Text) and
                       i.text == old, lambda i, new=new: replace(i, text=new))  # fmt: skip
        told(made, book, "caption", "a puzzle of the full pack")
    table = next(i for p in planned(whole).pages for i in p.items if isinstance(i, Table)
                 and i.summary.startswith("Answer 2"))  # fmt: skip
    told(drawn(planned(book), "Cover", table), book, "answer-shown", number=2)
    assert any(
        one.code == "grid-unknown" and one.number == 2
        for one in read(printed(planned(whole)), book).findings
    )


# --- files ---------------------------------------------------------------------------------------


def locked(data: bytes) -> bytes:
    return edited(data, lambda writer: writer.encrypt("secret", algorithm="AES-128"))


def pageless(_: bytes) -> bytes:
    out = io.BytesIO()
    pypdf.PdfWriter().write(out)
    return out.getvalue()


def flooded(data: bytes) -> bytes:
    def flood(writer: pypdf.PdfWriter) -> None:
        stream = DecodedStreamObject()
        stream.set_data(b"0 0 m 9 9 l S " * 2_000_000)
        page: Any = writer.pages[2]
        page[pypdf.generic.NameObject("/Contents")] = writer._add_object(stream.flate_encode())

    return edited(data, flood)


UNREADABLE: dict[str, tuple[Callable[[bytes], bytes | Path], str]] = {
    "nothing": (lambda data: b"", "the PDF: is empty; build the pack again"),
    "blanks": (lambda data: b"  \n", "the PDF: is empty; build the pack again"),
    "a picture": (lambda data: b"\x89PNG\r\n\x1a\n" + bytes(99), "is not a PDF"),
    "half of it": (lambda data: data[: len(data) // 2], "is cut short"),
    "no file": (lambda data: Path("no-such.pdf"), "name a PDF of a pack"),
    "a folder": (lambda data: Path(), "name a PDF of a pack"),
    "an encrypted file": (locked, "the PDF is encrypted; read back the file as it was built"),
    "a flood": (flooded, "page 3 holds too many marks to be a page of puzzles"),
    "no pages": (pageless, "its structure is damaged"),
    "no structure": (lambda data: data[:20] + bytes(len(data) - 60) + data[-40:], "is damaged"),
}  # fmt: skip


@pytest.mark.parametrize("name", UNREADABLE)
def test_a_file_that_cannot_be_read_is_told_in_a_sentence(
    book: Book, plan: Plan, name: str
) -> None:
    change, words = UNREADABLE[name]
    with pytest.raises(InputError) as fault:
        read(change(printed(plan)), book)
    assert words in str(fault.value)
    assert "\n" not in str(fault.value)


@pytest.mark.parametrize(
    "room, name, value, words",
    [
        (pdfium, "MAX_PAGES", 10, "the PDF has 17 pages; 10 can be read"),
        (pdfium, "MAX_MARKS", 50, "page 1 holds too many marks"),
    ],
)
def test_there_are_bounds(book: Book, plan: Plan, monkeypatch: pytest.MonkeyPatch, room: Any,
                          name: str, value: int, words: str) -> None:  # fmt: skip
    monkeypatch.setattr(room, name, value)
    with pytest.raises(InputError, match=words):
        read(printed(plan), book)


def test_a_file_on_disk_reads_like_its_bytes(book: Book, plan: Plan, tmp_path: Path) -> None:
    path = tmp_path / "pack.pdf"
    path.write_bytes(printed(plan))
    assert read(path, book, plan).ok


@pytest.mark.parametrize("seed", range(12))
def test_bytes_turned_over_never_give_a_traceback(book: Book, plan: Plan, seed: int) -> None:
    rng, data = random.Random(seed), bytearray(printed(plan))
    for _ in range(3 ** (seed % 6)):
        data[rng.randrange(20, len(data) - 40)] = rng.randrange(256)
    try:
        seen = read(bytes(data), book, plan)
    except InputError as fault:
        assert "\n" not in str(fault)
    else:
        assert not seen.ok


def test_a_curve_of_endless_extent_is_still_read(plan: Plan) -> None:
    curve = content(rb"$", b"\n0 G 1 w 0 0 m 1e30 1e30 -1e30 1e30 600 800 c S")
    with pdfium.File(sealed(plan, curve)) as opened, opened.page(1) as page:
        assert page.marks().drawings
