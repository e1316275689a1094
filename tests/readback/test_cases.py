"""The pictures that teach: each digit, mark, sign and word of them that is wrong is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from packbuilder.book import Book
from packbuilder.book.how_to_play import kinds_of_grid, rule_entries
from packbuilder.book.pictures import whole_grid
from packbuilder.pages.case_pictures import sign
from packbuilder.plan.items import Disc, Figure, Fills, Glyphs, Item, Strokes, Text, Trace
from tests.readback import books
from tests.readback.altering import Change, altered, planned, told

Items = tuple[Item, ...]


@cache
def book() -> Book:
    """Three rules: one with a table, one with a star, one with numbers outside."""
    return books.ruled("cages", "anti-knight", "sandwich")


def is_figure(item: Any) -> bool:
    return isinstance(item, Figure)


def inside(change: Callable[[Items], Items]) -> Change:
    return lambda figure: replace(figure, items=change(figure.items))


def each(kind: type, change: Callable[[Any], Item | None], at: int = 0) -> Change:
    """A change of the ``at``-th item of a kind in a figure."""

    def changed(items: Items) -> Items:
        found = [k for k, item in enumerate(items) if isinstance(item, kind)]
        new = change(items[found[at]])
        return (*items[: found[at]], *([new] if new else []), *items[found[at] + 1 :])

    return inside(changed)


def turned(verdict: str) -> Change:
    """A figure with the other sign in its place."""

    def changed(items: Items) -> Items:
        *rest, disc, _ = items
        assert isinstance(disc, Disc)
        return (*rest, *sign(verdict, (disc.x, disc.y), disc.radius))

    return inside(changed)


def relettered(old: str, new: str) -> Callable[[Glyphs], Glyphs]:
    def changed(item: Glyphs) -> Glyphs:
        assert any(letter == old for *_, letter in item.places)
        places = tuple((x, y, new if s == old else s) for x, y, s in item.places)
        return replace(item, places=places)

    return changed


def shifted(item: Any) -> Any:
    if isinstance(item, Disc):
        return replace(item, x=item.x + item.radius / 0.385)
    wide = item.boxes[0][2] - item.boxes[0][0]
    moved = [(a + wide, b, c + wide, d) for a, b, c, d in item.boxes]
    return replace(item, boxes=tuple(moved))


RIGHT, WRONG, STAR, LEAP, ROW = 0, 1, 2, 4, 5
"""The figures: cages right and wrong; the star; a knight's move, right, wrong; a sandwich."""

ALTERED: dict[str, tuple[int, Change, str]] = {
    "a digit of the right case": (RIGHT, each(Glyphs, relettered("5", "6")), "must show 5"),
    "a digit of the wrong case": (WRONG, each(Glyphs, relettered("2", "1")), "must show 2"),
    "a tick for a cross": (WRONG, turned("right"), "a tick stands before its words"),
    "a cross for a tick": (RIGHT, turned("wrong"), "a cross stands before its words"),
    "no tick": (RIGHT, inside(lambda items: items[:-1]), "no sign stands before"),
    "no sign": (WRONG, inside(lambda items: items[:-2]), "no sign stands before"),
    "half a cross": (
        WRONG, each(Strokes, lambda s: replace(s, segments=s.segments[:1]), -1), "no sign"),
    "a ring moved": (WRONG, each(Disc, shifted), "a ring is not where"),
    "no ring": (WRONG, each(Disc, lambda _: None), "a ring is not where"),
    "no sum": (WRONG, each(Text, lambda _: None), "the small 10 in r1c3 is not printed"),
    "another sum": (WRONG, each(Text, lambda t: replace(t, text="11")), "the small 10 in r1c3"),
    "no outline": (RIGHT, each(Trace, lambda _: None), "the dashed outline"),
    "thin borders": (
        RIGHT, each(Strokes, lambda s: replace(s, width=0.4), 1), "the heavy lines are not"),
    "no cell lines": (
        RIGHT, each(Strokes, lambda s: replace(s, segments=s.segments[1:])), "2 rows"),
    "grey elsewhere": (STAR, each(Fills, shifted), "grey is not where"),
    "no crosses": (STAR, each(Strokes, lambda _: None, -1), "a cross is not where"),
    "no dots": (STAR, each(Trace, lambda _: None), "dots is not where"),
    "a leap without its end": (LEAP, each(Trace, lambda _: None, 1), "dots is not where"),
    "another number outside": (
        ROW, each(Text, lambda t: replace(t, text="8")), "the 7 left of row 1 is not printed"),
}  # fmt: skip


@pytest.mark.parametrize("name", ALTERED)
def test_whatever_is_wrong_in_a_case_is_told(name: str) -> None:
    at, change, words = ALTERED[name]
    plan = altered(planned(book()), "The rules", is_figure, change, at=at)
    told(plan, book(), "case", words)


def test_signs_that_change_places_are_told() -> None:
    plan = altered(planned(book()), "The rules", is_figure, turned("wrong"), at=RIGHT)
    plan = altered(plan, "The rules", is_figure, turned("right"), at=WRONG)
    told(plan, book(), "case", "a tick stands before its words in place of a cross")


def test_a_case_that_is_missing_is_told() -> None:
    plan = altered(planned(book()), "The rules", is_figure, lambda _: None, at=ROW)
    told(plan, book(), "case", "is not printed")


def test_words_of_cases_that_change_places_are_told() -> None:
    right, wrong = (p.words.split()[0] for p in rule_entries(book(), "page")[0].pictures)
    plan = planned(book())
    texts = [i for p in plan.pages if p.section == "The rules" for i in p.items
             if isinstance(i, Text)]  # fmt: skip
    one = next(t for t in texts if t.text.replace("\xa0", " ").startswith("4 + 5"))
    other = next(t for t in texts if t.text.replace("\xa0", " ").startswith("2 + 4"))
    assert (right, wrong) == ("4", "2")
    plan = altered(plan, "The rules", lambda i: i is one, lambda t: replace(t, text=other.text))
    told(plan, book(), "case", "other words stand behind its sign")


FIRST: dict[str, tuple[Callable[[Any], bool], Change, str]] = {
    "a digit": (is_figure, each(Glyphs, relettered("4", "5")), "must show 4"),
    "grey": (is_figure, each(Fills, shifted), "grey is not where"),
    "a label": (
        lambda i: isinstance(i, Text) and i.text == "row",
        lambda t: replace(t, y=t.y - 40), "'row' does not stand in line"),
    "labels": (
        lambda i: isinstance(i, Text) and i.text == "column",
        lambda t: replace(t, text="block"), "'column' does not stand in line"),
}  # fmt: skip


@pytest.mark.parametrize("name", FIRST)
def test_whatever_is_wrong_in_the_first_grid_is_told(name: str) -> None:
    where, change, words = FIRST[name]
    told(altered(planned(book()), "How to play", where, change), book(), "case", words)


def test_the_first_grid_is_the_usual_one() -> None:
    (geometry, _), *_ = kinds_of_grid(book())
    assert geometry.shape == (2, 3)  # of three small examples
    assert whole_grid(geometry).size == 6
