"""A file that was printed from another plan is told, whatever the difference: each field of each
kind of item, in every edition; items gone, doubled, elsewhere, in another order."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import fields, replace
from typing import get_args

import pytest

from packbuilder.plan import items as it
from packbuilder.plan.items import Plan
from packbuilder.readback.as_planned import differences
from packbuilder.readback.as_planned.marks import Pen, begin, line, path
from packbuilder.readback.as_planned.pages import marks_unlike
from tests.readback.as_planned.altering import at_random, items, others, put, with_page
from tests.readback.as_planned.plans import PRINTED, printed, real, reprinted, tiny, told

NOT_PRINTED = {("Text", "quoted")}
"""What the plan says for other readers than the press."""


def _changed(edition: str) -> set[tuple[str, str]]:
    """Alter each field of each item, and see it told where the file is another for it."""
    plan, seen = tiny(edition), set()
    honest = printed(plan)
    for way, item in items(plan):
        for name, other in others(item):
            if isinstance(item, it.Table) and name in ("size", "fields"):
                continue  # a grid of another size is another grid: see below
            data = reprinted(put(plan, way, other)) or honest
            if data != honest and not _harmless(item, name):
                assert list(differences(data, plan)), f"{type(item).__name__}.{name} at {way}"
                seen.add((type(item).__name__, name))
    return seen


def _harmless(item: it.Item, name: str) -> bool:
    """Ends of a path that has none, ends and joints of what is not stroked."""
    if not isinstance(item, it.Trace) or name not in ("round_ends", "round_joints"):
        return False
    return item.width is None or (item.closed and name == "round_ends")


def test_every_field_of_every_item_counts() -> None:
    kinds = [kind for kind in get_args(it.Item) if kind not in (it.Reference,)]
    every = {(kind.__name__, field.name) for kind in kinds for field in fields(kind)}
    done = _changed("screen") | {("Table", "size"), ("Table", "fields")}
    assert every - done - {(kind.__name__, "items") for kind in kinds} == NOT_PRINTED


# --- whole plans ---------------------------------------------------------------------------------

Change = Callable[[Plan], Plan]
PAGE = "not-as-planned"


def marks(change: Callable[[list[it.Bookmark]], list[it.Bookmark]]) -> Change:
    return lambda plan: replace(plan, bookmarks=tuple(change(list(plan.bookmarks))))


def on(page: int, change: Callable[[tuple[it.Item, ...]], tuple[it.Item, ...]]) -> Change:
    """The items of a page, from 1, changed."""
    return lambda plan: with_page(
        plan, page - 1, replace(plan.pages[page - 1], items=change(plan.pages[page - 1].items))
    )


def grids(**changes: object) -> Change:
    return on(3, lambda some: tuple(
        replace(one, **changes) if isinstance(one, it.Table) else one  # type: ignore[arg-type]
        for one in some
    ))  # fmt: skip


def ink(name: str, grey: float) -> Change:
    return lambda plan: replace(plan, inks={**plan.inks, name: grey})  # type: ignore[dict-item]


def page(k: int, **changes: object) -> Change:
    return lambda plan: with_page(plan, k, replace(plan.pages[k], **changes))  # type: ignore[arg-type]


def whole(**changes: object) -> Change:
    return lambda plan: replace(plan, **changes)  # type: ignore[arg-type]


ALTERED: dict[str, tuple[str, str, Change]] = {
    "title": ("print", "metadata", whole(title="Tiny - plan")),
    "author": ("booklet", "metadata", whole(author="Ada and Quill")),
    "subject": ("sampler", "metadata", whole(subject="Nothing (at all).")),
    "keywords": ("screen", "metadata", whole(keywords=("one", "two", "three"))),
    "issue": ("large-print", "metadata", whole(dated=(2026, 11))),
    "height of the paper": ("print", "page-entries", whole(height=595.3)),
    "width of the paper": ("print-shop", "page-entries", whole(width=419.6)),
    "creep": ("booklet", PAGE, whole(creep=0.4)),
    "ink": ("print", PAGE, ink("quiet", 0.35)),
    "ground": ("screen-dark", PAGE, ink("paper", 0.12)),
    "ink of fields": ("screen", "field", ink("ink", 0.02)),
    "a page gone": ("print", PAGE, lambda plan: with_page(plan, 3)),
    "a page twice": ("print-shop", PAGE, lambda plan: with_page(plan, 3, *plan.pages[3:4] * 2)),
    "pages swapped": (
        "booklet", PAGE, lambda p: replace(p, pages=(p.pages[1], p.pages[0], *p.pages[2:]))
    ),
    "section renamed": ("print", "tag", page(4, section="End")),
    "section joined": ("print", "tag", page(4, section="Grids")),
    "section parted": ("screen", "tag", page(3, section="X")),
    "items in another order": ("print", PAGE, on(2, lambda some: some[::-1])),
    "paths in another order": ("print", PAGE, on(2, lambda some: (*some[:-2], some[-1], some[-2]))),
    "a grid of another size": ("print", "tag", grids(size=3)),
    "a grid told otherwise": ("print", "tag", grids(summary="Grid 1: 3x3.")),
    "fields gone": ("screen", "page-entries", grids(fields=())),
    "a field elsewhere": ("screen", "field", grids(fields=((0, (60.0, 340.0, 99.0, 380.0)),))),
    "bookmark renamed": (
        "print", "bookmark", marks(lambda some: [replace(some[0], title="contents"), *some[1:]])
    ),
    "bookmark elsewhere": (
        "print", "bookmark", marks(lambda some: [replace(some[0], to="ends"), *some[1:]])
    ),
    "bookmark gone": ("screen", "bookmark", marks(lambda some: some[:-1])),
    "bookmarks swapped": (
        "print", "bookmark", marks(lambda some: [some[-1], *some[1:-1], some[0]])
    ),
    "bookmark raised": (
        "sampler", "bookmark", marks(lambda some: [*some[:3], replace(some[3], level=0), some[4]])
    ),
    "bookmark twice": ("large-print", "bookmark", marks(lambda some: [*some, some[-1]])),
}  # fmt: skip


@pytest.mark.parametrize("name", ALTERED)
def test_another_plan_is_told(name: str) -> None:
    edition, code, change = ALTERED[name]
    plan = tiny(edition)
    told(printed(change(plan)), plan, code)


@pytest.mark.parametrize("edition", PRINTED)
def test_anything_changed_anywhere_is_told(edition: str) -> None:
    """Of a real book; what makes no other file is no change."""
    plan, rng = real(edition), random.Random(edition)
    honest, tried = printed(plan), 0
    while tried < 5:
        name, other = at_random(plan, rng)
        data = reprinted(other)
        if data is not None and data != honest:
            assert list(differences(data, plan)), name
            tried += 1


@pytest.mark.parametrize("edition", PRINTED)
def test_no_edition_passes_for_the_next_one(edition: str) -> None:
    other = PRINTED[(PRINTED.index(edition) + 1) % len(PRINTED)]
    told(printed(real(edition)), real(other))


def test_marks_that_are_missing_are_told_in_words_text_first() -> None:
    missing = [
        begin("P", 3),
        begin("Artifact", None),
        path("S", "ml", (10.0, 20.0, 30.0, 20.0), Pen(0.5, 0.0), None),
        line("Low Water", "SourceSansPro-Regular", (), (72.0, 500.5, 9.0, 0.33, 0.5)),
    ]
    (words,) = marks_unlike([], missing)
    assert words == (
        "is missing, or is elsewhere: 'Low Water' in SourceSansPro-Regular 9, grey 0.33, at 72.00 "
        "500.50, opened by 0.5; a stroke of 2 parts from 10.00 20.00; content 3 of P; and 1 more"
    )
    (words,) = marks_unlike(missing[1:2], [])
    assert words == "must not be there: furniture"
