"""Whole files of grids of every size from 4 to 16: they read back, and no sign may be another."""

from __future__ import annotations

import re
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.book.book import Book, Entry
from packbuilder.grid import SYMBOLS, Geometry, Values
from packbuilder.proof.kernel import random_solution
from packbuilder.proof.verdict import Verdict
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.readback import ReadBack, read_text
from tests.plaintext.small_book import text_of
from tests.plaintext.test_rows import GEOMETRIES
from tests.readback.books import hint


@st.composite
def solved(draw: st.DrawFn) -> tuple[Geometry, Values, Values]:
    """A geometry, some clues and the solved grid that they are of (there may be other ones)."""
    geometry = draw(st.sampled_from(GEOMETRIES))
    solution = tuple(random_solution(geometry, draw(st.integers(0, 50))))
    given_ = draw(st.lists(st.booleans(), min_size=len(solution), max_size=len(solution)))
    clues = tuple(v if keep else 0 for v, keep in zip(solution, given_, strict=True))
    return geometry, clues, solution


def book_of(geometry: Geometry, clues: Values, solution: Values) -> Book:
    puzzle = Puzzle("odd", "An Odd One", "Ada Quill", geometry, clues)
    told = (hint(geometry, clues, solution, 1),) if clues.count(0) > 3 else ()
    entry = Entry(1, puzzle, solution, 2, "naked-single", 10.0, (), told)
    return Book(Pack("odd", Path(), "Odd", "2026-12", "Ada Quill", (puzzle,)), (entry,))


def read(text: str, book: Book) -> ReadBack:
    """The read-back, all but the proof: these puzzles need not be unique."""
    verdict = Verdict(1, book.entries[0].solution)
    return read_text(text.encode(), book, prove=lambda *_: verdict)


@settings(deadline=None, max_examples=60)
@given(solved(), st.data())
def test_any_grid_reads_back_and_every_sign_counts(
    one: tuple[Geometry, Values, Values], data: st.DataObject
) -> None:
    book = book_of(*one)
    text = text_of(book).decode()
    # an "answer" of nothing but clues stands before the answers, as it must be told
    if 0 in one[1]:
        assert [f.words() for f in read(text, book).findings] == []
    rows = list(re.finditer(r"^r\d+ +(?=\S( |$))", text, re.MULTILINE))
    row = data.draw(st.sampled_from(rows))
    end = text.index("\n", row.end())
    place = data.draw(st.sampled_from(range(row.end(), end)))
    sign = data.draw(st.sampled_from(f"{SYMBOLS} H0ax"))
    other = text[:place] + sign + text[place + 1 :]
    if other != text:
        assert not read(other, book).ok
