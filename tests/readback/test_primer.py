"""The primer: its examples are the lessons' grids, digit by digit, and proved."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packbuilder.book.book import Book, Entry, Lesson
from packbuilder.grid import blocks
from packbuilder.readback import read
from tests.readback import books
from tests.readback.tiny_press import LEFT, TOP, Mark, Press, Spot
from tests.readback.told import told

Pages = list[tuple[str, list[tuple[Entry, int]]]]


@pytest.fixture(scope="module")
def taught() -> Book:
    geometry = blocks(2, 3)
    clues, solution = books.carve(geometry, 77, 14)
    hint = books.hint(geometry, clues, solution, 5)
    lesson = Lesson("naked-pair", "Naked pair", 4, "", "", geometry, clues, hint)
    words_only = Lesson("sums", "Sums of cages", 3, "", "")
    return replace(books.single(), lessons=(lesson, words_only))


class Primer(Press):
    """Prints a primer: the example as it is set, and before its step."""

    caption_words = "Example: look at the pair"
    names = "Naked pair, and sums of cages"

    def plan(self) -> Pages:
        pages = super().plan()
        return [*pages[:3], ("Primer", []), ("Primer", []), *pages[3:]]

    def page(self, section: str, some: list[tuple[Entry, int]]) -> None:
        super().page(section, some)
        if section == "Primer" and self.number == 4:
            self.text(LEFT, TOP - 30, self.names, 11)
            (lesson, _) = self.book.lessons
            assert lesson.geometry
            assert lesson.hint
            puzzle = replace(self.book.entries[0].puzzle, geometry=lesson.geometry,
                             clues=lesson.clues)  # fmt: skip
            entry = replace(self.book.entries[0], number=0, puzzle=puzzle)
            for y, values, hint in (
                (TOP - 80, lesson.clues, None),
                (TOP - 400, lesson.hint.position, lesson.hint),
            ):
                self.text(LEFT, y, self.caption_words, 11)
                self.grid("Primer", entry, 0, values, LEFT, y - 12, 200, hint)


def test_a_primer_passes(taught: Book) -> None:
    seen = read(Primer(taught).print(), taught)
    assert seen.findings == ()
    assert seen.grids == 2 + 2


def test_a_book_without_lessons_has_no_primer(taught: Book) -> None:
    bare = replace(taught, lessons=())
    told(Primer(taught).print(), bare, "section", "nothing to print under 'Primer'", page=4)
    told(Press(taught).print(), taught, "page-missing", "'Primer'")


def tampered(taught: Book, cell: int, change: Mark | str | None, candidate: bool = False) -> bytes:
    class Tampered(Primer):
        def digit(self, spot: Spot, mark: Mark) -> list[Mark]:
            if spot.number or spot.cell != cell or spot.candidate is not candidate:
                return [mark]
            return [replace(mark, text=change)] if isinstance(change, str) else []

    return Tampered(taught).print()


def test_a_wrong_digit_of_an_example_is_told(taught: Book) -> None:
    clues = taught.lessons[0].clues
    cell = next(c for c, v in enumerate(clues) if v)
    other = str(clues[cell] % 6 + 1)
    data = tampered(taught, cell, other)
    found = told(data, taught, "digit-wrong", page=4)
    assert (found.number, found.puzzle) == (None, "primer: naked-pair")
    told(data, taught, "ink-wrong", page=4)
    told(tampered(taught, cell, None), taught, "digit-missing", page=4)


def test_a_wrong_digit_of_a_position_is_told(taught: Book) -> None:
    (lesson, _) = taught.lessons
    assert lesson.hint
    cell = next(c for c, v in enumerate(lesson.hint.position) if v and not lesson.clues[c])
    other = str(lesson.hint.position[cell] % 6 + 1)
    data = tampered(taught, cell, other)
    told(data, taught, "digit-wrong", page=4)
    told(data, taught, "not-unique", "digits of its position", page=4)


def test_a_missing_candidate_of_an_example_is_told(taught: Book) -> None:
    (lesson, _) = taught.lessons
    assert lesson.hint
    cell = lesson.hint.shown[0][0]
    told(tampered(taught, cell, None, candidate=True), taught, "candidate", page=4)


def test_an_example_that_is_not_unique_is_told(taught: Book) -> None:
    """The lesson itself may be faulty: the print is proved again, whatever the book says."""
    (lesson, words) = taught.lessons
    assert lesson.hint
    few = tuple(v if k < 9 else 0 for k, v in enumerate(lesson.clues))
    hint = replace(lesson.hint, position=few, shown=(), struck=(),
                   step=replace(lesson.hint.step, removes=()))  # fmt: skip
    faulty = replace(taught, lessons=(replace(lesson, clues=few, hint=hint), words))
    told(Primer(faulty).print(), faulty, "not-unique", "two or more solutions", page=4)


def test_captions_and_names_are_checked(taught: Book) -> None:
    class Nameless(Primer):
        caption_words = "See here"
        names = "Naked pairs"

    data = Nameless(taught).print()
    told(data, taught, "caption", "begins with 'Example'", page=4)
    told(data, taught, "lesson", "does not name 'Sums of cages'", page=4)


def test_a_missing_example_is_told(taught: Book) -> None:
    class Bare(Primer):
        def grid(self, *args: object, **more: object) -> None:
            if args[0] != "Primer":
                super().grid(*args, **more)  # type: ignore[arg-type]

    told(Bare(taught).print(), taught, "lesson", "the example of 'Naked pair' is not printed")
