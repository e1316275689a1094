"""ReadBack and Finding: what the proof-reader says of a printed file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

CODES = {
    # the text edition
    "encoding": "a text file is not plain UTF-8, in normal form C, with line feeds",
    "text-form": "a line of a text file is not as the house style has it",
    "section": "a section is missing, out of order, or has too much in it",
    # what a reader sees: puzzles, hints and answers
    "grid-missing": "a grid that the book has is not printed",
    "grid-doubled": "a grid is printed twice",
    "grid-unknown": "a grid that the book does not have, or that no caption names",
    "grid-broken": "the lines do not make a whole, even grid",
    "grid-size": "a grid has the wrong number of cells",
    "line-missing": "a cell line is not drawn",
    "border-thin": "a border is not clearly heavier than the cell lines",
    "border-wrong": "the borders drawn are not those of the puzzle's regions",
    "caption": "a title or a setter differs from the manifest",
    "cover": "the picture on the cover is not the book's",
    "words": "words of the book are not printed as the book has them",
    "digit-missing": "a digit of the book is not printed",
    "digit-extra": "a digit is printed in a cell that must be empty",
    "digit-wrong": "a printed digit is another one than the book's",
    "digit-doubled": "two digits stand in one cell",
    "digit-moved": "a digit stands off the middle of its cell",
    "digit-turned": "a digit is turned, mirrored or squeezed",
    "digit-face": "a digit is set in the wrong face: clue and solved digit cannot be told apart",
    "stray-text": "text in or over a grid is no digit of it",
    "candidate": "the candidates shown differ from the hint's",
    "struck": "the candidates struck out differ from the hint's",
    "outline": "the tiles, frames, boxes and outlines of cells are not those of the hint's step",
    "evidence": "the rings, dots and crosses over a hint's grid are not those of its evidence",
    "link-drawn": "the rails and letters in a hint's grid are not those of its links",
    "ink-missing": "a digit is in the file but not in the ink: white, hidden or covered",
    "ink-wrong": "the ink of a character looks like another one",
    "ink-faint": "the ink of a character is too faint",
    "ink-stray": "there is ink of text where the file has no character",
    "hidden-text": "text is in the file but not in the ink",
    "rule-missing": "a clue of a rule (a cage, a line, a mark) is not printed, or not whole",
    "rule-wrong": "a clue of a rule is printed as another one",
    "rule-extra": "a clue of a rule is printed that the puzzle does not have",
    "rule-name": "the names of a puzzle's rules are not those of the manifest",
    "mark-stray": "a mark in a grid belongs to no rule of it, or is none of the house style",
    "entry-letter": "a letter by which solvers enter is not in its cell, or not told of",
    "card-answer": "an answer at the foot of a card is wrong, missing, or on its puzzle's own card",
    "answer-shown": "a solved grid is printed outside the answers",
    "case": "a picture that teaches a rule or a grid differs from the book's, or is missing",
    "lesson": "an example of the primer differs from the lesson, or is missing",
    "not-unique": "the puzzle, as printed, has not exactly one solution",
    "not-proved": "the puzzle, as printed, could not be proved",
    # what a reader sees: ways through the book
    "link": "a link leads elsewhere than it says, or nowhere",
    "link-missing": "a printed page number is no live link",
    "reference": "a printed page number is not that of the page that it names",
    "reference-missing": "the page of a puzzle, its hints or its answer is not printed beside it",
    "field": "a field to type in is not named or filled as it must be",
    "field-missing": "an empty cell of a puzzle has no field for a digit, or none for notes",
    "field-extra": "a form field lies where there is no empty cell of a puzzle",
    "tag-cell": "a screen reader would hear a digit in another cell than its own, or not at all",
    "witness": "two readers of PDF files do not see the same letters on a page",
    # the file against the plan
    "other-edition": "the file is another edition of the pack than was asked for",
    "other-pack": "the file is another pack, by the title that it has",
    "file-damaged": "the file is not, byte for byte, built as this program builds files",
    "file-entries": "the catalogue of the file holds more, less or something else than planned",
    "not-as-planned": "a page shows more, less or something else than planned, or elsewhere",
    "page-entries": "the boxes of a page, or what else it has beside its marks, are not as planned",
    "font": "a font is not the house's own, letter by letter, or does not say what it shows",
    "tag": "what a screen reader is told is not what is planned",
    "bookmark": "bookmarks, named places or labels of pages are not as planned",
    "metadata": "what the file says of itself is not as planned",
}
"""Every code that a finding may carry, with what it means."""

MEND = (
    "build the pack again and read that file back; what is told of it once more is a fault of "
    "packbuilder: report it"
)
"""How to mend any of them: a file is never mended by hand."""


TOLD = 4
"""How many cells of a finding are told in words; the rest are counted."""


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong with the print.

    ``message`` is a sentence for a person. ``page`` is the physical page, from 1; None where the
    whole file is meant. Of a text file, which has no pages, ``line`` is the line, from 1. ``cells``
    are named ``r1c1``; ``number`` and ``puzzle`` (its id) say which puzzle, where one is meant.
    """

    code: str
    message: str
    page: int | None = None
    cells: tuple[str, ...] = ()
    number: int | None = None
    puzzle: str | None = None
    line: int | None = None

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise KeyError(self.code)

    def words(self) -> str:
        """One line for the terminal: where, what, and the code."""
        where = [f"page {self.page}"] if self.page is not None else []
        where += [f"line {self.line}"] if self.line is not None else []
        if self.number is not None:
            where.append(f"puzzle {self.number}" + (f" ({self.puzzle})" if self.puzzle else ""))
        if self.cells:
            more = f" and {len(self.cells) - TOLD} more" if len(self.cells) > TOLD else ""
            where.append(" ".join(self.cells[:TOLD]) + more)
        return f"{', '.join(where) or 'the file'}: {self.message} [{self.code}]"


@dataclass(frozen=True)
class ReadBack:
    """What was read: how many pages, how many grids of the book, and all that is wrong."""

    pages: int
    grids: int
    findings: tuple[Finding, ...] = ()
    note: str = ""
    """What a person should know of it, though it is nothing wrong."""
    planned: bool = True
    """Whether it was held against its plan too: else only what a reader sees is proved."""

    @property
    def ok(self) -> bool:
        """True if the print is the verified pack."""
        return not self.findings


def as_json(seen: ReadBack) -> dict[str, Any]:
    """The read-back as plain values, ready for one JSON document."""
    return {
        "verdict": "pass" if seen.ok else "mismatch",
        "pages": seen.pages,
        "grids": seen.grids,
        "note": seen.note,
        "against_plan": seen.planned,
        "findings": [
            {
                "code": f.code,
                "message": f.message,
                "page": f.page,
                "line": f.line,
                "cells": list(f.cells),
                "number": f.number,
                "puzzle": f.puzzle,
            }
            for f in seen.findings
        ],
    }


class Fault(NamedTuple):
    """What a check of one grid finds: ``cells`` are numbers; who calls it knows page and puzzle."""

    code: str
    message: str
    cells: tuple[int, ...] = ()


def first_few(words: Sequence[str]) -> str:
    """The first few of some words; the rest are counted."""
    more = f"; and {len(words) - TOLD} more" if len(words) > TOLD else ""
    return "; ".join(words[:TOLD]) + more


def gather(code: str, told: Iterable[tuple[int, str]]) -> Iterator[Fault]:
    """One fault for many cells: the first few are told, the rest are counted. None for none."""
    found = list(told)
    if found:
        words = first_few([words for _, words in found])
        yield Fault(code, words, tuple(dict.fromkeys(cell for cell, _ in found)))
