"""Rules in a text read back: each rule's clues, whole and changed."""

from __future__ import annotations

import random
import re
from dataclasses import replace

import pytest

from packbuilder.book.book import Book
from packbuilder.book.lessons import lessons
from packbuilder.book.rule_lessons import rule_grids
from packbuilder.grid import irregular
from packbuilder.proof.verdict import Verdict
from packbuilder.readback import ReadBack
from packbuilder.rules import kinds
from tests.plaintext.reading import read_text
from tests.plaintext.small_book import text_of
from tests.readback import books

SLUGS = list(kinds())
SILENT = ("anti-king", "anti-knight", "non-consecutive")

UNPROVED = {"not-proved", "not-unique"}


def unproved(data: str, book: Book) -> ReadBack:
    return read_text(data.encode(), book, prove=lambda *_: Verdict(None))


def codes(data: str, book: Book) -> set[str]:
    return {one.code for one in unproved(data, book).findings} - UNPROVED


def topic(text: str, title: str) -> tuple[int, int]:
    """Where the clues of a rule stand in a text: behind its words, up to the next heading."""
    start = text.index(f"** {title}\n", text.index("\n== Puzzles\n"))
    start = text.index("\n\n", text.index("\n\n", start) + 2) + 2
    return start, text.index("\n\n**", start)


@pytest.mark.parametrize("slug", SLUGS)
def test_each_rule_is_read_and_proved(slug: str) -> None:
    book = books.ruled(slug)
    assert [one.words() for one in read_text(text_of(book), book).findings] == []


@pytest.mark.parametrize("slug", list(rule_grids())[::4])
def test_the_grids_of_a_lesson_are_told_with_their_rules(slug: str) -> None:
    pack = replace(books.lone().pack, needs=(slug,))
    book = replace(books.lone(), pack=pack, lessons=lessons(pack))
    text = text_of(book)
    assert [one.words() for one in read_text(text, book).findings] == []
    (lesson,) = book.lessons
    assert lesson.example
    for name in lesson.example.rule_names:
        assert kinds()[name].title in text.decode().split("\n")


@pytest.mark.parametrize("slug", [slug for slug in SLUGS if slug not in SILENT])
def test_every_clue_line_counts(slug: str) -> None:
    book, title = books.ruled(slug), kinds()[slug].title
    text = text_of(book).decode()
    start, end = topic(text, title)
    lines = text[start:end].split("\n")
    assert lines
    for k, line in enumerate(lines):
        rest = [*lines[:k], *lines[k + 1 :]]
        if line:
            data = text[:start] + "\n".join(rest) + text[end:]
            assert codes(data, book) - {"reference"}, line
    twice = text[:start] + "\n".join([lines[0], *lines]) + text[end:]
    assert codes(twice, book) - {"reference"}


@pytest.mark.parametrize("slug", [slug for slug in SLUGS if slug not in SILENT])
def test_every_digit_of_a_clue_counts(slug: str) -> None:
    book, title = books.ruled(slug), kinds()[slug].title
    text = text_of(book).decode()
    start, end = topic(text, title)
    places = [start + m.start() for m in re.finditer(r"(?<!^)[\da-f](?![a-z])", text[start:end])]
    drawn = random.Random(7).sample(places, min(25, len(places)))
    for place in drawn:
        if re.match(r"[a-f]", text[place]) and slug != "extra-regions":
            continue
        other = {"a": "b"}.get(text[place], "a") if text[place].isalpha() else str(
            (int(text[place]) + 1) % 10
        )  # fmt: skip
        found = codes(text[:place] + other + text[place + 1 :], book)
        assert found, text[place - 20 : place + 10]


@pytest.mark.parametrize("slug", SILENT)
def test_a_rule_without_clues_counts_by_its_heading(slug: str) -> None:
    book, title = books.ruled(slug), kinds()[slug].title
    text = text_of(book).decode()
    start = text.index(f"** {title}\n", text.index("\n== Puzzles\n"))
    end = text.index("** From here", start)
    assert "rule-missing" in codes(text[:start] + text[end:], book)
    told = text[:end] + "1: r1c1 r1c2\n\n" + text[end:]
    assert "rule-wrong" in codes(told, book)


@pytest.mark.parametrize(
    ("slug", "old", "new", "code", "words"),
    [
        ("cages", r"cage (\d+): (r\d+c\d+ r\d+c\d+) (r\d+c\d+)", r"cage \1: \2", "rule-wrong",
         "is not printed as"),
        ("cages", r"cage 15", "cage 16", "rule-wrong", "cage 16 at r1c1 is printed"),
        ("cages", r"cage 3:", "cage 30:", "rule-wrong", "cannot add up to 30"),
        ("cages", r"(cage \d+: [^\n]+\n)", "", "rule-missing", "is not printed"),
        ("thermometers", r"1: (r\d+c\d+) (r\d+c\d+)", r"1: \2 \1", "rule-wrong", ""),
        ("arrows", r"circle (\S+), shaft (r\d+c\d+)", r"shaft \2, circle \1", "rule-wrong",
         "no circle"),
        ("dots", r"white: ", "black: ", "rule-wrong", ""),
        ("dots", r"shown: (some|all)", "shown: most", "rule-wrong", "whether all marks"),
        ("dots", r"shown: some", "shown: all", "rule-extra", "all dots are shown"),
        ("xv", r"X: (r\d+c\d+ r\d+c\d+)", r"X: \1, r1c1 r2c1", "rule-extra", ""),
        ("inequalities", r"(r\d+c\d+) less than: (r\d+c\d+)", r"\2 less than: \1", "rule-", ""),
        ("parity", r"even: ", "evens: ", "rule-wrong", "no clue"),
        ("sightlines", r"above: ", "left: ", "rule-wrong", ""),
        ("sandwich", r"c1 (\d+)", r"c1 2", "rule-wrong", "sandwich"),
        ("little-sums", r"sum (\d+)", "sum 13", "rule-wrong", "little sum 13"),
        ("diagonals", r"falling: [^\n]+\n", "", "rule-missing", "falling diagonal"),
        ("diagonals", r"rising: r6c1", "rising: r5c1", "rule-wrong", "does not run so"),
        ("extra-regions", r"(r1 +(?:[a.] +)*?)a", r"\1.", "rule-", ""),
        ("palindromes", r"1: (r\d+c\d+ )", "1: ", "rule-", ""),
        ("whispers", r"at least 3", "at least 2", "words", "stands where"),
    ],
)  # fmt: skip
def test_a_clue_that_is_another(slug: str, old: str, new: str, code: str, words: str) -> None:
    book, title = books.ruled(slug), kinds()[slug].title
    text = text_of(book).decode()
    at = text.index(f"** {title}\n", text.index("\n== Puzzles\n"))
    other = text[:at] + re.sub(old, new, text[at:], count=1)
    assert other != text
    told = [one for one in unproved(other, book).findings if one.code.startswith(code)]
    assert any(words in one.message and one.number == 1 for one in told), told


def test_clues_of_two_rules_outside_are_each_under_their_own_name() -> None:
    """There is no ring in a text: the heading says whose the numbers are."""
    book = books.outside()
    text = text_of(book).decode()
    assert "ring" not in text.split("== Puzzles")[1].split("== First hints")[0]
    start = text.index("** Sightlines\n", text.index("\n== Puzzles\n"))
    clue = next(line for line in text[start:].split("\n") if line.startswith("left: "))
    moved = text[:start] + text[start:].replace(f"{clue}\n", "", 1)
    at = moved.index("left: ", moved.index("** Sandwich sums\n", moved.index("\n== Puzzles\n")))
    moved = f"{moved[:at]}{clue}, {moved[at + len('left: ') :]}"
    told = unproved(moved, book).findings
    assert {"rule-missing", "rule-extra"} & {one.code for one in told}, told


@pytest.mark.parametrize("slug", ["cages", "thermometers", "sandwich"])
def test_what_is_printed_is_proved_with_its_rules(slug: str) -> None:
    book, title = books.ruled(slug), kinds()[slug].title
    text = text_of(book).decode()
    start, end = topic(text, title)
    first = text[start:end].split("\n", 1)[1]
    found = read_text((text[:start] + first.replace("2: ", "1: ", 1) + text[end:]).encode(), book)
    assert {one.code for one in found.findings} & {"not-unique", "rule-wrong", "rule-missing"}


def test_regions_are_read_from_their_letters() -> None:
    book = books.book([(irregular(books.CROOKED), 8)])
    text = text_of(book).decode()
    assert codes(text, book) == set()
    assert "border-wrong" in codes(text.replace("r1  a a a b b", "r1  a a b b b", 1), book)
    assert "border-wrong" in codes(text.replace("irregular regions\nG", "no blocks\nG", 1), book)
    second = text.index("\nr2 ", text.index("** Regions"))
    assert "grid-broken" in codes(text[:second] + text[text.index("\n", second + 1) :], book)
