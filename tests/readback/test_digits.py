"""Every way in which one digit can go wrong is told, with its page and its cell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.book.book import Book
from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.readback import read
from tests.readback import books
from tests.readback.conftest import Refused
from tests.readback.tiny_press import Mark, Press, Spot

Change = Callable[[Mark], list[Mark]]

PUZZLE_PAGE, HINT_PAGE, ANSWER_PAGE = 5, 9, 10
"""Where puzzle 2, its hint and its answer stand in the plain book."""


def tampered(
    book: Book, section: str, changes: dict[int, Change], candidates: dict[int, int] | None = None
) -> bytes:
    """Print puzzle 2 with some digits changed, by cell; or some candidates, given by cell."""

    class Tampered(Press):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            if (spot.section, spot.number) == (section, 2) and spot.cell in changes:
                if not candidates:
                    return [mark] if spot.candidate else changes[spot.cell](mark)
                if spot.candidate and mark.text == SYMBOLS[candidates[spot.cell]]:
                    return changes[spot.cell](mark)
            return [mark]

    return Tampered(book).print()


def next_digit(mark: Mark) -> list[Mark]:
    return [replace(mark, text=str(int(mark.text) % 9 + 1))]


FAULTS: dict[str, tuple[Change, str]] = {
    "changed": (next_digit, "digit-wrong"),
    "missing": (lambda m: [], "digit-missing"),
    "moved": (lambda m: [replace(m, x=m.x + 0.45 * m.size)], "digit-moved"),
    "lowered": (lambda m: [replace(m, y=m.y - 0.45 * m.size)], "digit-moved"),
    "doubled": (lambda m: [m, m], "digit-doubled"),
    "two digits": (lambda m: [m, *next_digit(replace(m, x=m.x + 2))], "digit-doubled"),
    "white": (lambda m: [replace(m, grey=1.0)], "ink-missing"),
    "faint": (lambda m: [replace(m, grey=0.6)], "ink-faint"),
    "paler than 4.5:1": (lambda m: [replace(m, grey=0.5)], "contrast"),
    "covered": (lambda m: [replace(m, cover=1.0)], "ink-missing"),
    "half covered": (lambda m: [replace(m, cover=0.5)], "ink-wrong"),
    "nibbled": (lambda m: [replace(m, cover=0.36)], "ink-wrong"),
    "invisible": (lambda m: [replace(m, mode=3)], "ink-missing"),
    "shrunk": (lambda m: [replace(m, size=m.size * 0.8)], "digit-small"),
    "tiny": (lambda m: [replace(m, size=5.0)], "digit-small"),
    "grown": (lambda m: [replace(m, size=m.size * 1.2)], "digit-small"),
    "on its head": (lambda m: [replace(m, matrix=(-1, 0, 0, -1))], "digit-turned"),
    "mirrored": (lambda m: [replace(m, matrix=(-1, 0, 0, 1))], "digit-turned"),
    "aslant": (lambda m: [replace(m, matrix=(0.97, 0.26, -0.26, 0.97))], "digit-turned"),
    "squeezed": (lambda m: [replace(m, matrix=(0.5, 0, 0, 1))], "digit-turned"),
    "a letter": (lambda m: [replace(m, text="S")], "stray-text"),
    "another face": (lambda m: [replace(m, face="SourceSerifPro-Regular")], "digit-face"),
}  # fmt: skip


@pytest.mark.parametrize(
    "section, page",
    [("Puzzles", PUZZLE_PAGE), ("Third hints", HINT_PAGE), ("Answers", ANSWER_PAGE)],
)
def test_each_fault_of_a_clue_is_told_with_its_page_and_cell(
    book: Book, section: str, page: int
) -> None:
    clues = [c for c, v in enumerate(book.entries[1].puzzle.clues) if v not in (0, 8)]
    asked = dict(zip(FAULTS, clues, strict=False))
    assert len(asked) == len(FAULTS)
    changes = {cell: FAULTS[name][0] for name, cell in asked.items()}
    told = read(tampered(book, section, changes), book).findings
    for name, cell in asked.items():
        # beside a hint's digits a tiny one is taken for a candidate: the digit is not there
        hidden = name == "tiny" and section == "Third hints"
        code = "digit-missing" if hidden else FAULTS[name][1]
        found = [f for f in told if f.code == code and cell_name(cell, 9) in f.cells]
        assert found, f"{name} in {cell_name(cell, 9)} is not told"
        assert {(f.page, f.number, f.puzzle) for f in found} == {(page, 2, "p2")}


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_alone_refuses_the_print(book: Book, refused: Refused, name: str) -> None:
    """Told also where it is the only fault of the book: one answer digit that is no clue."""
    change, code = FAULTS[name]
    solved = [c for c, v in enumerate(book.entries[1].puzzle.clues) if not v]
    cell = next(c for c in solved if book.entries[1].solution[c] in (2, 6, 7))
    refused(tampered(book, "Answers", {cell: change}), code, ANSWER_PAGE, cell_name(cell, 9))


def test_a_digit_in_an_empty_cell_is_told(book: Book, refused: Refused) -> None:
    clues = book.entries[1].puzzle.clues
    cell = next(c for c in range(80) if clues[c] and not clues[c + 1] and c % 9 < 8)
    data = tampered(book, "Puzzles", {cell: lambda m: [m, replace(m, x=m.x + 50)]})
    assert "r" in refused(data, "digit-extra", PUZZLE_PAGE, cell_name(cell + 1, 9)).words()


def test_a_solved_digit_set_as_a_clue_is_told(book: Book, refused: Refused) -> None:
    cell = next(c for c, v in enumerate(book.entries[1].puzzle.clues) if not v)
    data = tampered(book, "Answers", {cell: lambda m: [replace(m, face="SourceSansPro-Semibold")]})
    refused(data, "digit-face", ANSWER_PAGE, cell_name(cell, 9))


CANDIDATE_FAULTS: dict[str, Change] = {
    "changed": next_digit,
    "missing": lambda m: [],
    "doubled": lambda m: [m, m],
    "off its place": lambda m: [replace(m, x=m.x + 5)],
    "white": lambda m: [replace(m, grey=1.0)],
    "covered": lambda m: [replace(m, cover=1.0)],
    "invisible": lambda m: [replace(m, mode=3)],
    "on its head": lambda m: [replace(m, matrix=(-1, 0, 0, -1))],
}  # fmt: skip


@pytest.mark.parametrize("name", CANDIDATE_FAULTS)
def test_each_fault_of_a_candidate_is_told(book: Book, refused: Refused, name: str) -> None:
    hint = book.entries[1].hints[0]
    cell, values = hint.shown[0]
    value = next(v for v in values if (cell, v) not in hint.struck)
    changes = {cell: CANDIDATE_FAULTS[name]}
    data = tampered(book, "Third hints", changes, candidates={cell: value})
    refused(data, "candidate", HINT_PAGE, cell_name(cell, 9))


def test_a_tiny_candidate_is_told(book: Book, refused: Refused) -> None:
    cell, values = book.entries[1].hints[0].shown[0]
    changes: dict[int, Change] = {cell: lambda m: [replace(m, size=4.0)]}
    data = tampered(book, "Third hints", changes, candidates={cell: values[0]})
    refused(data, "digit-small", HINT_PAGE, cell_name(cell, 9))


def test_a_stroke_through_the_wrong_candidate_is_told(book: Book, refused: Refused) -> None:
    hint = book.entries[1].hints[0]
    (struck,) = hint.struck
    told = replace(hint, struck=((hint.shown[1][0], hint.shown[1][1][0]),))
    assert told.struck != hint.struck
    entry = replace(book.entries[1], hints=(told,))
    other = replace(book, entries=(book.entries[0], entry, book.entries[2]))
    data = Press(other).print()
    assert cell_name(struck[0], 9) in refused(data, "struck", HINT_PAGE).cells


@settings(max_examples=12, deadline=None, derandomize=True)
@given(st.data())
def test_any_changed_digit_is_told(data: st.DataObject) -> None:
    book = books.single()
    entry = book.entries[0]
    section = data.draw(st.sampled_from(["Puzzles", "Answers"]))
    values = entry.puzzle.clues if section == "Puzzles" else entry.solution
    cell = data.draw(st.sampled_from([c for c, v in enumerate(values) if v]))
    other = data.draw(st.sampled_from([v for v in range(1, 10) if v != values[cell]]))

    class Tampered(Press):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            mine = (spot.section, spot.cell) == (section, cell)
            return [replace(mark, text=SYMBOLS[other])] if mine else [mark]

    seen = read(Tampered(book).print(), book)
    told = {f.code for f in seen.findings if cell_name(cell, 9) in f.cells}
    assert {"digit-wrong", "ink-wrong"} <= told  # each eye tells it on its own


@pytest.mark.parametrize("size", [0.0, -30.0, 1e7])
def test_a_digit_of_no_size_at_all_is_told(book: Book, refused: Refused, size: float) -> None:
    """Sizes that cannot be drawn are findings, never a traceback."""
    cell = next(c for c, v in enumerate(book.entries[1].puzzle.clues) if v)
    data = tampered(book, "Puzzles", {cell: lambda m: [replace(m, size=size)]})
    refused(data, "digit-small", PUZZLE_PAGE, cell_name(cell, 9))


def test_a_candidate_in_a_strange_face_is_told(book: Book, refused: Refused) -> None:
    cell, values = book.entries[1].hints[0].shown[0]
    changes: dict[int, Change] = {cell: lambda m: [replace(m, face="Helvetica")]}

    class Tampered(Press):
        def stamp(self, mark: Mark) -> None:
            if mark.face == "Helvetica":
                self.c.setFont("Helvetica", mark.size)
                self.c.drawCentredString(mark.x, mark.y - 0.36 * mark.size, mark.text)
            else:
                super().stamp(mark)

        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            mine = spot.candidate and (spot.number, spot.cell) == (2, cell)
            return changes[cell](mark) if mine and mark.text == SYMBOLS[values[0]] else [mark]

    assert (
        "no face of the house"
        in refused(Tampered(book).print(), "candidate", HINT_PAGE, cell_name(cell, 9)).message
    )
