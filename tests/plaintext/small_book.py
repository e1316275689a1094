"""A book of one 4x4 puzzle, made by hand, and its text edition beside it.

The grid is our own. The file ``low-water.txt`` was printed once, then read by eye, line by line,
against packbuilder/plaintext/text-edition.md: grids, references, candidates, words, order.
"""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

from packbuilder import __version__
from packbuilder.book.book import Book, Entry, Frame, Lesson
from packbuilder.grid import blocks, parse_grid
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.step import Step
from packbuilder.plaintext import outline_of, write_text
from packbuilder.puzzle import Pack, Promise, Puzzle
from packbuilder.rules import kinds

FILE = Path(__file__).with_name("low-water.txt")

GRID = blocks(2, 2)
CLUES = parse_grid(".....143.43.....", 4)
SOLUTION = parse_grid("4321214314323214", 4)

TRIED = parse_grid("1....2.....34...", 4)
TRIED_SOLUTION = parse_grid("1432321421434321", 4)

PARTS = kinds()["parity"].read({"even": "r1c1 r1c3", "odd": "r4c1"}, GRID)

HINT = Hint(
    where="Look at row 2.",
    idea="A full house: one cell of a house is left.",
    told="In row 2 only r2c1 is empty, so it is 2.",
    step=Step("full-house", 1, ((4, 2),), (), (5, 6, 7), (2,), (1,)),
    position=CLUES,
)
NOTED = Hint(
    where="Look at column 1.",
    idea="A naked pair: two cells of a house hold two digits between them.",
    told="In column 1, r1c1 and r4c1 hold 3 and 4 between them, so r3c1 cannot be 3 or 4.",
    step=Step("naked-pair", 4, (), ((8, 3), (8, 4)), (0, 12), (3, 4), (4,)),
    position=parse_grid("....2143.43.....", 4),
    shown=((0, (3, 4)), (8, (1, 3, 4)), (12, (3, 4))),
    struck=((8, 3), (8, 4)),
)


def small_book(*, lessons: bool = False) -> Book:
    """One puzzle with everything that the text edition can say of one."""
    puzzle = Puzzle(
        "low-water", "Low Water,  and a Long Walk over the Flats", "Zoë Marl", GRID, CLUES,
        promise=Promise(needs=("naked-pair",), no_notes=1), permission="by letter",
        intro='The tide is out -- "for good", says the gull.', link="https://example.org/low-water",
        rules=PARTS, rule_names=("parity",),
    )  # fmt: skip
    pack = Pack(
        "harbour", Path(), "Harbour Lights", "2026-12", "Ada Quill", (puzzle,),
        theme="One grid, by lantern.", foreword="The harbour sleeps.\n\nWe do not.\n",
        licence="Licensed under CC BY 4.0.",
    )  # fmt: skip
    entry = Entry(1, puzzle, SOLUTION, 4, "naked-pair", 10.0, (("naked-pair", 1),), (HINT, NOTED))
    letters, rests = ((0, "A"), (12, "B")), ((0, (3, 4)), (12, (3, 4)))
    found = replace(
        NOTED, step=replace(NOTED.step, removes=()), shown=rests, struck=(), letters=letters
    )
    frames = (
        Frame("Find", ("Take a house.", "Both cells see the 1 and the 2."), "A and B are alike.",
              found),
        Frame("Conclude", ("Compare its cells.",), "A and B hold 3 and 4.", found),
        Frame("Write", (), "r3c1 is 1: nothing else is left.", replace(NOTED, letters=letters)),
    )  # fmt: skip
    tried = Puzzle("to try: naked-pair", "Naked pair", "", GRID, TRIED)
    lesson = Lesson(
        "naked-pair", "Naked pair", 4, "Two cells hold two digits.", "Look for two cells alike.",
        example=Puzzle("primer: naked-pair", "Naked pair", "", GRID, CLUES), frames=frames,
        trial=Entry(0, tried, TRIED_SOLUTION, 4, "naked-pair", 10.0, (("naked-pair", 1),), ()),
        asks="Look for it yourself.",
    )  # fmt: skip
    return Book(pack, (entry,), lessons=(lesson,) if lessons else ())


def checked_text() -> bytes:
    """The text edition of the small book with its lesson, as it was checked by eye."""
    text = FILE.read_text(encoding="utf-8").replace("{version}", __version__)
    return text.encode("utf-8")


def text_of(book: Book) -> bytes:
    """A book's text edition."""
    out = io.BytesIO()
    write_text(outline_of(book), out)
    return out.getvalue()
