"""A month's pack for measuring: grids set by this program, bound by hand, with true hints."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from packbuilder.book.book import Book, Entry
from packbuilder.grid import blocks
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import walk
from packbuilder.puzzle import Pack, Puzzle
from tests.readback.books import carve

PUZZLES = 27
"""As many as make a print edition of 60 pages, one puzzle to a page."""

INTRO = "Set for this table of figures, and for nobody in particular. It can be done."
FOREWORD = "\n\n".join(["It is the month in which grids are counted, not solved. " * 4] * 4)


@cache
def month(puzzles: int = PUZZLES) -> Book:
    """A book of so many 9x9 puzzles of 30 clues or so, each proved to have one solution."""
    entries = tuple(_entry(k) for k in range(1, puzzles + 1))
    pack = Pack(
        slug="month",
        folder=Path("month"),
        title="A Month of Grids",
        issue="2026-12",
        byline="Ada Quill",
        puzzles=tuple(entry.puzzle for entry in entries),
        theme="Nines, all of them.",
        foreword=FOREWORD,
        layout="one-up",
    )
    return Book(pack, entries)


def _entry(number: int) -> Entry:
    geometry = blocks(3, 3)
    clues, solution = carve(geometry, number, 30)
    path = walk(geometry, clues)
    rating = path.rating
    link = f"https://example.org/month/{number}" if number % 5 == 0 else None
    puzzle = Puzzle(f"p{number}", f"Grid of Day {number}", "Ada Quill", geometry, clues,
                    intro=None if link else INTRO, link=link)  # fmt: skip
    return Entry(
        number=number,
        puzzle=puzzle,
        solution=solution,
        grade=rating.grade,
        hardest=rating.hardest,
        effort=rating.effort,
        techniques=rating.techniques,
        hints=hints(path),
        ways=path.ways(),
    )
