"""The house style, held on every page of many books: see ``packbuilder/pages/house-style.md``.

A rule is a public function of the modules beside this one: it takes a printed book and tells what
it finds against it. Plans are looked at, not files: that a file is its plan is for the read-back.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable

import pytest

from packbuilder.rules import kinds
from tests.pages.house_style import breaks, covers, hints, ink, order, room, told
from tests.pages.house_style.books import (
    COUNT,
    FORMS,
    GRIDS,
    PACKS,
    drawn,
    pack_book,
    printed,
    small_book,
)
from tests.pages.house_style.measuring import Printed, Told

RULES: dict[str, Callable[[Printed], Told]] = {
    name: rule
    for module in (room, ink, order, told, breaks, covers, hints)
    for name, rule in vars(module).items()
    if inspect.isgeneratorfunction(rule) and rule.__module__ == module.__name__ and name[0] != "_"
}
STEP = 11


def faults(p: Printed, name: str) -> list[str]:
    pack = p.book.pack
    where = f"{name}, {p.book.edition.name}, {pack.layout} on {pack.paper}"
    return [f"{where}: {rule}: {one}" for rule, find in RULES.items() for one in find(p)]


@pytest.mark.parametrize("name", PACKS)
def test_the_sample_packs_keep_the_house_style_in_all_editions(name: str) -> None:
    for edition in FORMS:
        assert not faults(printed(pack_book(name), edition), name)


@pytest.mark.parametrize("first", range(0, COUNT, STEP))
def test_small_books_of_every_kind_keep_it(first: int) -> None:
    for seed in range(first, min(first + STEP, COUNT)):
        assert not faults(small_book(seed), f"seed {seed}")


def test_the_small_books_have_grids_of_every_size_and_rule() -> None:
    puzzles = [drawn(k).puzzle for k in range(GRIDS)]
    assert {puzzle.size for puzzle in puzzles} == {*range(4, 17)}
    assert {slug for puzzle in puzzles for slug in puzzle.rule_names} == {*kinds()}
