"""Ways through the book: links, printed page numbers, named places, fields, what is heard."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pypdf
import pytest

from packbuilder.book import Book
from packbuilder.book.assembling import book_of
from packbuilder.book.lessons import lessons
from packbuilder.editions import EDITIONS
from packbuilder.grid import cell_name
from packbuilder.plan.items import (
    FURNITURE,
    Box,
    Destination,
    Glyphs,
    Item,
    Link,
    NotesField,
    Plan,
    Table,
    Text,
    WebLink,
)
from packbuilder.readback import read
from packbuilder.rules import kinds
from tests.readback import books
from tests.readback.altering import Change, altered, drawn, findings, planned, printed, told
from tests.readback.as_planned.sealing import more, obj, sealed

REDIRECTED = [  # to another page; what leads to another grid of it differs from the plan
    ("Contents", "puzzle-2", "puzzle-3"),  # another page
    ("Puzzles", "hint-2-1", "hint-2-3"),  # gives the step away
    ("Answers", "puzzle-2", "puzzle-1"),
]


@pytest.mark.parametrize("section, name, other", REDIRECTED)
def test_a_redirected_link_is_told(
    book: Book, plan: Plan, section: str, name: str, other: str
) -> None:
    made = altered(plan, section, leads(name), lambda i: replace(i, to=other))
    told(made, book, "link")


def leads(name: str) -> Callable[[Item], bool]:
    return lambda item: isinstance(item, Link) and item.to == name


NUMBERS = [  # words, from which section, and what they must say
    ("Contents", "6", "5", "link", "must end in that number"),
    ("Contents", "6", "5", "reference", "its row in the contents"),
    ("Contents", "12", "13", "reference", "the contents have Third hints on page 13"),
    ("Puzzles", "First hint: page 8", "First hint: page 9", "link", "must end in that number"),
    ("Puzzles", "First hint: page 8", "First hint: page 9", "reference", "that is on page 8"),
    ("Puzzles", "Answer: page 16", "Answer: page 13", "reference", "that is on page 16"),
    ("First hints", "Second hint: page 10", "Second hint: page 8", "reference", "is on page 10"),
    ("Second hints", "Third hint: page 12", "Third hint: page 9", "reference", "is on page 12"),
    ("Answers", "Puzzle: page 6", "Puzzle: page 7", "reference", "that is on page 6"),
    ("Puzzles", "7", "8", "reference", "the number at its foot is 8"),
    ("Puzzles", "7", "", "reference", "the number at its foot is"),
    ("Puzzles", "Answer: page 16", "", "reference-missing", "nothing printed in Puzzles"),
]


@pytest.mark.parametrize("section, old, new, code, words", NUMBERS)
def test_a_wrong_page_number_is_told(
    book: Book, plan: Plan, section: str, old: str, new: str, code: str, words: str
) -> None:
    made = altered(plan, section, says(old), lambda i: replace(i, text=new) if new else None)
    told(made, book, code, words)


def says(words: str) -> Callable[[Item], bool]:
    return lambda item: isinstance(item, Text) and item.text == words


@pytest.mark.parametrize("old", ["First hint", "Answer", "Second hint", "Third hint", "Puzzle"])
def test_a_wrong_page_number_of_a_booklet_is_told(old: str) -> None:
    """There it is all that leads on."""
    book = book_of(books.plain(), EDITIONS["booklet"])

    def reference(item: Item) -> bool:
        return isinstance(item, Text) and item.text.startswith(f"{old}: page")

    section = {"Second hint": "First hints", "Third hint": "Second hints", "Puzzle": "Answers"}
    where = section.get(old, "Puzzles")
    made = altered(planned(book), where, reference, lambda i: replace(i, text=f"{old}: page 2"))
    told(made, book, "reference", "that is on page", number=1)


def gone(_: Item) -> None:
    return None


def at(name: str) -> Callable[[Item], bool]:
    return lambda item: isinstance(item, Destination) and item.name == name


def elsewhere(name: str) -> Link:
    return Link((60.0, 20.0, 120.0, 30.0), name, "Answer: page 12")


WAYS: list[tuple[str, Callable[[Plan], Plan], str, str]] = [
    ("a link less", lambda p: altered(p, "Answers", leads("puzzle-2"), gone), "link-missing",
     "is not a live link"),
    ("a page number that is no link", lambda p: drawn(p, "Puzzles", Text(
        80, 100, "See also: page 9", "SourceSansPro-Regular", 9.0, tag=FURNITURE)), "link-missing",
     "is not a live link"),
    ("a link on nothing", lambda p: drawn(p, "Puzzles", elsewhere("answer-1")), "link",
     "the link '' leads to page 16"),
    ("an address that the pack does not name", lambda p: drawn(p, "Puzzles", WebLink(
        (60.0, 20.0, 120.0, 30.0), "https://example.org/elsewhere")), "link", "does not name"),
]  # fmt: skip


@pytest.mark.parametrize("name", [name for name, *_ in WAYS])
def test_each_fault_of_links_and_places_is_told(book: Book, plan: Plan, name: str) -> None:
    _, change, code, words = next(row for row in WAYS if row[0] == name)
    told(change(plan), book, code, words)


LAUNCH = r"/Dest\(answer-1\)"
LIES: dict[str, tuple[tuple[str, str], str, str]] = {
    "a program": ((LAUNCH, "/A<</S/Launch/F(calc.exe)>>"), "link", "runs a program"),
    "another file": ((LAUNCH, "/A<</S/GoToR/F(b.pdf)/D[0/Fit]>>"), "link", "another file"),
    "a script": ((LAUNCH, "/A<</S/JavaScript/JS(x)>>"), "link", "an action of another kind"),
    "nowhere": ((LAUNCH, "/Dest(nowhere)"), "link", "which is not in the file"),
}


@pytest.mark.parametrize("name", LIES)
def test_a_press_that_leads_astray_is_told(book: Book, plan: Plan, name: str) -> None:
    change, code, words = LIES[name]
    told(sealed(plan, obj(*change)), book, code, words)


# --- ways to the rules ---------------------------------------------------------------------------


@cache
def crowded(edition: str, slugs: tuple[str, ...], label: str) -> Book:
    """A puzzle with so much said of it that what its rules mean has no room beside it."""
    whole = books.ruled(*slugs) if len(slugs) < 2 else books.outside()
    (entry,) = whole.entries
    pack = replace(whole.pack, layout="four-up")  # of the sampler; the others have their own
    for count in range(1, 24):
        intro = "A lamp is lit in the bay. " * count
        said = replace(entry, puzzle=replace(entry.puzzle, intro=intro))
        book = book_of(replace(whole, pack=pack, entries=(said,)), EDITIONS[edition])
        if any(to_rules(label)(item) for page in planned(book).pages for item in page.items
               if page.section == "Puzzles"):  # fmt: skip
            return book
    raise AssertionError(label)


def to_rules(label: str) -> Callable[[Item], bool]:
    return lambda item: isinstance(item, Text) and item.text.startswith(f"{label}: page")


CROWDED = [  # the edition, rules, and what must lead to one of them
    ("booklet", ("cages",), "The rules"),
    ("screen", ("cages",), "The rules"),
    ("booklet", ("sandwich", "sightlines", "little-sums"), "Sightlines"),
    ("sampler", ("cages",), "How to play"),
]


@pytest.mark.parametrize("edition, slugs, label", CROWDED)
def test_a_wrong_way_to_the_rules_is_told(edition: str, slugs: tuple[str, ...], label: str) -> None:
    book = crowded(edition, slugs, label)
    plan = planned(book)
    assert not findings(plan, book)
    wrong = altered(plan, "Puzzles", to_rules(label), lambda i: replace(i, text=f"{label}: page 1"))
    told(wrong, book, "reference", "that is on page", number=1)
    if label in ("The rules", "How to play"):  # they would take another one's place
        less = altered(plan, "Puzzles", to_rules(label), gone)
        told(less, book, "reference-missing", "what its rules mean", number=1)


def test_a_way_to_rules_that_stand_nowhere_is_told() -> None:
    book = crowded("booklet", ("cages",), "The rules")
    title = kinds()["cages"].title
    less = altered(planned(book), "The rules", says(title), gone)
    told(less, book, "reference", "that is on no page", number=1)


def test_a_wrong_way_from_how_to_play_to_the_rules_is_told() -> None:
    """In a booklet it is all that leads there, but for the contents."""
    book = book_of(books.ruled("cages"), EDITIONS["booklet"])
    plan, way = planned(book), to_rules("The rules")
    wrong = altered(plan, "How to play", way, lambda i: replace(i, text="The rules: page 1"))
    told(wrong, book, "reference", "in 'How to play': that is on page")
    less = altered(plan, "How to play", way, gone)
    told(less, book, "reference-missing", "nothing printed in 'How to play' leads to 'The rules'")


@pytest.mark.parametrize("edition", ["booklet", "screen"])
def test_a_puzzle_may_be_called_as_the_way_to_its_rules_is(edition: str) -> None:
    book = crowded(edition, ("cages",), "The rules")
    plan = planned(book)
    (way,) = {i.text for page in plan.pages for i in page.items if to_rules("The rules")(i)}
    (entry,) = book.entries
    called = replace(entry, puzzle=replace(entry.puzzle, title=way))
    book = replace(book, entries=(called,))
    assert not findings(planned(book), book)
    named = replace(entry, puzzle=replace(entry.puzzle, title=f"{way[:-1]}99"))
    book = replace(book, entries=(named,))
    assert not findings(planned(book), book)
    less = altered(planned(book), "Puzzles", to_rules("The rules"), gone, at=1)  # behind the title
    told(less, book, "reference-missing", "what its rules mean", number=1)


# --- fields --------------------------------------------------------------------------------------


@cache
def screen() -> Book:
    return book_of(books.single(), EDITIONS["screen"])


def grid(item: Item) -> bool:
    return isinstance(item, Table) and bool(item.fields)


def moved(one: tuple[int, Box], cells: int) -> tuple[int, Box]:
    """A field moved down by so many cells."""
    cell, (left, bottom, right, top) = one
    down = cells * (right - left)
    return cell, (left, bottom - down, right, top - down)


Fields = tuple[tuple[int, Box], ...]
FIELDS: dict[str, tuple[Callable[[Fields], Fields], str, str]] = {
    "none": (lambda some: (), "field-missing", "has no field for a digit in it"),
    "one less": (lambda some: some[1:], "field-missing", "has no field for a digit in it"),
    "one that is named for another": (
        lambda some: ((some[1][0], some[0][1]), (some[0][0], some[1][1]), *some[2:]),
        "field", "is named 'p1-",
    ),
    "one twice": (lambda some: (*some, some[0]), "field-extra", "2 form fields for a digit in"),
    "one over a clue": (lambda some: (*some, over_a_clue(some)), "field-extra", "over the clue"),
    "one beside the grid": (
        lambda some: (*some, moved(some[0], 10)), "field-extra", "where no empty cell of a puzzle",
    ),
}  # fmt: skip


def over_a_clue(some: Fields) -> tuple[int, Box]:
    open_cells = {cell for cell, _ in some}
    return next(moved(one, 1) for one in some if one[0] + 9 not in open_cells and one[0] < 72)


@pytest.mark.parametrize("name", FIELDS)
def test_each_fault_of_fields_is_told(name: str) -> None:
    change, code, words = FIELDS[name]
    made = altered(
        planned(screen()), "Puzzles", grid, lambda t: replace(t, fields=change(t.fields))
    )
    told(made, screen(), code, words, page=6)


def test_fields_of_a_grid_to_try_are_told() -> None:
    whole = books.single()
    pack = replace(whole.pack, needs=("naked-pair",))
    book = book_of(replace(whole, pack=pack, lessons=lessons(pack)), EDITIONS["screen"])
    plan = planned(book)
    assert not findings(plan, book)
    for change, code, words in (
        (lambda t: replace(t, fields=t.fields[1:]), "field-missing", "no field for a digit in it"),
        (lambda t: replace(t, name="p1"), "field", "is named 'p1-"),
    ):
        told(altered(plan, "Primer", grid, change), book, code, words)
    less = altered(plan, "Primer", lambda i: isinstance(i, NotesField), gone)
    told(less, book, "field-missing", "has no field for notes on it")


NOTES: dict[str, tuple[Change, str, str]] = {
    "gone": (lambda one: None, "field-missing", "has no field for notes on it"),
    "twice": (lambda one: (one, one), "field-extra", "2 form fields for notes on"),
    "named for another cell": (
        lambda one: replace(one, name="p1-r9c9-notes"), "field", "is named 'p1-r9c9-notes'",
    ),
    "named as the cell's own": (
        lambda one: replace(one, name=one.name.removesuffix("-notes")), "field", "for notes on",
    ),
    "under the digit": (
        lambda one: replace(one, box=(one.box[0], one.box[1] - 29, one.box[2], one.box[3] - 29)),
        "field", "lies under its digit",
    ),
    "over the digit": (
        lambda one: replace(one, box=(one.box[0], one.box[1] - 15, one.box[2], one.box[3])),
        "field-extra", "2 form fields for a digit in",
    ),
    "beside the grid": (
        lambda one: (one, replace(one, box=(5.0, 5.0, 25.0, 15.0))), "field-extra",
        "where no empty cell of a puzzle",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", NOTES)
def test_each_fault_of_fields_for_notes_is_told(name: str) -> None:
    change, code, words = NOTES[name]
    made = altered(planned(screen()), "Puzzles", lambda i: isinstance(i, NotesField), change)
    told(made, screen(), code, words, page=6)


def test_fields_that_are_filled_in_are_told() -> None:
    """By a press that lies, and by another program: then it is no longer the file as released."""
    lying = sealed(planned(screen()), more("/Type/Annot/Subtype/Widget", "/V(5)"))
    told(lying, screen(), "field", "holds '5' already", number=1)
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(printed(planned(screen()))))
    cell = cell_name(screen().entries[0].puzzle.clues.index(0), 9)
    writer.update_page_form_field_values(
        writer.pages[5], {f"p1-{cell}": "7"}, auto_regenerate=False
    )
    out = io.BytesIO()
    writer.write(out)
    told(out.getvalue(), screen(), "field", "holds '7' already", cell=cell)
    assert "file-damaged" in {
        one.code for one in read(out.getvalue(), screen(), planned(screen())).findings
    }


# --- what is heard -------------------------------------------------------------------------------


def heard(change: Callable[[tuple[int, ...]], tuple[int, ...]]) -> Callable[[Glyphs], Glyphs]:
    return lambda item: replace(item, cells=change(item.cells))


def letters(item: Item) -> bool:
    return isinstance(item, Glyphs) and bool(item.cells)


@pytest.mark.parametrize("section", ["Puzzles", "Third hints", "Answers"])
@pytest.mark.parametrize(
    "change",
    [lambda cells: (cells[0] + 1, *cells[1:]), lambda cells: (cells[1], cells[0], *cells[2:])],
    ids=["in an empty cell", "in each other's cells"],
)
def test_digits_that_are_heard_elsewhere_are_told(
    book: Book, plan: Plan, section: str, change: Callable[..., Any]
) -> None:
    made = altered(plan, section, letters, heard(change))
    told(made, book, "tag-cell", "would be heard in row", number=1)


def test_a_digit_that_is_not_heard_is_told(book: Book, plan: Plan) -> None:
    lying = sealed(plan, obj(r"(/S/TD/P \d+ 0 R)/Pg \d+ 0 R/K \d+", r"\1"))
    told(lying, book, "tag-cell", "would not be heard in any cell", number=1)


SUMMARIES: list[tuple[str, str, str, str]] = [
    ("Puzzle 1", "Puzzle 1", "Puzzle 2", "is not told 'Puzzle 1: 6x6, blocks 2x3.'"),
    ("Hint for puzzle 1", "6x6", "9x9", "is not told 'Hint for puzzle 1: 6x6"),
    ("Answer 1", "Answer 1", "", "is not told 'Answer 1: 6x6"),
    ("Puzzle 1", "1: r5c4 r5c5 r5c6", "1: r5c4 r5c5", "from r5c4 to r5c6 is not told as the book"),
    ("Puzzle 1", "1: r5c4 r5c5 r5c6; ", "", "Renban lines is in words that mean no clue"),
    ("Puzzle 1", "1: r5c4", "1: s5c4", "Renban lines is in words that mean no clue"),
]


@pytest.mark.parametrize("name, old, new, words", SUMMARIES)
def test_each_fault_of_what_a_grid_is_called_is_told(
    name: str, old: str, new: str, words: str
) -> None:
    book = books.ruled("renban")
    section = {"P": "Puzzles", "H": "Third hints", "A": "Answers"}[name[0]]
    made = altered(planned(book), section, lambda i: isinstance(i, Table),
                   lambda t: replace(t, summary=t.summary.replace(old, new)))  # fmt: skip
    told(made, book, "tag", words, number=1)


def test_regions_that_are_told_otherwise_are_told() -> None:
    book = books.mixed()
    made = altered(
        planned(book), "Puzzles", lambda i: isinstance(i, Table) and "Regions" in i.summary,
        lambda t: replace(t, summary=t.summary.replace("r1 a a a b b", "r1 a a b b b")),
    )  # fmt: skip
    told(made, book, "tag", "the regions of the grid are not the book's", number=4)
