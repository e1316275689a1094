"""Rails, tiles and letters over a hint's grid: each that is wrong is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from packbuilder.book import Book
from packbuilder.ladder.head.hints import head_hints
from packbuilder.ladder.head.solve import tell
from packbuilder.ladder.hints import hint_at
from packbuilder.ladder.path import walk
from packbuilder.ladder.reasons import Reasons, without_detours
from packbuilder.plan.items import Disc, Fills, Glyphs, Item, Plan, Rings, Table, Text, Trace
from packbuilder.puzzle import Puzzle
from tests.ladder import grids
from tests.readback import books
from tests.readback.altering import Change, altered, findings, planned, told


@cache
def book() -> Book:
    """A puzzle with one hint, a kite after which a digit can be written in another cell."""
    for clues in grids.lines(grids.BY_GRADE[5]):
        reasons = Reasons(without_detours(walk(grids.CLASSIC, clues)))
        for k, step in enumerate(reasons.path.steps):
            hint = hint_at(reasons, k)
            if step.technique == "two-string-kite" and hint.written and hint.loses:
                puzzle = Puzzle("kite", "A Tall Kite", "Ada Quill", grids.CLASSIC, clues)
                one = books.entry(1, puzzle, solved(reasons))
                return books.bound([replace(one, hints=(hint,))])
    raise AssertionError("no such kite among the grids of grade 5")


def solved(reasons: Reasons) -> tuple[int, ...]:
    return tuple(reasons.digit_at(cell) for cell in range(81))


@pytest.fixture(scope="module")
def plan() -> Plan:
    return planned(book())


def rails(item: Item) -> bool:
    return isinstance(item, Trace) and item.round_ends and not item.dash


def letter(item: Item) -> bool:
    return isinstance(item, Text) and item.text in ("A", "B") and item.ink == "paper"


def disc(item: Item) -> bool:
    return isinstance(item, Disc) and item.fill == "ink"


def digit(item: Item) -> bool:
    return isinstance(item, Glyphs) and item.ink == "paper"


def tile(item: Item) -> bool:
    return isinstance(item, Fills) and item.ink == "ink"


def boxes(item: Item) -> bool:
    return isinstance(item, Rings)


def cell() -> float:
    """The side of a cell: a box round a place has .65 of it."""
    pages = [page for page in planned(book()).pages if page.section == "Third hints"]
    tables = [t for page in pages for t in page.items if isinstance(t, Table)]
    found = [item for table in tables for item in table.items if isinstance(item, Rings)]
    left, _, right, _ = found[-1].boxes[0]
    return float((right - left) / 0.65)


def aside(item: Any) -> Item:
    """A cell to the right, or to the left where there is none."""
    by = cell() * (-1 if isinstance(item, Text | Disc) and item.x > 200 else 1)
    if isinstance(item, Trace):
        return replace(item, runs=tuple(tuple((x + by, y) for x, y in run) for run in item.runs))
    if isinstance(item, Fills | Rings):
        moved = tuple((a + by, b, c + by, d) for a, b, c, d in item.boxes)
        return replace(item, boxes=moved)
    return replace(item, x=item.x + by)


FAULTS: dict[str, tuple[Callable[[Item], bool], Change, str, str]] = {
    "rails gone": (rails, lambda i: None, "link-drawn", "not both rails run from"),
    "one rail": (rails, lambda i: replace(i, runs=i.runs[:1]), "link-drawn", "not both rails"),
    "rails more": (rails, lambda i: (i, aside(i)), "link-drawn", "no rails may run from"),
    "rails of dots": (rails, lambda i: replace(i, dash=(0.0, 5.0)), "link-drawn", "not both rails"),
    "pale rails": (rails, lambda i: replace(i, ink="rule"), "mark-stray", ""),
    "thin rails": (rails, lambda i: replace(i, width=0.5), "link-drawn", "not both rails"),
    "a letter gone": (letter, lambda i: None, "link-drawn", "lacks the letter A"),
    "another letter": (letter, lambda i: replace(i, text="B"), "link-drawn", "lacks the letter A"),
    "a letter elsewhere": (letter, aside, "link-drawn", "the letter A"),
    "a disc gone": (disc, lambda i: None, "link-drawn", "has no disc of a letter"),
    "a disc elsewhere": (disc, lambda i: (i, aside(i)), "link-drawn", "must have no disc"),
    "no box": (boxes, lambda i: replace(i, boxes=i.boxes[1:]), "outline", "has no box"),
    "no tile": (tile, lambda i: None, "outline", "has no black tile"),
    "a tile elsewhere": (tile, lambda i: replace(aside(i), boxes=(*i.boxes, *aside(i).boxes)),
                         "outline", "must have no black tile"),
    "a black digit on the tile": (digit, lambda i: replace(i, ink="ink"), "outline",
                                  "is not white on its tile"),
    "no digit on the tile": (digit, lambda i: None, "digit-missing", ""),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_of_links_and_tiles_is_told(plan: Plan, name: str) -> None:
    where, change, code, words = FAULTS[name]
    told(altered(plan, "Third hints", where, change, gridded=True), book(), code, words)


@cache
def in_mind() -> Book:
    """A puzzle with a hint for those who write nothing but digits, where two things are held."""
    for clues in grids.lines(grids.BY_GRADE[5]):
        found = head_hints(tell(grids.CLASSIC, clues), grids.CLASSIC)
        if found and len(found[0].shown) > 2:
            puzzle = Puzzle("mind", "Two Things", "Ada Quill", grids.CLASSIC, clues)
            one = books.entry(1, puzzle, solved(Reasons(walk(grids.CLASSIC, clues))))
            return books.bound([replace(one, hints=found[:1])])
    raise AssertionError("no such hint among the grids of grade 5")


def test_what_is_held_in_mind_is_shown_and_read_back() -> None:
    plan = planned(in_mind())
    assert findings(plan, in_mind()) == ()
    gone = altered(plan, "Third hints", boxes, lambda i: None, gridded=True)
    told(gone, in_mind(), "outline", "has no round outline")
