"""What shows a hint's step: each circle, cross and row of dots that is wrong is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from packbuilder.book import Book
from packbuilder.grid import blocks, parse_cell
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.table import DEFAULT
from packbuilder.plan.items import Disc, Item, Plan, Strokes, Trace
from tests.readback import books
from tests.readback.altering import Change, altered, findings, planned, told


@cache
def book(at: int = 2) -> Book:
    """One puzzle with a hint of its own: three digits close a block; or (1) seven see a cell."""
    whole = books.lone()
    (entry,) = whole.entries
    path = walk(entry.puzzle.geometry, entry.puzzle.clues)
    return replace(whole, entries=(replace(entry, hints=(hints(path)[at],)),))


@pytest.fixture(scope="module")
def plan() -> Plan:
    return planned(book())


def circle(item: Item) -> bool:
    return isinstance(item, Disc)


def cross(item: Item) -> bool:
    return (
        isinstance(item, Strokes)
        and abs(item.segments[0][0] - item.segments[0][2]) > 1
        and (abs(item.segments[0][1] - item.segments[0][3]) > 1)
    )


def dots(item: Item) -> bool:
    return isinstance(item, Trace) and bool(item.dash) and item.round_ends


def lower(item: Disc) -> Disc:
    return replace(item, y=item.y - item.radius / 0.385)


def down(item: Strokes, cells: float) -> Strokes:
    by = cells * 4 * abs(item.segments[0][2] - item.segments[0][0])
    moved = tuple((x, y - by, u, v - by) for x, y, u, v in item.segments)
    return replace(item, segments=moved)


def shifted(item: Trace) -> Trace:
    by = 7 * item.dash[1]
    return replace(item, runs=tuple(tuple((x, y - by) for x, y in run) for run in item.runs))


FAULTS: dict[str, tuple[Callable[[Item], bool], Change, str, str]] = {
    "a circle gone": (circle, lambda i: None, "evidence", "has no ring"),
    "a circle elsewhere": (circle, lambda i: lower(i), "evidence", "ring"),
    "a circle more": (circle, lambda i: (i, lower(i)), "evidence",
                      "must have no ring"),
    "a grey circle": (circle, lambda i: replace(i, ink="rule"), "mark-stray", ""),
    "a white circle": (circle, lambda i: replace(i, ink="paper"), "evidence", "has no ring"),
    "no cross": (cross, lambda i: None, "evidence", "has no cross"),
    "a cross less": (cross, lambda i: replace(i, segments=i.segments[2:]), "evidence",
                     "has no cross"),
    "half a cross": (cross, lambda i: replace(i, segments=i.segments[1:]), "evidence",
                     "is half of one"),
    "crosses elsewhere": (cross, lambda i: down(i, 3), "evidence", "cross"),
    "off the middle": (cross, lambda i: down(i, 0.1), "mark-stray", ""),
    "no dots": (dots, lambda i: None, "evidence", "no dots run from"),
    "dots elsewhere": (dots, lambda i: shifted(i), "evidence", "dots"),
    "dots more": (dots, lambda i: (i, shifted(i)), "evidence", "dots must not run from"),
    "a line for dots": (dots, lambda i: replace(i, dash=()), "evidence", "no dots run from"),
    "square dots": (dots, lambda i: replace(i, dash=(2.0, 2.0)), "evidence", "no dots run from"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_of_the_evidence_is_told(plan: Plan, name: str) -> None:
    where, change, code, words = FAULTS[name]
    told(altered(plan, "Third hints", where, change, gridded=True), book(), code, words)


def test_all_evidence_is_drawn(plan: Plan) -> None:
    """The hint that stands in the book's words: three 7s, and the cells that they close."""
    (hint,) = book().entries[0].hints
    assert hint.told.startswith("The 7s of row 3, and columns 1 and 2, close all of block 1")
    (table,) = (t for page in plan.pages for t in page.items
                if getattr(t, "summary", "").startswith("Hint for puzzle 1:"))  # fmt: skip
    circles = [item for item in table.items if circle(item)]
    crosses = [item for item in table.items if cross(item)]
    assert len(circles) == 3
    assert [len(item.segments) for item in crosses] == [2 * 5]  # two strokes a cell
    assert parse_cell("r2c3", 9) not in {cell for one in hint.because for cell in one.closes}
    rows = {round(run[0][1]) for item in table.items if dots(item) for run in item.runs}
    assert len(rows) > 1


def test_a_cell_with_one_digit_left_has_circles_and_no_cross() -> None:
    for page in planned(book(1)).pages:
        for table in page.items:
            if getattr(table, "summary", "").startswith("Hint for puzzle 1:"):
                found = [sum(map(look, table.items)) for look in (circle, cross)]
                assert found == [8, 0]


def in_pieces() -> Book:
    """A puzzle with an extra region of two pieces, a digit of which closes a cell of the other."""
    geometry = blocks(2, 3)
    clues, solution = books.carve(geometry, 3, 12)
    picture = ".aa... ...... ....a. ...... ...... .a....".replace(" ", "\n")
    puzzle = books.with_rules(geometry, {"extra-regions": picture}, clues, "pieces")
    path = walk(puzzle.geometry, clues, ladder=with_rules(DEFAULT, puzzle.rules))
    entry = books.entry(1, puzzle, solution)
    return books.bound([replace(entry, hints=(hints(path)[0],))])


def test_dots_go_round_all_pieces_of_an_area() -> None:
    book = in_pieces()
    (hint,) = book.entries[0].hints
    assert hint.told.startswith("The 3 of the extra region at r1c2 closes all of block 1")
    plan = planned(book)
    assert findings(plan, book) == ()
    less = altered(plan, "Third hints", dots, lambda i: replace(i, runs=i.runs[:1]), gridded=True)
    told(less, book, "evidence", "no dots run from r1c2 to r6c2")
