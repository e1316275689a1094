"""Lines of grids, what hints draw over them, and whatever is drawn besides: each fault is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from packbuilder.book import Book
from packbuilder.grid import cell_name
from packbuilder.plan.items import (
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
from tests.readback.altering import Change, altered, drawn, in_grid, letter_in, planned, told

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

SHOWN = books.lone().entries[0].hints[0].shown
STEP = books.lone().entries[0].hints[0].step
ACTS, RESTS = STEP.removes[0][0], [c for c in STEP.cells if c != STEP.removes[0][0]]
OTHER = next(c for c in range(81) if c not in STEP.cells)


def held(item: Item) -> bool:
    return isinstance(item, Rings)


def frame(item: Item) -> bool:
    return isinstance(item, Trace) and item.closed and not item.fill and not item.dash


def floor(item: Item) -> bool:
    return (
        isinstance(item, Strokes)
        and item.width == 0.5
        and item.segments[0][1] == (item.segments[0][3])
    )


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


def moved(item: Any, columns: float, rows: float = 0.0) -> Item:
    """A frame or a floor so many cells to the right, and down."""
    x, y = columns * place().cell, rows * place().cell
    if isinstance(item, Trace):
        return replace(item, runs=tuple(tuple((a + x, b - y) for a, b in r) for r in item.runs))
    lines = tuple((a + x, b - y, c + x, d - y) for a, b, c, d in item.segments)
    return replace(item, segments=lines)


def beside_another(item: Strokes) -> Strokes:
    """The cross, moved to the first candidate of a cell on which the step rests."""
    letter = letter_in(planned(books.lone()), HINT, RESTS[0], str(dict(SHOWN)[RESTS[0]][0]))
    ((x, y, _),), size = letter.places, letter.size
    (a, b, c, d), *_ = item.segments
    right, up = x + 0.62 * size - (a + c) / 2, y + 0.5 * size - (b + d) / 2
    return replace(item, segments=tuple(
        (s[0] + right, s[1] + up, s[2] + right, s[3] + up) for s in item.segments))  # fmt: skip


DRAWN: dict[str, tuple[Callable[[Item], bool], Change, str, str, int]] = {
    "no frame": (frame, lambda i: None, "outline", "has no frame", ACTS),
    "a frame more": (frame, lambda i: (i, moved(i, 1)), "outline", "must have no frame", ACTS + 1),
    "a thin frame": (frame, lambda i: replace(i, width=0.5), "outline", "has no frame", ACTS),
    "a grey frame": (frame, lambda i: replace(i, ink="rule"), "mark-stray", "", ACTS),
    "a frame over two cells": (frame, lambda i: moved(i, 0.5), "mark-stray", "", -1),
    "outlines gone": (held, lambda i: None, "outline", "has no round outline", RESTS[0]),
    "an outline less": (held, lambda i: replace(i, boxes=i.boxes[1:]), "outline",
                        "has no round outline", -1),
    "an outline elsewhere": (held, lambda i: replace(i, boxes=(place().of(OTHER, 0.085),)),
                             "outline", "must have no round outline", OTHER),
    "an outline round two": (held, lambda i: more(i, place().box(7, 2.5, 0.9)), "mark-stray", "",
                             -1),
    "a box more": (held, lambda i: more(i, place().of(OTHER, 0.175)), "mark-stray", "", -1),
    "a grey outline": (held, lambda i: replace(i, ink="rule"), "mark-stray", "", -1),
    "a tile more": (held, lambda i: (i, Fills((place().of(OTHER, 0.045),), "ink")), "outline",
                    "must have no black tile", OTHER),
    "a grey tile": (held, lambda i: (i, Fills((place().of(OTHER, 0.045),), "shade")), "mark-stray",
                    "", OTHER),
    "a white box": (held, lambda i: (i, Fills((place().of(OTHER, 0.05),), "paper")), "mark-stray",
                    "", OTHER),
    "no floor": (floor, lambda i: None, "struck", "has no line between its candidates", ACTS),
    "a floor more": (floor, lambda i: (i, moved(i, 1)), "struck", "must have no line", ACTS + 1),
    "a floor too low": (floor, lambda i: moved(i, 0, 0.3), "struck", "", ACTS),
    "a floor too high": (floor, lambda i: moved(i, 0, -0.3), "struck", "wrong side", ACTS),
    "two floors": (floor, lambda i: (i, moved(i, 0, 0.05)), "mark-stray", "", ACTS),
    "no strike": (strike, lambda i: None, "struck", "is not struck out", ACTS),
    "a strike beside it": (strike, struck(lambda s: (s[0] + 7, s[1], s[2] + 7, s[3])), "struck",
                           "is not struck out", ACTS),
    "a strike more": (strike, lambda i: (i, beside_another(i)), "struck", "the step keeps it",
                      RESTS[0]),
    "two crosses": (strike, lambda i: (i, i), "struck", "more than one cross", ACTS),
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
    "one black stroke for all": (
        held, lambda i: Strokes(3.0, (place().line(0.2, 3.3, 8.8, 7.7),)), "mark-stray", "", -1
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DRAWN)
def test_each_fault_of_what_a_hint_draws_is_told(book: Book, plan: Plan, name: str) -> None:
    where, change, code, words, cell = DRAWN[name]
    made = altered(plan, "Third hints", where, change, gridded=True)
    told(made, book, code, words, number=1, cell=None if cell < 0 else cell_name(cell, 9))


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
def test_what_is_drawn_elsewhere_is_told(book: Book, plan: Plan, section: str, item: Item) -> None:
    told(drawn(plan, section, item), book, "cover" if section == "Cover" else "not-as-planned")


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
