"""Lines of grids, what hints draw over them, and whatever is drawn besides: each fault is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from packbuilder.book import Book
from packbuilder.grid import cell_name
from packbuilder.plan.items import (
    Bow,
    Box,
    Disc,
    Fills,
    Item,
    Plan,
    Rings,
    Segment,
    Strokes,
    Table,
    Trace,
)
from tests.readback import books
from tests.readback.altering import Change, altered, drawn, in_grid, planned, told

HINT = "Hint for puzzle 1"
Items = tuple[Item, ...]


@pytest.fixture(scope="module")
def book() -> Book:
    return books.lone()


@pytest.fixture(scope="module")
def plan(book: Book) -> Plan:
    return planned(book)


class Place:
    """Where a grid stands on its page, measured in cells from its upper left corner, y down."""

    def __init__(self, book: Book, name: str) -> None:
        (table,) = (
            item
            for page in planned(book).pages
            for item in page.items
            if isinstance(item, Table) and item.summary.startswith(f"{name}:")
        )
        *_, frame = (i for i in table.items if isinstance(i, Strokes) and i.square)
        (self.x, self.y, right, _), *_ = frame.segments
        self.cell = (right - self.x) / table.size

    def at(self, x: float, y: float) -> tuple[float, float]:
        return self.x + x * self.cell, self.y - y * self.cell

    def line(self, x0: float, y0: float, x1: float, y1: float) -> Segment:
        return (*self.at(x0, y0), *self.at(x1, y1))

    def box(self, x: float, y: float, half: float) -> Box:
        return (*self.at(x - half, y + half), *self.at(x + half, y - half))

    def of(self, cell: int, inset: float = 0.0) -> Box:
        row, column = divmod(cell, 9)
        return self.box(column + 0.5, row + 0.5, 0.5 - inset)


# --- lines ---------------------------------------------------------------------------------------


def edge(place: Place, line: Segment, width: float) -> Callable[[Items], Items]:
    """A side of a cell, in cells, drawn at another width; 0 leaves it out."""
    x0, y0, x1, y1 = place.line(*line)
    axis = 0 if x0 == x1 else 1

    def rest(segment: Segment) -> list[Segment]:
        """What a segment leaves of itself when the side is taken out of it."""
        a, b = segment[:2], segment[2:]
        if a[axis] != b[axis] or abs(a[axis] - (x0, y0)[axis]) > 0.1:
            return [segment]
        along = 1 - axis
        low, high = sorted((a[along], b[along]))
        first, last = sorted(((x0, y0)[along], (x1, y1)[along]))
        pieces = [(low, first), (last, high)]
        return [
            (a[0], c, a[0], d) if axis == 0 else (c, a[1], d, a[1])
            for c, d in pieces
            if d - c > 0.1
        ]

    def change(items: Items) -> Items:
        cut = (
            replace(item, segments=tuple(p for s in item.segments for p in rest(s)))
            if isinstance(item, Strokes)
            else item
            for item in items
        )
        return (*cut, *([Strokes(width, ((x0, y0, x1, y1),))] if width else []))

    return change


INSIDE, BORDER, FRAME = (1, 0, 1, 1), (3, 0, 3, 1), (0, 0, 1, 0)  # beside r1c1, r1c3; above r1c1


@pytest.mark.parametrize(
    "line, width, code, cell",
    [
        (BORDER, 1.0, "border-thin", "r1c3"),
        (BORDER, 0.6, "border-thin", "r1c3"),
        (FRAME, 0.6, "border-thin", "r1c1"),
        (INSIDE, 2.0, "border-wrong", "r1c1"),
        (INSIDE, 0.0, "line-missing", "r1c1"),
        (INSIDE, 0.1, "line-missing", "r1c1"),
        (BORDER, 0.0, "line-missing", "r1c3"),
        (FRAME, 0.0, "line-missing", "r1c1"),
    ],
)
def test_each_fault_of_a_line_is_told(
    book: Book, plan: Plan, line: Segment, width: float, code: str, cell: str
) -> None:
    place = Place(book, "Puzzle 1")
    told(in_grid(plan, "Puzzle 1", edge(place, line, width)), book, code, page=5, cell=cell)


def all_thin(items: Items) -> Items:
    """Strokes as they are, but for borders as thin as cell lines."""
    thin, border, frame = (i for i in items if isinstance(i, Strokes))
    return (thin, replace(border, width=thin.width), frame, *items[3:])


def test_borders_that_are_thin_are_not_proved_as_if_they_stood(book: Book, plan: Plan) -> None:
    made = in_grid(plan, "Puzzle 1", all_thin)
    told(made, book, "border-thin", cell="r1c3")
    told(made, book, "not-unique", "two or more")  # without blocks the clues do not suffice


def test_half_a_grid_is_told(book: Book, plan: Plan) -> None:
    floor = Place(book, "Puzzle 1").at(0, 5)[1]

    def upper(items: Items) -> Items:
        return tuple(
            replace(
                item,
                segments=tuple(
                    (a, max(b, floor), c, max(d, floor))
                    for a, b, c, d in item.segments
                    if max(b, d) > floor - 0.1
                ),
            )
            if isinstance(item, Strokes)
            else item
            for item in items
        )

    made = in_grid(plan, "Puzzle 1", upper)
    told(made, book, "grid-broken", "it has 5 rows and 9 columns", page=5)
    told(made, book, "grid-missing", number=1)


@pytest.mark.parametrize("name", ["Puzzle 1", HINT, "Answer 1"])
@pytest.mark.parametrize(
    "make, code",
    [
        (lambda p: Fills((p.box(0, 4.5, 0.024),), "paper"), "mark-stray"),  # the frame's edge
        (lambda p: Strokes(2.4, (p.line(0, 4, 0, 5),), "paper"), "mark-stray"),
        (lambda p: Strokes(p.cell, (p.line(-0.48, 4, -0.48, 5),), "paper"), "mark-stray"),
        (lambda p: Strokes(2.4, (p.line(1, 4, 1, 5),), "paper"), "mark-stray"),
        (lambda p: Fills((p.box(3, 4.5, 0.2),), "paper"), "mark-stray"),  # a border
        (lambda p: Strokes(2.4, (p.line(1, 4, 1, 5),)), "border-wrong"),
        (lambda p: Strokes(2.4, (p.line(1, 4.2, 1, 4.8),)), "mark-stray"),
        (lambda p: Fills((p.box(1, 4.5, 0.1),)), "mark-stray"),
        (lambda p: Disc(*p.at(1, 4), 2, fill="ink"), "mark-stray"),
        (lambda p: Strokes(0.6, (p.line(0.5, 0, 0.5, 9),)), "grid-broken"),
        (lambda p: Strokes(2.0, (p.line(0, 4.5, 9, 4.5),)), "grid-broken"),  # through all digits
    ],
)
def test_what_lies_on_lines_is_told(
    book: Book, plan: Plan, name: str, make: Callable[[Place], Item], code: str
) -> None:
    section = {"Puzzle 1": "Puzzles", HINT: "Third hints"}.get(name, "Answers")
    told(drawn(plan, section, make(Place(book, name))), book, code)


# --- what a hint draws ---------------------------------------------------------------------------

STEP = books.lone().entries[0].hints[0].step
ACTS, RESTS = STEP.removes[0][0], [c for c in STEP.cells if c != STEP.removes[0][0]]
OTHER = next(c for c in range(81) if c not in STEP.cells)


def shade(item: Item) -> bool:
    return isinstance(item, Fills) and item.ink == "shade"


def stripe(item: Item) -> bool:
    return isinstance(item, Trace) and item.fill == "stripe"


def light(item: Item) -> bool:
    return isinstance(item, Rings) and item.width < 0.9


def heavy(item: Item) -> bool:
    return isinstance(item, Rings) and item.width >= 0.9


def strike(item: Item) -> bool:
    return isinstance(item, Strokes) and all(
        abs(x - u) > 0.1 and abs(y - v) > 0.1 for x, y, u, v in item.segments
    )


def place() -> Place:
    return Place(books.lone(), HINT)


def more(item: Any, *boxes: Box) -> Item:
    return replace(item, boxes=(*item.boxes, *boxes))


def struck(change: Callable[[Segment], Segment]) -> Change:
    return lambda item: replace(item, segments=tuple(map(change, item.segments)))


def to_the_next(stroke: Segment) -> Segment:
    """From the candidate that is struck to another one of its cell, three in a row of .26 cells."""
    hint = books.lone().entries[0].hints[0]
    ((cell, d),) = hint.struck
    other = next(one for one in dict(hint.shown)[cell] if one != d)
    (row, column), (at, along) = divmod(d - 1, 3), divmod(other - 1, 3)
    right, down = ((along - column) * 0.26 * place().cell, (at - row) * 0.26 * place().cell)
    x, y, u, v = stroke
    return (x + right, y - down, u + right, v - down)


DRAWN: dict[str, tuple[Callable[[Item], bool], Change, str, str, int]] = {
    "grey less": (shade, lambda i: replace(i, boxes=i.boxes[1:]), "shading", "not shaded",
                  RESTS[0]),
    "grey more": (shade, lambda i: more(i, place().of(OTHER)), "shading", "not rest on it", OTHER),
    "grey where it acts": (shade, lambda i: more(i, place().of(ACTS)), "shading", "not rest on it",
                           ACTS),
    "half a grey cell": (shade, lambda i: more(i, place().of(OTHER, 0.2)), "mark-stray", "", -1),
    "white for grey": (shade, lambda i: replace(i, ink="paper"), "shading", "not shaded", RESTS[0]),
    "too dark grey": (shade, lambda i: replace(i, ink="rule"), "mark-stray", "", -1),
    "a white box": (shade, lambda i: (i, Fills((place().of(OTHER, 0.05),), "paper")), "mark-stray",
                    "", OTHER),
    "no stripes": (stripe, lambda i: None, "shading", "not striped", ACTS),
    "grey for stripes": (stripe, lambda i: Fills((place().of(ACTS),), "shade"), "shading",
                         "not striped", ACTS),
    "stripes more": (
        stripe,
        lambda i: (i, replace(i, runs=tuple(
            tuple((x - place().cell, y) for x, y in run) for run in i.runs))),
        "shading", "does not act there", ACTS - 1,
    ),
    "all striped": (stripe, lambda i: (i, i, i, i), "shading", "% of it", ACTS),
    "too dark stripes": (stripe, lambda i: replace(i, fill="rule"), "mark-stray", "", ACTS),
    "light rings gone": (light, lambda i: None, "outline", "has no light ring", RESTS[0]),
    "a light ring elsewhere": (light, lambda i: replace(i, boxes=(place().of(OTHER, 0.05),)),
                               "outline", "must have no light ring", OTHER),
    "the heavy ring gone": (heavy, lambda i: None, "outline", "has no heavy ring", ACTS),
    "the heavy ring light": (heavy, lambda i: replace(i, width=0.45), "outline",
                             "has no heavy ring", ACTS),
    "a heavy ring more": (heavy, lambda i: more(i, place().of(OTHER, 0.05)), "outline",
                          "must have no heavy ring", OTHER),
    "a ring over two cells": (
        heavy, lambda i: replace(i, boxes=(place().box(7, 2.5, 0.45),)), "mark-stray", "", -1
    ),
    "a grey ring": (heavy, lambda i: replace(i, ink="rule"), "mark-stray", "", ACTS),
    "no strike": (strike, lambda i: None, "struck", "is not struck out", ACTS),
    "a strike beside it": (strike, struck(lambda s: (s[0] + 7, s[1], s[2] + 7, s[3])), "struck",
                           "is not struck out", ACTS),
    "a strike more": (strike, lambda i: (i, struck(to_the_next)(i)), "struck", "the step keeps it",
                      ACTS),
    "a level strike": (strike, struck(lambda s: (s[0], s[1] + 2.8, s[2], s[1] + 2.8)), "struck",
                       "is not struck out", ACTS),
    "a long strike": (strike, struck(lambda s: (s[0] - 20, s[1] - 20, s[2] + 20, s[3] + 20)),
                      "mark-stray", "", -1),
    "a thick strike": (strike, lambda i: replace(i, width=9.0), "struck", "is not struck", ACTS),
    "a white strike": (strike, lambda i: replace(i, ink="paper"), "struck", "not struck", ACTS),
    "a digit as a stroke": (
        strike, lambda i: (i, Strokes(2.0, (place().line(0.5, 0.3, 0.5, 0.7),))), "mark-stray", "",
        -1,
    ),
    "a digit as a curve": (
        strike,
        lambda i: (i, Disc(*place().at(0.5, 0.6), 3, 1.5), Disc(*place().at(0.5, 0.4), 3, 1.5)),
        "mark-stray", "", -1,
    ),
    "a digit as an open curve": (
        strike,
        lambda i: (i, Bow(
            (place().at(0.6, 0.3), place().at(0.1, 0.2), place().at(0.2, 0.9),
             place().at(0.6, 0.7)),
            (place().at(0.6, 0.7), place().at(0.5, 0.7), place().at(0.5, 0.6)), 1.0)),
        "mark-stray", "", -1,
    ),
    "one black stroke for all": (
        light, lambda i: Strokes(3.0, (place().line(0.2, 3.3, 8.8, 7.7),)), "mark-stray", "", -1
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DRAWN)
def test_each_fault_of_what_a_hint_draws_is_told(book: Book, plan: Plan, name: str) -> None:
    where, change, code, words, cell = DRAWN[name]
    made = altered(plan, "Third hints", where, change)
    told(made, book, code, words, number=1, cell=None if cell < 0 else cell_name(cell, 9))


# --- links of chains, rings of colours -----------------------------------------------------------


@cache
def linked(*, colours: bool = False) -> Book:
    """A hint whose step is a chain of three candidates, or has two colours."""
    whole = books.lone()
    (entry,), hint = whole.entries, whole.entries[0].hints[0]
    (a, ways), (b, others), (c, rest) = hint.shown
    nodes: Any = (((a,), ways[0]), ((b,), others[0]), ((c,), rest[0]))
    if colours:
        shown = tuple((cell, tuple(sorted({*some, 1}))) for cell, some in hint.shown)
        hint, nodes = replace(hint, shown=shown), (((a, b), 1), ((c,), 1))
    told_ = replace(hint, step=replace(hint.step, nodes=nodes))
    return replace(whole, entries=(replace(entry, hints=(told_,)),))


def bow(item: Item) -> bool:
    return isinstance(item, Bow)


def shifted(i: Bow, dx: float) -> Bow:
    curve, head = (tuple((x + dx, y) for x, y in some) for some in (i.curve, i.head))
    return replace(i, curve=curve, head=head)


def turned(i: Bow) -> Bow:
    (x, y), (u, v) = i.curve[3], i.curve[0]
    return replace(i, curve=i.curve[::-1], head=tuple((a - x + u, b - y + v) for a, b in i.head))


LINKS: dict[str, tuple[Change, str]] = {
    "gone": (lambda i: None, "1 links are drawn"),
    "twice": (lambda i: (i, i), "3 links are drawn"),
    "dashed": (lambda i: replace(i, dash=(1.8, 1.4)), "must be drawn out"),
    "turned round": (turned, "is none of the chain"),
    "without a head": (lambda i: Trace((i.curve,), i.width), "1 links are drawn"),
    "its head elsewhere": (lambda i: replace(i, head=turned(i).head), "1 of them without a head"),
    "moved": (lambda i: shifted(i, 8.0), "1 links are drawn"),
}


@pytest.mark.parametrize("name", LINKS)
def test_each_fault_of_a_link_is_told(name: str) -> None:
    change, words = LINKS[name]
    told(altered(planned(linked()), "Third hints", bow, change), linked(), "link-drawn", words)


def test_a_link_that_must_be_dashed_is_told() -> None:
    made = altered(planned(linked()), "Third hints", bow, lambda i: replace(i, dash=()), at=1)
    told(made, linked(), "link-drawn", "must be dashed")


@pytest.mark.parametrize(
    "change",
    [
        lambda i: None,
        lambda i: replace(i, x=i.x + 7),
        lambda i: (i, replace(i, x=i.x + 7)),
    ],
    ids=["gone", "moved", "one more"],
)
def test_each_fault_of_a_colour_is_told(change: Change) -> None:
    whole = linked(colours=True)
    made = altered(planned(whole), "Third hints", lambda i: isinstance(i, Disc), change)
    told(made, whole, "link-drawn", "not one colour of the step")


# --- drawn anywhere ------------------------------------------------------------------------------


@pytest.mark.parametrize("section", ["Cover", "Contents", "How to play", "Second hints", "Credits"])
@pytest.mark.parametrize(
    "item",
    [
        Strokes(0.1, ((20.0, 20.0, 20.0, 800.0),)),  # a hair line in the margin
        Disc(300.0, 300.0, 1.0, fill="ink"),
        Fills(((250.0, 50.0, 290.0, 60.0),), "paper"),
    ],
    ids=["a hair line", "a dot", "a white box"],
)
def test_what_is_drawn_elsewhere_is_not_as_planned(
    book: Book, plan: Plan, section: str, item: Item
) -> None:
    told(drawn(plan, section, item), book, "not-as-planned")


@pytest.mark.parametrize("change", [lambda b: b[1:], lambda b: (*b[:-1], b[0])], ids=["a box", "2"])
def test_a_code_without_one_of_its_boxes_is_not_as_planned(change: Change) -> None:
    whole = books.lone()
    (entry,) = whole.entries
    puzzle = replace(entry.puzzle, link="https://example.org/harbour/first-ferry")
    made = replace(whole, entries=(replace(entry, puzzle=puzzle),))
    coded = altered(
        planned(made), "Puzzles", lambda i: isinstance(i, Fills) and len(i.boxes) > 200,
        lambda i: replace(i, boxes=change(i.boxes)),
    )  # fmt: skip
    told(coded, made, "not-as-planned")
