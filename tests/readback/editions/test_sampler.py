"""The sampler: it tells of the full pack, and gives no other puzzle away."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packbuilder.book.book import Book, Entry
from packbuilder.readback import read
from tests.readback import books
from tests.readback.tiny_press import LEFT, TOP, Press
from tests.readback.told import told

Pages = list[tuple[str, list[tuple[Entry, int]]]]


@pytest.fixture(scope="module")
def sampler(book: Book) -> Book:
    """The first of three puzzles."""
    return replace(book, entries=book.entries[:1], whole=book.entries)


class Sampler(Press):
    """Prints a sampler, with its page on the full pack in two columns."""

    def plan(self) -> Pages:
        pages = super().plan()
        return [*pages[:-1], ("The full pack", []), pages[-1]]

    def row(self, entry: Entry) -> tuple[str, str, str]:
        """What is told of a puzzle: title, setter, grade."""
        return entry.puzzle.title, entry.puzzle.setter, f"Grade {entry.grade}"

    def page(self, section: str, some: list[tuple[Entry, int]]) -> None:
        super().page(section, some)
        if section == "The full pack":
            for k, entry in enumerate(self.book.whole):
                x, y = LEFT + 250 * (k % 2), TOP - 60 - 50 * (k // 2)
                title, setter, grade = self.row(entry)
                self.text(x, y, str(entry.number), 11)
                self.text(x + 25, y, title, 11)
                self.text(x + 25, y - 14, setter, 10)
                self.text(x + 200, y - 14, grade, 10)
                if grade:
                    self.pips(x + 200, y - 14, int(grade[-1]), 10)

    def pips(self, x: float, y: float, filled: int, size: float) -> None:
        """Seven lozenges before words that begin at x, to the letter of the house style."""
        self.c.setLineWidth(0.5)
        for k in range(7):
            middle, level = x - (0.7 + 0.31 + (6 - k) * 0.92) * size, y + 0.32 * size
            reach = 0.31 * size - (0.25 if k >= filled else 0)
            path = self.c.beginPath()
            path.moveTo(middle + reach, level)
            path.lineTo(middle, level + reach)
            path.lineTo(middle - reach, level)
            path.lineTo(middle, level - reach)
            path.close()
            self.c.drawPath(path, stroke=k >= filled, fill=k < filled)


def test_a_sampler_passes(sampler: Book) -> None:
    seen = read(Sampler(sampler).print(), sampler)
    assert (seen.findings, seen.grids) == ((), 3)


def test_a_sampler_without_its_page_is_told(sampler: Book, book: Book) -> None:
    told(Press(sampler).print(), sampler, "page-missing", "The full pack")
    whole = replace(book, whole=())
    data = Sampler(replace(whole, whole=book.entries)).print()
    told(data, whole, "section", "nothing to print under 'The full pack'")


@pytest.mark.parametrize(
    "change, words",
    [
        (("Low Tide", "Ada Quill", "Grade 2"), "does not name it"),
        (("Low Water", "Ada Quilt", "Grade 2"), "does not name its setter, 'Ada Quill'"),
        (("Low Water", "Ada Quill", "Grade 3"), "does not tell its grade, 2"),
        (("Low Water", "Ada Quill", ""), "does not tell its grade, 2"),
    ],
)
def test_a_puzzle_told_wrongly_is_told(
    sampler: Book, change: tuple[str, str, str], words: str
) -> None:
    class Tampered(Sampler):
        def row(self, entry: Entry) -> tuple[str, str, str]:
            return change if entry.number == 2 else super().row(entry)

    found = told(Tampered(sampler).print(), sampler, "full-pack", words, page=9, number=2)
    assert found.puzzle == "p2"


def test_a_puzzle_given_away_is_told(sampler: Book) -> None:
    class Tampered(Sampler):
        def page(self, section: str, some: list[tuple[Entry, int]]) -> None:
            super().page(section, some)
            if section == "How to play":
                entry = self.book.whole[2]
                self.grid("x", entry, 0, entry.puzzle.clues, 100, 600, 180)

    told(Tampered(sampler).print(), sampler, "not-sampled", "Gulls", page=3, number=3)


def test_an_answer_of_the_full_pack_is_told(sampler: Book) -> None:
    class Tampered(Sampler):
        def page(self, section: str, some: list[tuple[Entry, int]]) -> None:
            super().page(section, some)
            if section == "The full pack":
                entry = self.book.whole[1]
                self.grid("x", entry, 0, entry.solution, 100, 400, 180)

    told(Tampered(sampler).print(), sampler, "answer-shown", page=9, number=2)


def test_a_sampler_is_not_the_whole_pack(book: Book, sampler: Book) -> None:
    data = Sampler(replace(book, whole=book.entries)).print()
    told(data, sampler, "grid-unknown", "no Puzzles 2", number=2)


def test_sizes_come_from_the_edition(good: bytes, book: Book) -> None:
    """The tests' press sets text in 9.5 to 11 pt, clues in 27.5, candidates in 6.4."""

    def asked(**least: float) -> Book:
        return replace(book, edition=replace(books.PLAIN_PRINT, **least))

    assert read(good, asked(text=9.5, furniture=9.0, digits=27.4, small=6.3)).findings == ()
    told(good, asked(text=10.0), "small-text", "the least is 10 pt")
    told(good, asked(furniture=9.5), "small-text", "the least is 9.5 pt")
    told(good, asked(digits=28.0), "digit-small", "at least 28 pt", page=4, number=1)
    told(good, asked(small=7.0), "digit-small", "candidates are at least 7 pt", number=1)
    told(good, asked(text=12.0), "digit-small", "at least 12 pt", page=10)  # digits of answers
