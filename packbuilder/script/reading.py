"""Reading back: each page of a board or a script, seen as a viewer sees it, is what was meant.

Two proofs, as for a pack: *what is seen* (lines and digits, by the eyes, against the positions of
the solve, each of which must follow from the one before), and *the file is the plan*.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from packbuilder.grid import SYMBOLS, Values, cell_name
from packbuilder.plan.items import Plan
from packbuilder.puzzle import Puzzle
from packbuilder.readback.as_planned import differences
from packbuilder.readback.report import Finding
from packbuilder.reader.digits import fill
from packbuilder.reader.lattices import lattices
from packbuilder.reader.marks import PageMarks
from packbuilder.reader.pdfium import File
from packbuilder.reader.text import runs_of

Prove = Callable[[Puzzle, Values], Values | None]
"""The only solution of a puzzle from a position on; None where there is none, or not one."""


@dataclass(frozen=True)
class Shown:
    """What a page must show: its grids in order from the top, and words that stand on it."""

    grids: tuple[Values, ...]
    words: tuple[str, ...]


def read_board(
    data: bytes, plan: Plan, puzzle: Puzzle, positions: Sequence[Values], prove: Prove
) -> Iterator[Finding]:
    """All that is wrong with a board. ``positions`` are what its pages show, digit that falls and
    all."""
    seen: list[Values | None] = []
    with File(data) as file:
        for number, due in enumerate(positions, start=1):
            with file.page(number) as page:
                found = _grids(page.marks(), puzzle.size)
            seen.append(found[0] if found else None)
            yield from _compared(found, (due,), number, puzzle.size)
    yield from _follow(seen, puzzle, prove)
    yield from differences(data, plan)


def read_pages(
    data: bytes, plan: Plan, puzzle: Puzzle, shown: Sequence[Shown]
) -> Iterator[Finding]:
    """All that is wrong with a script or a rehearsal sheet, page by page."""
    with File(data) as file:
        for number, due in enumerate(shown, start=1):
            with file.page(number) as page:
                marks = page.marks()
            yield from _compared(_grids(marks, puzzle.size), due.grids, number, puzzle.size)
            text = "".join("".join(run.text.split()) for run in runs_of(marks.glyphs))
            for words in due.words:
                if "".join(words.split()) not in text:
                    yield Finding("words", f"{words!r} is not to be read there", number)
    yield from differences(data, plan)


def _grids(marks: PageMarks, size: int) -> list[Values]:
    """The digits of the grids of that size on a page, from the top; small ones are not digits."""
    strokes = [
        stroke for drawing in marks.drawings for stroke in drawing.strokes() if not stroke.dashed
    ]
    level = [s for s in strokes if abs(s.x0 - s.x1) < 0.01 or abs(s.y0 - s.y1) < 0.01]
    found, _ = lattices(level)
    whole = sorted((one for one in found if one.size == size), key=lambda one: -one.y[0])
    return [fill(one, marks.glyphs, candidates=True).values(size) for one in whole]


def _compared(
    found: Sequence[Values], due: Sequence[Values], page: int, size: int
) -> Iterator[Finding]:
    if len(found) != len(due):
        yield Finding("grid-missing", f"{len(found)} grids stand there, not {len(due)}", page)
        return
    for values, wanted in zip(found, due, strict=True):
        for cell, (shown, meant) in enumerate(zip(values, wanted, strict=True)):
            if shown != meant:
                what = f"shows {SYMBOLS[shown]}" if shown else "is empty"
                must = f"show {SYMBOLS[meant]}" if meant else "be empty"
                words = f"{cell_name(cell, size)} {what} and must {must}"
                yield Finding("digit-wrong", words, page)


def _follow(seen: Sequence[Values | None], puzzle: Puzzle, prove: Prove) -> Iterator[Finding]:
    """Each page's digits follow from those of the page before."""
    before: Values | None = None
    solution: Values | None = None
    for number, values in enumerate(seen, start=1):
        if values is None:
            return
        if before is None:
            solution = prove(puzzle, values)
            if solution is None or values != puzzle.clues:
                yield Finding("not-unique", "the grid at the start has not one solution", number)
        elif any(b and b != v for b, v in zip(before, values, strict=True)):
            yield Finding("not-unique", "a digit of the page before is gone", number)
        elif sum(b != v for b, v in zip(before, values, strict=True)) > 1:
            yield Finding("not-unique", "more than one digit is new", number)
        elif before != values and prove(puzzle, before) is None:
            yield Finding("not-unique", "the digit does not follow from the page before", number)
        elif solution and any(v and v != s for v, s in zip(values, solution, strict=True)):
            yield Finding("not-unique", "a digit is not that of the solution", number)
        before = values
