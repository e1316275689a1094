"""Answers on their heads at the feet of cards: a wrong one, none, one on its own card are told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from packbuilder.book import Book
from packbuilder.plan.items import Item, Text
from packbuilder.readback import read
from tests.readback import books
from tests.readback.altering import Change, altered, planned, printed, told


@cache
def cards() -> Book:
    """Five puzzles, of 4x4 to 9x9, on cards on two pages."""
    book = books.mixed()
    return replace(book, pack=replace(book.pack, layout="gift-card"))


def turned(item: Item) -> bool:
    return isinstance(item, Text) and item.turned


def test_cards_are_read_without_a_finding() -> None:
    plan = planned(cards())
    for known in (plan, None):
        assert read(printed(plan), cards(), known).findings == ()


def test_each_card_has_the_answer_of_another_upside_down_and_no_page_number() -> None:
    pages = [page for page in planned(cards()).pages if page.section == "Puzzles"]
    texts = [item for page in pages for item in page.items if isinstance(item, Text)]
    first = [one.text for one in texts if one.turned and one.text.startswith("Answer to")]
    assert [int(text.split()[2].rstrip(":")) for text in first] == [5, 1, 2, 3, 4]
    assert not any("page" in one.text for one in texts)
    rows = "".join(map(str, cards().entries[0].solution))
    assert " ".join(rows[k : k + 4] for k in range(0, 16, 4)) in first[1]


def makes(**fields: Any) -> Callable[[Any], Item]:
    return lambda item: replace(item, **fields)


def with_text(change: Callable[[str], str]) -> Callable[[Any], Item]:
    return lambda item: replace(item, text=change(item.text))


WRONG: dict[str, tuple[Change, str]] = {
    "a digit changed": (with_text(lambda t: t[:-1] + ("1" if t[-1] != "1" else "2")), "no answer"),
    "two rows changed over": (
        with_text(lambda t: " ".join([*t.split()[:-2], *t.split()[:-3:-1]])), "no answer",
    ),
    "a row left out": (with_text(lambda t: " ".join(t.split()[:-1])), "no answer of the book"),
    "another number": (with_text(lambda t: t.replace("to 5", "to 4", 1)), "no answer of the book"),
    "gone": (lambda item: None, "its answer stands on no other cards"),
    "upright": (makes(turned=False), "its answer stands on no other cards"),
    "on its own card": (
        with_text(lambda t: "Answer to 1: " + answer(1)), "on its own card, or on none",
    ),
    "below the cards": (makes(y=6.0, x=300.0), "on its own card, or on none"),
}  # fmt: skip


def answer(number: int) -> str:
    entry = cards().entries[number - 1]
    n, rows = entry.puzzle.size, "".join(map(str, entry.solution))
    return " ".join(rows[k : k + n] for k in range(0, n * n, n))


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_with_an_answer_on_a_card_is_told(name: str) -> None:
    change, words = WRONG[name]
    told(altered(planned(cards()), "Puzzles", turned, change), cards(), "card-answer", words)


def test_what_a_card_says_of_its_rule_is_told_word_for_word() -> None:
    book = books.ruled("thermometers", "cages")
    book = replace(book, pack=replace(book.pack, layout="gift-card"))
    plan = planned(book)
    assert read(printed(plan), book, plan).findings == ()

    def words(item: Item) -> bool:
        return isinstance(item, Text) and "rise" in item.text and not item.quoted

    made = altered(plan, "Puzzles", words, with_text(lambda t: t.replace("rise", "fall")))
    told(made, book, "words", "what its rules mean", number=1)


def test_one_card_alone_leads_to_the_pages() -> None:
    book = books.lone()
    book = replace(book, pack=replace(book.pack, layout="gift-card"))
    plan = planned(book)
    assert not any(turned(item) for page in plan.pages for item in page.items)
    assert read(printed(plan), book, plan).findings == ()
