"""ReadBack and Finding: what the proof-reader says of a printed file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

CODES = {
    # the book as a whole
    "paper": "a page is not of the pack's paper, or is turned or cropped",
    "page-missing": "pages are missing, doubled or out of order",
    "section": "a section is missing, out of order, or shares or faces a page it must not",
    "label": "a page label differs from the folio",
    "bookmark": "the bookmarks differ from the book",
    "encoding": "a text file is not plain UTF-8, in normal form C, with line feeds",
    "text-form": "a line of a text file is not as the house style has it",
    "metadata": "what the file says of itself differs from the pack, or is more than it has to say",
    "font": "a font is not embedded, or is not a face of the house",
    "active": "the file holds what print cannot show: scripts, layers, notes, files, form fields",
    # what an edition has besides
    "ground": "a page of the dark edition has not its dark ground",
    "fold-mark": "marks for folding or stapling are missing, elsewhere or too many",
    "creep": "a page of a booklet stands off its place on its sheet",
    "blank": "bare pages of a booklet are missing, or are not bare",
    "page-box": "the boxes of a page are not those that a print shop needs",
    "crop-mark": "crop marks are missing, elsewhere or too many",
    "bleed": "the cover's band is not as it must be, or ink stands beyond the trim",
    "field": "a field to type in is not made, named or ordered as it must be",
    "field-missing": "an empty cell of a puzzle has no field to type in",
    "field-extra": "a form field lies where there is no empty cell of a puzzle",
    "full-pack": "the page on the full pack does not tell a puzzle, its setter and its grade",
    "not-sampled": "a sampler prints a puzzle that it must not give away",
    "lesson": "an example of the primer differs from the lesson, or is missing",
    # what a screen reader is told
    "tag": "the structure for screen readers is not whole, or not in the order of pages",
    "tag-text": "text on a page is neither in the structure nor marked as furniture",
    "tag-cell": "a screen reader would hear a cell that differs from the book's",
    "tag-heading": "a heading, or what a figure or table is, is told wrongly or not at all",
    # what stands on a page
    "margin": "ink or text stands too near the edge of the paper",
    "small-text": "text is smaller than a reader can be asked to read",
    "contrast": "text stands out too little from its ground",
    "hidden-text": "text is in the file but not in the ink",
    # puzzles, hints and answers
    "grid-missing": "a grid that the book has is not printed",
    "grid-doubled": "a grid is printed twice",
    "grid-unknown": "a grid that the book does not have, or that no caption names",
    "grid-broken": "the lines do not make a whole, even grid",
    "grid-size": "a grid has the wrong number of cells",
    "line-missing": "a cell line is not drawn, or is covered",
    "border-thin": "a border is not clearly heavier than the cell lines",
    "border-wrong": "the borders drawn are not those of the puzzle's regions",
    "caption": "a title or a setter differs from the manifest",
    "words": "a hint's words differ from the book",
    "digit-missing": "a digit of the book is not printed",
    "digit-extra": "a digit is printed in a cell that must be empty",
    "digit-wrong": "a printed digit is another one than the book's",
    "digit-doubled": "two digits stand in one cell",
    "digit-moved": "a digit stands off the middle of its cell",
    "digit-small": "a digit is set smaller than its neighbours",
    "digit-turned": "a digit is turned, mirrored or squeezed",
    "digit-face": "a digit is set in the wrong face: clue and solved digit cannot be told apart",
    "stray-text": "text in or over a grid is no digit of it",
    "candidate": "the candidates shown differ from the hint's",
    "struck": "the candidates struck out differ from the hint's",
    "shading": "the cells shaded or striped are not those of the hint's step",
    "ink-missing": "a digit is in the file but not in the ink: white, hidden or covered",
    "ink-wrong": "the ink of a digit looks like another one",
    "ink-faint": "the ink of a digit is too faint",
    "ink-stray": "ink in a cell that must be empty",
    "rule-missing": "a clue of a rule (a cage, a line, a mark) is not printed, or not whole",
    "rule-wrong": "a clue of a rule is printed as another one",
    "rule-extra": "a clue of a rule is printed that the puzzle does not have",
    "rule-name": "the names of a puzzle's rules are not those of the manifest",
    "mark-stray": "a mark belongs to no rule of its grid, or is none of the house style",
    "grade": "the lozenges before a grade are not as it says, or it is another puzzle's",
    "code": "a QR code is missing, or is not that of the puzzle's link",
    "mark-ink": "a mark of a rule is not in the ink as it must be: covered, pale or inked over",
    "answer-shown": "a solved grid is printed outside the answers",
    "not-unique": "the puzzle, as printed, has not exactly one solution",
    "not-proved": "the puzzle, as printed, could not be proved",
    # links
    "link": "a link leads elsewhere than it says, or nowhere",
    "link-missing": "a link that the reader is promised is not there",
    "reference": "a printed page number is not that of the page that it names",
    "reference-missing": "the page of a puzzle, its hints or its answer is not printed beside it",
    "destination": "a named place of the file is missing or elsewhere",
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


def gather(code: str, told: Iterable[tuple[int, str]]) -> Iterator[Fault]:
    """One fault for many cells: the first few are told, the rest are counted. None for none."""
    found = list(told)
    if found:
        words = "; ".join(words for _, words in found[:TOLD])
        more = f"; and {len(found) - TOLD} more" if len(found) > TOLD else ""
        yield Fault(code, words + more, tuple(dict.fromkeys(cell for cell, _ in found)))
