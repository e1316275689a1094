"""Every rule of the house style tells of a plan that has been altered against it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

import pytest

from packbuilder.plan.items import (
    Destination,
    Disc,
    Figure,
    Fills,
    Glyphs,
    Item,
    Link,
    Lozenges,
    Page,
    Plan,
    Strokes,
    Table,
    Tag,
    Text,
)
from tests.pages.house_style.books import small_book
from tests.pages.house_style.measuring import Printed
from tests.pages.house_style.test_house_style import RULES

Change = Callable[[Plan], Plan]
SEEDS = {
    "print": 0,
    "booklet": 86,
    "screen": 87,
    "cards": 140,
    "long": 14,
    "opened": 7,
    "coded": 28,
}
"""Books of the first three editions, one on cards, one with a section over full pages, one with a
picture before its puzzles, and one with codes among lines; with links and hints."""


def each(section: str, kind: type[Any], change: Callable[[Any], Item | None]) -> Change:
    """A plan with all items of a kind in a section changed; those that become None are gone."""

    def changed(items: tuple[Item, ...]) -> tuple[Item, ...]:
        found = []
        for item in items:
            if isinstance(item, Table | Figure):
                item = replace(item, items=changed(item.items))
            found.append(change(item) if isinstance(item, kind) else item)
        return tuple(item for item in found if item is not None)

    return pages(lambda page: replace(page, items=changed(page.items)), section)


def pages(change: Callable[[Page], Page], section: str = "") -> Change:
    """A plan with all pages of a section changed; of all sections, where none is named."""
    return lambda plan: replace(
        plan, pages=tuple(change(p) if section in ("", p.section) else p for p in plan.pages)
    )


def of(**fields: object) -> Callable[[Any], Any]:
    """The same with other values in some fields."""
    return lambda item: replace(item, **fields)


def inks(**greys: float) -> Change:
    """A plan in other inks."""
    return lambda plan: replace(plan, inks={**plan.inks, **greys})


def boxes(change: Callable[[tuple[Any, ...]], tuple[Any, ...]], least: int = 1) -> Any:
    """Fills of so many boxes or more with others."""
    return lambda one: replace(one, boxes=change(one.boxes)) if len(one.boxes) >= least else one


def _without(words: str) -> Callable[[Text], Text | None]:
    return lambda text: None if text.text.startswith(words) else text


def _higher(some: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple((a, b + 30, c, d + 30) for a, b, c, d in some)


def _crossing(item: Strokes) -> Strokes:
    """A stroke across the whole grid for a cross."""
    (a, b, c, d), *_ = item.segments
    slanted = abs(a - c) > 1 and abs(b - d) > 1
    return replace(item, segments=((a - 300, b, a + 300, b),)) if slanted else item


def _begun_bold(item: Text) -> Text:
    """A line in bold unless it ends a sentence."""
    return replace(item, face=f"SourceSerifPro-{'Regular' if item.text[-1] == '.' else 'Bold'}")


def _torn(plan: Plan) -> Plan:
    """A plan with one paragraph of a line in the answers and a line in the credits."""
    for section, words in (("Answers", "Puzzle: page"), ("Credits", "Press")):
        plan = each(section, Text, partial(_of_torn, words))(plan)
    return plan


def _of_torn(words: str, text: Text) -> Text:
    return replace(text, tag=TORN) if text.text.startswith(words) else text


def _emptied(plan: Plan) -> Plan:
    """A plan with but one line of text on each last page of a section."""
    kept = []
    for page, after in zip(plan.pages, [*plan.pages[1:], None], strict=True):
        ends = after is None or after.section != page.section
        texts = [item for item in page.items if isinstance(item, Text)]
        kept.append(replace(page, items=tuple(texts[:4])) if ends else page)
    return replace(plan, pages=tuple(kept))


TORN = Tag("P")
REVERSED = lambda page: replace(page, items=page.items[::-1])  # noqa: E731
ON = lambda page: replace(page, folio=page.folio + 1)  # noqa: E731
ALTERED: dict[str, tuple[str, Change]] = {
    "nothing_is_near_an_edge": ("print", each("Credits", Text, of(x=20.0))),
    "nothing_is_near_the_fold": ("booklet", of(creep=20.0)),
    "nothing_lies_over_anything": ("print", each("Credits", Text, of(y=300.0))),
    "letters_keep_to_their_cells": ("print", each("Puzzles", Glyphs, of(size=60.0))),
    "captions_stand_over_their_grids": ("print", each("Answers", Text, of(x=200.0))),
    "cards_are_alike_and_hold_their_puzzles": ("cards", each("Puzzles", Text, of(x=300.0))),
    "codes_have_quiet_around_them": ("coded", each("Puzzles", Fills, boxes(_higher, 40))),
    "named_places_begin_above_their_words": ("print", each("Answers", Destination, of(y=50.0))),
    "type_is_large_enough": ("print", each("Credits", Text, of(size=8.9))),
    "lines_are_heavy_enough": ("print", each("Puzzles", Strokes, of(width=0.7))),
    "all_stands_out": ("print", inks(quiet=0.4)),
    "inks_are_those_that_are_told": ("screen", inks(contour=0.3)),
    "nothing_else_is_drawn": ("print", each("Credits", Strokes, of(width=2.0))),
    "sections_follow_one_another": ("print", lambda plan: replace(plan, bookmarks=())),
    "answers_face_nothing_that_is_unsolved": ("print", pages(ON)),
    "solved_grids_stand_in_the_answers_alone": ("print", pages(of(section="Credits"), "Answers")),
    "pages_are_numbered_at_their_outer_ends": ("print", pages(ON)),
    "links_lead_to_the_pages_that_they_print": ("print", each("Answers", Link, of(to="answer-1"))),
    "contents_are_in_order": ("print", pages(REVERSED, "Contents")),
    "nothing_is_read_before_what_stands_above_it": ("print", pages(REVERSED, "Credits")),
    "tags_are_whole": ("print", each("Credits", Text, of(tag=Tag("P")))),
    "the_file_says_what_it_is": ("print", of(dated=(1999, 12))),
    "pips_are_as_many_as_the_grade": ("print", each("Contents", Lozenges, of(width=None))),
    "each_puzzle_tells_its_own": ("print", each("Puzzles", Text, _without("Answer: page"))),
    "fields_are_the_empty_cells": ("screen", each("Puzzles", Table, of(fields=()))),
    "no_sign_crosses_a_digit": ("print", each("Third hints", Strokes, _crossing)),
    "hints_end_on_what_is_bold": ("print", each("Third hints", Text, _begun_bold)),
    "pictures_are_of_clues": ("opened", each("Puzzles", Fills, boxes(lambda b: b[1:], 2))),
    "covers_ask_what_can_be_answered": ("print", each("Cover", Disc, of(radius=3.0))),
    "covers_tell_issue_count_grade_and_maker": ("print", each("Cover", Text, of(text="-"))),
    "no_line_of_a_paragraph_stands_alone": ("print", _torn),
    "no_heading_ends_a_page": ("print", each("Credits", Text, of(tag=Tag("H2")))),
    "no_last_page_is_nearly_bare": ("long", _emptied),
    "codes_are_read_as_their_links": ("print", each("Puzzles", Fills, boxes(lambda b: b[20:], 40))),
}
"""For each rule, the book and what is done to its plan."""


@pytest.mark.parametrize("name", RULES)
def test_each_rule_tells_of_a_plan_that_is_against_it(name: str) -> None:
    which, change = ALTERED[name]
    good = small_book(SEEDS[which])
    assert not list(RULES[name](good))
    assert list(RULES[name](Printed(good.book, change(good.plan))))
