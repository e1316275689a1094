"""Covers: a changed disc, square, tower, outline or word is seen, and the picture's lack."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from packbuilder.book import Book
from packbuilder.book.assembling import book_of
from packbuilder.book.cover import cover_picture
from packbuilder.editions import EDITIONS
from packbuilder.grid import cell_name
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import walk
from packbuilder.manifest import load
from packbuilder.plan.items import Disc, Figure, Fills, Glyphs, Item, Plan, Text, Trace
from packbuilder.proof.kernel import prove
from packbuilder.puzzle import Cover
from packbuilder.readback import read
from tests.conftest import ROOT
from tests.readback import books
from tests.readback.altering import Change, altered, planned, printed, told

ART = (
    b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h90v60h-90z"/><circle cx="30" cy="30" '
    b'r="12" fill="white"/><path d="M50 10 80 50" fill="none" stroke="white" stroke-width="4"/>'
    b"</svg>"
)
OWN = Cover("", "art.svg", ART, "The mill pond, from above.", "How many ducks?", "One.")
OTHER = replace(OWN, data=ART.replace(b'r="12"', b'r="9"'))


@cache
def covered(design: str) -> Book:
    """Three puzzles, of which the second has a skyscraper in its hints."""
    whole = books.plain()
    grid = load(ROOT / "packs" / "lantern-week").puzzles[0]
    solution = prove(grid.geometry, grid.clues).first
    assert solution is not None
    one, two, three = whole.entries
    puzzle = replace(two.puzzle, clues=grid.clues)
    told = hints(walk(grid.geometry, grid.clues))
    entries = (one, replace(two, puzzle=puzzle, solution=solution, hints=told), three)
    pack = replace(
        whole.pack, cover=OWN if design == "own" else Cover(design), needs=("skyscraper",),
        puzzles=tuple(entry.puzzle for entry in entries),
    )  # fmt: skip
    return replace(whole, pack=pack, entries=entries)


@pytest.mark.parametrize("edition", [e for e in EDITIONS.values() if e.suffix == ".pdf"],
                         ids=lambda e: e.name)  # fmt: skip
@pytest.mark.parametrize("design", ["technique", "discs", "clues", "own", "plain"])
def test_each_design_is_read_in_each_edition(design: str, edition: Any) -> None:
    book = book_of(covered(design), edition)
    picture = cover_picture(book)
    assert (picture.design if picture else "plain") == design
    plan = planned(book)
    assert [f.words() for f in read(printed(plan), book, plan).findings] == []


def test_a_small_picture_of_a_step_is_read() -> None:
    """On a6 pages, under a title of two lines and over a long theme. (The foot of page 2 reads as a
    row of the contents: the title begins as that of puzzle 2.)"""
    book = covered("technique")
    title, theme = "Low Water and a Lamp on the Breakwater", "A lamp is lit in the harbour. " * 4
    pack = replace(book.pack, paper="a5", title=title, theme=theme.strip())
    book = book_of(replace(book, pack=pack), EDITIONS["booklet"])
    plan = planned(book)
    assert [f.words() for f in read(printed(plan), book, plan).findings] == []


def test_the_picture_of_a_step_gives_no_digit_away() -> None:
    """The towers of the 5s in columns 2 and 4, which meet in row 7: found by hand in the answer, in
    which one end of each holds the 5."""
    book = covered("technique")
    picture = cover_picture(book)
    assert picture
    assert picture.about == "The picture shows a skyscraper in one puzzle of this pack."
    assert picture.answer == "Puzzle 2, Low Water; the digit 5."
    asked = [k for k, sign in enumerate(picture.signs) if sign == "?"]
    assert [cell_name(k, 9) for k in asked] == ["r1c4", "r3c2", "r7c2", "r7c4"]
    entry = book.entries[1]
    assert [entry.solution[k] == 5 for k in asked].count(True) == 2
    shown = "".join("." if sign == "?" else sign for sign in picture.signs)
    assert shown == "".join(".123456789"[clue] for clue in entry.puzzle.clues)


def _is(kind: type, **fields: object) -> Callable[[Any], bool]:
    return lambda item: (
        isinstance(item, kind)
        and all(getattr(item, name) == value for name, value in fields.items())
    )


def _shorter(fills: Fills) -> Item:
    return replace(fills, boxes=fills.boxes[1:])


def _moved(trace: Trace) -> Item:
    (x, y), *rest = trace.runs[0]
    return replace(trace, runs=(((x + 3, y), *rest), *trace.runs[1:]))


def _digits(glyphs: Glyphs) -> Item:
    (x, y, sign), *rest = glyphs.places
    return replace(glyphs, places=((x, y, "1" if sign != "1" else "2"), *rest))


ALTERED: list[tuple[str, str, Callable[[Any], bool], Change]] = [
    ("discs", "a smaller disc", _is(Disc, fill="ink"), lambda d: replace(d, radius=d.radius * 0.8)),
    ("discs", "a pale disc", _is(Disc, fill="ink"), lambda d: replace(d, fill="fill")),
    ("discs", "no disc", _is(Disc, fill="ink"), lambda _: None),
    ("discs", "a filled disc", _is(Disc, fill=None), lambda d: replace(d, fill="ink", width=None)),
    ("discs", "no question", _is(Glyphs), lambda _: None),
    ("clues", "no square", lambda i: isinstance(i, Fills) and len(i.boxes) > 20, _shorter),
    ("clues", "no open square", _is(Trace), lambda _: None),
    ("technique", "another clue", _is(Glyphs, ink="quiet"), _digits),
    ("technique", "a tower less", lambda i: isinstance(i, Fills) and _is_high(i), _shorter),
    ("technique", "a corner black", lambda i: isinstance(i, Fills) and _is_high(i),
     lambda fills: _blackened(fills, 1)),
    ("technique", "three corners black", lambda i: isinstance(i, Fills) and _is_high(i),
     lambda fills: _blackened(fills, 3)),
    ("own", "another outline", _is(Trace, fill="ink"), _moved),
    ("own", "white for black", _is(Trace, fill="ink"), lambda t: replace(t, fill="paper")),
    ("own", "a finer line", _is(Trace, ink="paper", fill=None), lambda t: replace(t, width=1.0)),
    ("own", "a shape less", _is(Trace, fill="paper"), lambda _: None),
]  # fmt: skip


def _blackened(fills: Fills, count: int) -> Item:
    """So many corners of the cell on the left of the first tower's."""
    left, bottom, right, top = fills.boxes[0]
    wide, bit = right - left, 0.2 * (right - left)
    places = [(left - wide, bottom), (left - wide, top - bit), (left - bit, bottom)][:count]
    return replace(fills, boxes=(*fills.boxes, *((x, y, x + bit, y + bit) for x, y in places)))


def _is_high(fills: Fills) -> bool:
    """Whether boxes are cells: as wide as they are high, and 30 points or more."""
    left, bottom, right, top = fills.boxes[0]
    return abs((right - left) - (top - bottom)) < 0.1 and right - left > 30


@pytest.mark.parametrize("design, what, where, change", ALTERED, ids=[one[1] for one in ALTERED])
def test_a_picture_that_is_changed_is_told(
    design: str, what: str, where: Callable[[Any], bool], change: Change
) -> None:
    book = covered(design)
    told(altered(planned(book), "Cover", where, change), book, "cover", page=1)


def without_picture(plan: Plan) -> Plan:
    first, *rest = plan.pages
    kept = tuple(item for item in first.items if not isinstance(item, Figure))
    return replace(plan, pages=(replace(first, items=kept), *rest))


@pytest.mark.parametrize("design", ["discs", "clues", "technique", "own"])
def test_a_picture_that_is_not_there_is_told(design: str) -> None:
    book = covered(design)
    told(without_picture(planned(book)), book, "cover", "there is no picture", page=1)


def test_a_picture_that_was_swapped_is_told() -> None:
    book = covered("own")
    swapped = replace(book, pack=replace(book.pack, cover=OTHER))
    told(planned(swapped), book, "cover", "shape 2 has another outline", page=1)
    told(planned(covered("plain")), covered("discs"), "cover", "there is no picture", page=1)
    told(planned(covered("discs")), covered("plain"), "cover", "it is to be plain", page=1)


WORDS = [
    ("Cover", "the larger the disc", "the smaller the disc", "what the cover's picture is"),
    ("Cover", "left open: which", "left open: what", "the cover's riddle"),
    ("Cover", "3 puzzles", "5 puzzles", "how many puzzles there are, and how hard"),
    ("Cover", "grade", "grades 1 to", "how many puzzles there are, and how hard"),
    ("Answers", "The open disc is", "The open disc was", "the answer of the cover's riddle"),
]


@pytest.mark.parametrize("section, old, new, what", WORDS)
def test_a_riddle_that_is_reworded_is_told(section: str, old: str, new: str, what: str) -> None:
    book = covered("discs")
    made = altered(
        planned(book), section, lambda i: isinstance(i, Text) and old in i.text,
        lambda i: replace(i, text=i.text.replace(old, new)),
    )  # fmt: skip
    told(made, book, "words", what)
