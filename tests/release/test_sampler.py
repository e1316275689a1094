"""A sampler: which puzzles it holds, and how many pages."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packbuilder.book import Book
from packbuilder.book.assembling import assemble, book_of
from packbuilder.editions import SAMPLER
from packbuilder.gate import check
from packbuilder.manifest import load
from packbuilder.pages import plan_book
from packbuilder.puzzle import BEYOND, Grade
from tests.conftest import ROOT
from tests.readback import books


def graded(*grades: Grade, held: int) -> Book:
    """A book with puzzles of these grades, of which the sampler holds so many."""
    whole = books.sixteen()
    pairs = zip(whole.entries, grades, strict=False)
    entries = tuple(replace(entry, grade=grade) for entry, grade in pairs)
    return replace(whole, pack=replace(whole.pack, sampler=held), entries=entries)


@pytest.mark.parametrize(
    "grades, held, numbers",
    [
        ((4, 1, 2, 6, 3), 3, [2, 4, 5]),  # the gentlest, the hardest, and what lies between
        ((4, 1, 2, 6, 3), 2, [2, 4]),
        ((4, 1, 2, 6, 3), 1, [2]),
        ((5, BEYOND, 2), 2, [2, 3]),  # beyond all grades is the hardest
        ((1, 1, 1), 9, [1, 2, 3]),
    ],
)
def test_it_holds_the_gentlest_the_hardest_and_some_between(
    grades: tuple[Grade, ...], held: int, numbers: list[int]
) -> None:
    book = book_of(graded(*grades, held=held), SAMPLER)
    assert [entry.number for entry in book.entries] == numbers
    assert [entry.number for entry in book.whole] == [*range(1, len(grades) + 1)]
    assert not any(entry.hints for entry in book.entries)


@pytest.mark.parametrize("name", ["night-train", "lantern-week", "cold-kettle-hill"])
def test_the_sample_packs_have_one_on_four_to_six_pages(name: str) -> None:
    book = book_of(assemble(check(load(ROOT / "packs" / name))), SAMPLER)
    assert 4 <= len(plan_book(book).pages) <= 6
