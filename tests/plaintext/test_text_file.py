"""The whole file: as checked by eye; whole, plain, the same each time; gives nothing away."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from packbuilder import gate, manifest
from packbuilder.book.assembling import assemble, book_of
from packbuilder.book.book import Book
from packbuilder.editions import TEXT
from packbuilder.errors import InputError
from packbuilder.grid import format_grid
from tests.conftest import ROOT
from tests.plaintext.reading import read_text
from tests.plaintext.small_book import checked_text, small_book, text_of
from tests.readback import books

PACKS = ("night-train", "cold-kettle-hill", "lantern-week")


@cache
def pack(name: str) -> Book:
    return book_of(assemble(gate.check(manifest.load(ROOT / "packs" / name))), TEXT)


@cache
def sample(name: str) -> bytes:
    """The text of a sample pack, or of a book of the tests."""
    return text_of(pack(name) if name in PACKS else getattr(books, name)())


ALL = (*PACKS, "mixed", "large", "single", "combined", "outside")


def test_the_small_book_is_as_it_was_checked() -> None:
    assert text_of(small_book(lessons=True)).decode() == checked_text().decode()


@pytest.mark.parametrize("name", ALL)
def test_the_file_is_plain(name: str) -> None:
    data = sample(name)
    text = data.decode("utf-8")
    assert not data.startswith(b"\xef\xbb\xbf")
    assert unicodedata.is_normalized("NFC", text)
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    assert "\n\n\n" not in text
    assert not re.search(r"[\r\t\f\v]| $|^ ", text, re.MULTILINE)
    assert all(line.isprintable() for line in text.split("\n"))
    long = [line for line in text.split("\n") if len(line) > 40]
    assert [line for line in long if " " in line] == []
    drawn = [ch for ch in set(text) if unicodedata.name(ch, "").startswith("BOX DRAWINGS")]
    assert drawn == []


@pytest.mark.parametrize("name", ALL)
def test_the_same_book_gives_the_same_bytes(name: str) -> None:
    assert sample(name) == text_of(pack(name) if name in PACKS else getattr(books, name)())


@pytest.mark.parametrize("name", ALL)
def test_no_answer_can_be_heard_before_the_answers(name: str) -> None:
    book = pack(name) if name in PACKS else getattr(books, name)()
    early, late = sample(name).decode().split("\n== Answers\n")
    for entry in book.entries:
        grid = format_grid(entry.solution)
        n = entry.puzzle.size
        rows = {" ".join(grid[k : k + n]) for k in range(0, n * n, n)}
        told = {" ".join(line.split()[1:]) for line in early.splitlines()}
        assert len(rows & told) < n  # a hint's position may have a full row, never all of them
        assert rows <= {" ".join(line.split()[1:]) for line in late.splitlines()}


@pytest.mark.parametrize("name", PACKS)
def test_sample_packs_pass_their_read_back(name: str) -> None:
    book = pack(name)
    seen = read_text(sample(name), book)
    assert [one.words() for one in seen.findings] == []
    tried = 2 * sum(lesson.trial is not None for lesson in book.lessons)
    assert seen.grids == tried + sum(2 + len(entry.hints) for entry in book.entries)


def test_every_heading_can_be_searched_for_by_number() -> None:
    lines = sample("cold-kettle-hill").decode().splitlines()
    for number in range(1, 25):
        for mark, times in (("##", 1), ("!!", 1)):
            assert sum(line.startswith(f"{mark} {number}: ") for line in lines) == times
    # the marks are used for headings and told at the head, nowhere else
    assert sum("##" in line for line in lines) == 24 + 1


def test_references_name_the_lines_of_headings() -> None:
    lines = sample("night-train").decode().splitlines()
    found = [line for line in lines if re.fullmatch(r"(First|Second|Third) hint: line \d+", line)]
    assert len(found) > 50
    for line in found:
        tier, _, number = line.split()[0], *line.rsplit(" ", 1)
        words = " ".join(lines[int(number) - 1 : int(number) + 1])
        assert re.match(rf"\?\? \d+(\.\d)?: {tier.lower()} hint, ", words)


def test_words_that_look_like_a_heading_are_refused() -> None:
    book = small_book()
    entry = book.entries[0]
    puzzle = replace(entry.puzzle, intro="## 2: is no heading", where="pack/manifest.yaml:7")
    with pytest.raises(InputError, match=r"^pack/manifest.yaml:7: puzzle 'low-water': intro: beg"):
        text_of(replace(book, entries=(replace(entry, puzzle=puzzle),)))


def test_the_line_of_a_mark_in_the_middle_of_words_is_no_heading() -> None:
    book = small_book()
    words = "Mind the steps, they are quite steep, == Puzzles is what the sign says ** here."
    odd = replace(book, pack=replace(book.pack, theme=words))
    data = text_of(odd)
    assert not re.search(rb"^== Puzzles is", data, re.MULTILINE)
    assert [one.words() for one in read_text(data, odd).findings] == []


def test_a_book_without_hints_does_not_speak_of_them() -> None:
    text = sample("single").decode()
    assert "Hint" not in text
    assert "hint" not in text


def test_an_empty_grid_is_said_to_be_empty() -> None:
    book = small_book()
    entry = book.entries[0]
    bare = replace(entry, puzzle=replace(entry.puzzle, clues=(0,) * 16))
    assert b"** Grid\n\nThe grid is empty.\n\nr1  ." in text_of(replace(book, entries=(bare,)))


def test_a_file_is_read_from_its_path(tmp_path: Path) -> None:
    place = tmp_path / "harbour-text.txt"
    place.write_bytes(text_of(small_book()))
    assert read_text(place, small_book()).ok
    with pytest.raises(InputError, match="no-such"):
        read_text(tmp_path / "no-such.txt", small_book())
