"""Whole files of grids of every size from 4 to 16: they read back, and no sign may be another."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.book.book import Book, Entry
from packbuilder.errors import InputError
from packbuilder.grid import SYMBOLS, Geometry, Values, latin
from packbuilder.proof.kernel import random_solution
from packbuilder.proof.verdict import Verdict
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.readback import ReadBack
from tests.plaintext.reading import read_text
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


ODD = st.lists(
    st.sampled_from(
        ["Answers", "Credits", "line 12", "Answer: line 3", "Size 4 by 4; no blocks", "Grade 3",
         "r1", "Link:", "Grid", "== Puzzles", "1: answer,", "hints 5;", "Rules: Cages", "page 9",
         "a - b", "Candidates that it speaks of:", "1/2", "Acts in: r1c1", "Zoe\u0308", "?!"]
    ),
    min_size=1, max_size=9,
).map(" ".join)  # fmt: skip
"""Words of a pack that look like the file's own."""


@settings(deadline=None, max_examples=80)
@given(st.lists(ODD, min_size=9, max_size=9), st.integers(0, 9))
def test_whatever_words_a_pack_has_they_read_back(words: list[str], seed: int) -> None:
    """They are refused where they would be taken for a heading or a row, or else read whole."""
    book = book_of(latin(5), (0,) * 25, tuple(random_solution(latin(5), seed)))
    entry = book.entries[0]
    puzzle = replace(entry.puzzle, title=words[0], setter=words[1], intro=words[2],
                     link=f"https://example.org/{seed}")  # fmt: skip
    told = replace(entry.hints[0], where=words[3], idea=words[4], told=words[5])
    entry = replace(entry, puzzle=puzzle, hints=(told,))
    pack = replace(book.pack, title=words[6], theme=words[7], byline=words[8], licence=words[1],
                   foreword=f"{words[2]}\n\n{words[7]}")  # fmt: skip
    odd = replace(book, pack=pack, entries=(entry,))
    try:
        text = text_of(odd).decode()
    except InputError as refused:
        assert "begin" in str(refused) or "cannot be set" in str(refused)
        return
    assert [one.words() for one in read(text, odd).findings] == []


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
