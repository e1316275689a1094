"""Words of a pack that look like the house's own: a true print has no finding."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from packbuilder.book import Book
from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.gate.printable import letters_of_pack, letters_of_puzzle
from packbuilder.grid import blocks, cell_name, latin
from packbuilder.layouts import load as load_layout
from packbuilder.layouts.fitting import text_cell
from packbuilder.layouts.papers import MM
from packbuilder.manifest import load
from packbuilder.pages import plan_book
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.plan import plan
from packbuilder.plan.items import Plan, Table, Text
from packbuilder.proof import sat
from packbuilder.readback import read
from packbuilder.reader.pdfium import File
from packbuilder.rules.shapes import Corner
from packbuilder.typography.typeface import width
from tests.readback import books
from tests.readback.altering import altered, planned, printed

LAMPS = "The lamps went out one by one, and the road home was longer still for those in boats. "


def worded(titles: list[str], *, setter: str = "Ada Quill", intro: str = "", **pack: Any) -> Book:
    """Small puzzles of those titles, in a pack of those words."""
    whole = books.book([(blocks(2, 2), 6)] * len(titles))
    own = {"setter": setter, "intro": intro or None}
    entries = tuple(
        replace(entry, puzzle=replace(entry.puzzle, title=title, **own))
        for entry, title in zip(whole.entries, titles, strict=True)
    )
    puzzles = tuple(entry.puzzle for entry in entries)
    return replace(whole, entries=entries, pack=replace(whole.pack, puzzles=puzzles, **pack))


def amiss(book: Book, edition: str = "print") -> list[str] | None:
    """What both proofs find in a true print; None for a book that cannot be set."""
    book = book_of(book, EDITIONS[edition])
    try:
        return amiss_in(plan_book(book), book)
    except InputError:
        return None


def amiss_in(made: Plan, book: Book) -> list[str]:
    """What both proofs find in the print of a plan."""
    return [one.words() for one in read(printed(made), book, made).findings]


@pytest.mark.parametrize("edition", ["print", "screen"])
def test_a_paragraph_may_go_on_over_many_pages(edition: str) -> None:
    assert amiss(worded(["Gulls"], foreword=(LAMPS * 70).strip()), edition) == []


@pytest.mark.parametrize(
    "titles, setter",
    [
        (["The Lamp", "Torn from page 9"], "Ada Quill"),
        (["The Lamp", "Gulls"], "Club 7, page 3"),
        (["The Lamp", "Gulls"], "Hint: page 3"),
        (["The Lamp", "Gulls"], "Puzzles 3"),
        (["page 9", "Answer: page 99"], "Answers"),
        (["How to play 3", "Credits"], "Credits 2"),
        (["Rules: Cages", "Gulls"], "Ada Quill"),
        (["... A low answer: the page 1897 " + "kite" * 12, "Gulls"], "Ada Quill"),
    ],
    ids=str,
)
def test_titles_and_setters_lead_nowhere(titles: list[str], setter: str) -> None:
    assert amiss(worded(titles, setter=setter)) == []


def test_titles_may_reach_close_to_the_next_column_of_hints() -> None:
    book = worded(["Unputdownableness" * 4, "Gulls"])
    thrice = tuple(replace(entry, hints=entry.hints * 3) for entry in book.entries)
    assert amiss(replace(book, entries=thrice)) == []


def test_captions_side_by_side_may_be_of_other_letters() -> None:
    """A capital with marks above it makes its line higher."""
    assert amiss(worded(["Kun Donauda", "Þorn Ő Do"], layout="two-up")) == []


def test_a_caption_beside_a_band_of_clues_ends_with_its_column() -> None:
    (entry,) = books.outside().entries
    long = [replace(entry.puzzle, id=name, title="Unputdownableness" * 4) for name in "ab"]
    book = books.bound([replace(entry, number=k, puzzle=one) for k, one in enumerate(long, 1)])
    assert amiss(replace(book, pack=replace(book.pack, layout="four-up"))) == []


def test_titles_of_cards_may_be_much_wider_than_their_grids() -> None:
    """Of four cards, with 9x9 grids and what must stand below them."""
    entries = [replace(books.plain().entries[0], number=k) for k in range(1, 5)]
    puzzles = [replace(one.puzzle, id=f"p{one.number}", intro=LAMPS * 4,
                       title="The Lamp Room at Low Water, Kelp" if one.number % 2 else "Gulls")
               for one in entries]  # fmt: skip
    book = books.bound([replace(e, puzzle=p) for e, p in zip(entries, puzzles, strict=True)])
    assert amiss(replace(book, pack=replace(book.pack, layout="gift-card"))) == []


def test_a_card_may_name_its_rules_right_above_lines_to_write_on() -> None:
    (entry,) = books.outside().entries
    two = [replace(entry.puzzle, id=name, title=name) for name in "ab"]
    book = books.bound([replace(entry, number=k, puzzle=one) for k, one in enumerate(two, 1)])
    assert amiss(replace(book, pack=replace(book.pack, layout="gift-card"))) == []


def test_notes_of_cards_whose_grids_are_not_in_line_are_their_own() -> None:
    """Bands of clues at its left and its top move a grid in the middle of its card; each has a page
    of notes."""
    (banded,) = books.ruled("sandwich").entries
    plain = [entry.puzzle for entry in books.book([(blocks(2, 3), 12)] * 3).entries]
    puzzles = [replace(one, intro=LAMPS * 20) for one in (banded.puzzle, *plain)]
    entries = [books.entry(k, one, sat.prove(one.geometry, one.clues, one.rules).first or ())
               for k, one in enumerate(puzzles, 1)]  # fmt: skip
    book = books.bound(entries)
    assert amiss(replace(book, pack=replace(book.pack, layout="gift-card"))) == []


def test_a_title_at_the_foot_of_cards_leads_nowhere() -> None:
    assert amiss(worded(["Gulls", "Kelp"], title="More: page 4", layout="gift-card")) == []


def test_a_title_that_is_broken_behind_a_number_leads_nowhere() -> None:
    """In the list of puzzles before the first one."""
    title = "A Lamp at Low Water and a Harbour Master, page 1897 unputdownableness Wick"
    assert amiss(worded(["Gulls", title])) == []


def test_a_setter_whose_name_is_broken_behind_a_number_leads_nowhere() -> None:
    setter = "Kettle, page 1897 " + "unputdownableness" * 3 + "unputdown"
    assert amiss(worded(["The Lamp"], setter=setter)) == []


def test_a_setter_in_the_credits_of_a_sampler_leads_nowhere() -> None:
    book = worded(["Gulls", "Kelp"], setter="Answer: page 99", sampler=1)
    assert amiss(book, "sampler") == []


def test_the_name_of_a_technique_leads_nowhere() -> None:
    ladder = {"naked-single": {"name": "a lamp that is lit on page 6"}}
    book = worded(["Gulls"], needs=("naked-single",), ladder=ladder, layout="two-up")
    assert amiss(book) == []


@pytest.mark.parametrize("words", ["Всё", "Ήσυχο βράδυ", "Łódź"])
def test_a_screen_reader_is_told_in_any_letters(words: str) -> None:
    """ISO 32000-2, 7.9.2.2: what is not in plain letters is in UTF-16."""
    plan = altered(
        planned(books.single()),
        "Puzzles",
        lambda item: isinstance(item, Table),
        lambda table: replace(table, summary=words),
    )
    folio = next(page.folio for page in plan.pages if any(
        isinstance(item, Table) and item.summary == words for item in page.items))  # fmt: skip
    with File(printed(plan)) as file, file.page(folio) as page:
        assert page.spoken().summaries == [words]


def in_large_type(book: Book, prose: float, layout: str = "one-up") -> list[str]:
    """What is amiss in a layout of one's own, whose prose has so many points."""
    own = load_layout(layout)
    return amiss_in(plan(book, replace(own, type=replace(own.type, prose=prose))), book)


def test_headings_keep_clear_of_their_words() -> None:
    """One that fills its column, in type that is large for the gutter."""
    sheet = PageDesign(load_layout("one-up"), "a4")
    prose = 0.995 * sheet.side / width("Latin square, 5 × 5", sheet.faces.strong, 1)
    assert 11.8 < prose < 18
    assert in_large_type(books.book([(blocks(2, 2), 6), (latin(5), 9)]), prose) == []


def test_captions_side_by_side_are_told_apart_in_any_gap() -> None:
    titles = ["Unputdownableness of the night train"] * 2
    own = load_layout("four-up")
    close = replace(own, grids=replace(own.grids, gap_across=5.5))
    book = worded(titles, layout="four-up")
    assert amiss_in(plan(book, close), book) == []


def test_columns_of_hints_are_told_apart_in_any_gap() -> None:
    """A word longer than its line fills the line; grids without candidates stand in columns."""
    book, own, word = books.plain(), load_layout("one-up"), "Unputdownableness"
    hints = [(replace(entry.hints[0], where=word * 7, told=word * 20, shown=(), struck=()),) * 2
             for entry in book.entries]  # fmt: skip
    entries = tuple(replace(e, hints=h) for e, h in zip(book.entries, hints, strict=True))
    book = replace(book, entries=entries)
    close = replace(own, hints=replace(own.hints, gap=3))
    assert amiss_in(plan(book, close), book) == []


def test_long_words_in_large_type_keep_clear_of_numbers_and_other_columns() -> None:
    """The first line of a title ends close to its page in the contents; a third hint goes on in the
    next column."""
    word = "water-dirt-and-peat-paraffin-therapy".replace("-", "")
    book = worded([f"{word} and more"], paper="letter")
    (entry,) = book.entries
    told = " ".join([word, "kettle"] * 9)
    hints = (replace(entry.hints[0], told=told),)
    assert in_large_type(replace(book, entries=(replace(entry, hints=hints),)), 19.9) == []


def test_large_sums_in_corners_keep_clear_of_digits_in_the_least_cells() -> None:
    """A 7 is flat above: under each stands the foot of a sum."""
    clues, solution = books.carve(geometry := blocks(3, 3), 5, 60)
    sevens = [cell for cell in range(81) if clues[cell] == 7 and cell % 9 < 8]
    cages = [{"sum": str(7 + solution[cell + 1]),
              "cells": f"{cell_name(cell, 9)} {cell_name(cell + 1, 9)}"}
             for cell in sevens]  # fmt: skip
    puzzle = books.with_rules(geometry, {"cages": cages}, clues, "sevens")
    own, least = load_layout("large-print"), text_cell([Corner(0, "15")], 28, 18) / MM
    cells = tuple(replace(one, aim=least, minimum=least) for one in own.cells)
    book = books.bound([books.entry(1, puzzle, solution, hints=0)])
    book = book_of(book, EDITIONS["large-print"])
    assert amiss_in(plan(book, replace(own, cells=cells)), book) == []


def test_a_title_may_have_a_line_of_one_letter_in_the_contents() -> None:
    book = worded(["A " + "unputdownableness" * 2, "Gulls"], paper="a5")
    assert amiss(book, "booklet") == []


def test_a_puzzle_may_be_called_as_the_rules_of_another_one() -> None:
    (entry,) = books.ruled("cages").entries
    other = replace(worded(["Rules: Cages"]).entries[0], number=2)
    assert amiss(books.bound([entry, other])) == []


@pytest.mark.parametrize("rules", ["cages", ""])
def test_a_setter_may_be_called_as_the_rules_of_a_puzzle(rules: str) -> None:
    book = books.ruled(rules) if rules else worded(["Gulls"])
    (entry,) = book.entries
    puzzle = replace(entry.puzzle, setter="Rules: Cages")
    assert amiss(books.bound([replace(entry, puzzle=puzzle)])) == []


def test_a_puzzle_may_be_called_as_another_ones_reference() -> None:
    """Of a sampler in which it is not."""
    book = worded(["Gulls", "Kelp", "Answer: page 5"], sampler=2, layout="two-up")
    plan = plan_book(book_of(book, EDITIONS["sampler"]))
    said = [item.text for page in plan.pages for item in page.items if isinstance(item, Text)]
    assert said.count("Answer: page 5") > 1
    assert amiss(book, "sampler") == []


def test_a_puzzle_may_be_called_as_the_sampler_says_of_it() -> None:
    assert amiss(worded(["in this sampler", "Gulls"], sampler=1), "sampler") == []
    assert amiss(worded(["Gulls", "in this sampler"], sampler=1), "sampler") == []


def test_letters_that_are_joined_in_one_sign_are_parted(write_pack: Callable[..., Path]) -> None:
    """Unicode 15.1, U+FB00 to U+FB06: presentation forms, whose letters are meant."""
    pack = load(write_pack("- id: cup\n  title: ﬀ ﬁ ﬂ ﬃ ﬄ ﬅ ﬆ\n  size: 4\n  intro: A ﬁsh.\n"
                           "  grid: ..3. ..2. .4.. .2.."))  # fmt: skip
    (puzzle,) = pack.puzzles
    assert (puzzle.title, puzzle.intro) == ("ff fi fl ffi ffl st st", "A fish.")


@pytest.mark.parametrize("sign", "\U0001f12f\U0001f16a\U0001f16b")
def test_signs_that_are_not_read_alike_by_all_are_refused(sign: str) -> None:
    pack = worded([f"A{sign}B"], theme=sign).pack
    found = [*letters_of_pack(pack), *letters_of_puzzle(pack.puzzles[0])]
    assert [one.code for one in found] == ["unprintable", "unprintable"]


# --- any words ---------------------------------------------------------------------------------

PIECES = ["Answers", "Answer: none", "Rules: Cages", "Puzzles 3", "12", "1", "Hint 2", "Hint 2.1",
          "Example", "Grade 3", "Beyond 7", "Contents", "Credits", "How to play", "Foreword",
          "Primer", "The full pack", "in this sampler", "puzzle 2", "pages 3, 4 and 5", "page 9",
          "the lamp", "a rope, and tar;", "(x)", "1/2", "2 1/2", "--", "...", "“q”", "'tis",
          "O'Neil", "r1c1", "A", "Ada Quill", "No notes: 3", "More: page 2", "First hints",
          "Set by", "Supercalifragilistic", "of", "and", "light", "1. ", "2)", "3:",
          "–"]  # fmt: skip


def words(most: int) -> st.SearchStrategy[str]:
    return st.lists(st.sampled_from(PIECES), min_size=1, max_size=most).map(" ".join)


@settings(
    max_examples=12, derandomize=True, deadline=None, database=None, phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)  # fmt: skip
# not shrunk: each example is a book
@given(
    titles=st.lists(words(2), min_size=1, max_size=3),
    setter=words(3),
    intro=words(10),
    pack=st.fixed_dictionaries(
        {"title": words(3), "byline": words(3), "theme": words(10), "licence": words(20),
         "foreword": st.lists(words(40), max_size=4).map("\n\n".join)}
    ),
    edition=st.sampled_from(["print", "large-print", "booklet", "screen", "sampler"]),
)  # fmt: skip
def test_no_words_of_a_pack_are_taken_for_the_houses(
    titles: list[str], setter: str, intro: str, pack: dict[str, str], edition: str
) -> None:
    assert amiss(worded(titles, setter=setter, intro=intro, **pack), edition) in ([], None)
