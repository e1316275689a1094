"""Pages of puzzles with rules: what is drawn where, named, promised and told."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pypdf
import pytest

from packbuilder.book.assembling import assemble
from packbuilder.book.book import Book
from packbuilder.book.how_to_play import rule_words
from packbuilder.book.wording import promises
from packbuilder.gate import check
from packbuilder.ladder.path import walk
from packbuilder.layouts.loading import load
from packbuilder.pages.facts import rule_line, shapes_of, small_shapes_of
from packbuilder.pages.plan import plan
from packbuilder.plan.items import (
    Disc,
    Figure,
    Fills,
    Item,
    Lozenges,
    Page,
    Table,
    Text,
    Trace,
)
from packbuilder.puzzle import Promise
from packbuilder.reader.text import plain
from packbuilder.rules import kinds, parts_of
from packbuilder.rules.shapes import Corner, Outside
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book, with_pack
from tests.printing import print_book

SETTINGS = [("a4", "one-up"), ("a4", "two-up"), ("letter", "four-up"), ("a5", "one-up")]


@cache
def pages(paper: str, layout: str) -> tuple[Page, ...]:
    found = plan(rule_book(paper, layout), load(layout)).pages
    return tuple(replace(page, items=tuple(flat(page.items))) for page in found)


def flat(items: Iterable[Item]) -> Iterator[Item]:
    """The items with what tables and figures are made of in their place."""
    for item in items:
        if isinstance(item, Table | Figure):
            yield from flat(item.items)
        else:
            yield item


def of_section(book_pages: tuple[Page, ...], section: str) -> list[Item]:
    return [item for page in book_pages if page.section == section for item in page.items]


def words(items: list[Item]) -> str:
    return " ".join(item.text for item in items if isinstance(item, Text)).replace("\xa0", " ")


@cache
def printed(paper: str, layout: str) -> bytes:
    out = io.BytesIO()
    print_book(rule_book(paper, layout), out)
    return out.getvalue()


def test_a_title_of_two_words_is_not_broken() -> None:
    puzzle = replace(rule_book().entries[0].puzzle, rule_names=("thermometers", "little-sums"))
    assert rule_line(puzzle) == "Rules: Thermometers, Little\xa0sums"


def test_each_rule_is_told_with_a_right_case_and_a_wrong_one() -> None:
    book_pages = pages("a4", "one-up")
    told = re.sub(r"\s+", " ", words(of_section(book_pages, "The rules")))
    book = rule_book()
    for slug, kind in kinds().items():
        parts = [p for entry in book.entries for p in parts_of(kind, entry.puzzle.rules)]
        size = next(e.puzzle.size for e in book.entries if slug in e.puzzle.rule_names)
        # quotes and dashes are the typesetter's
        assert re.sub(r"['-]", ".", kind.wording(parts, size).means).split(".")[0] in told
        assert kind.title in told
    signs = Counter(
        "wrong" if figure.items[-2].fill else "right"
        for page in plan(rule_book(), load("one-up")).pages
        if page.section == "The rules"
        for figure in page.items  # the sign is the last thing in a picture: a disc, and on it lines
        if isinstance(figure, Figure) and isinstance(figure.items[-2], Disc)
    )
    assert signs == {"right": len(kinds()), "wrong": len(kinds())}


@pytest.mark.parametrize("layout", ["large-print", "one-up"])
def test_a_rule_its_words_and_its_pictures_are_seen_at_once(layout: str) -> None:
    """On one page, or on two that face each other."""
    titles, found = {kind.title for kind in kinds().values()}, Counter[str]()
    made = plan(rule_book("a4", layout), load(layout))
    openings: dict[int, list[Page]] = {}
    for page in made.pages:
        if page.section == "The rules":
            openings.setdefault(page.folio // 2, []).append(page)
    for some in openings.values():
        told = [item.text for page in some for item in page.items if isinstance(item, Text)]
        pictures = sum(isinstance(item, Figure) for page in some for item in page.items)
        rules = [text for text in told if text in titles]
        found.update(rules)
        stars = sum(title in ("Anti-king", "Anti-knight") for title in rules)
        assert rules
        assert pictures == 2 * len(rules) + stars
    assert found == Counter(titles)


@pytest.mark.parametrize("layout, most", [("two-up", 6), ("large-print", 12)])
def test_the_first_puzzle_comes_soon(layout: str, most: int) -> None:
    """In a pack of 24 puzzles with rules, counted from the cover as page 1: what was asked for."""
    book = rule_book("a4", layout)
    many = tuple(
        replace(entry, number=k, puzzle=replace(entry.puzzle, id=f"{entry.puzzle.id}-{k}"))
        for k, entry in enumerate([*book.entries, *book.entries[:5]], start=1)
    )
    found = plan(replace(book, entries=many), load(layout)).pages
    grids = (page.folio for page in found if page.section == "Puzzles"
             for item in page.items if isinstance(item, Table))  # fmt: skip
    assert min(grids) <= most


def test_answers_leave_out_text_and_keep_the_rest() -> None:
    cages = next(e.puzzle for e in rule_book().entries if e.puzzle.id == "cages")
    assert any(isinstance(s, Corner) for s in shapes_of(cages))
    assert not any(isinstance(s, Corner | Outside) for s in small_shapes_of(cages))
    items = of_section(pages("a4", "one-up"), "Answers")
    inks = {i.ink for i in items if isinstance(i, Trace | Disc) and i.width}
    assert inks == {"ink", "contour", "fill", "paper"}


@pytest.mark.parametrize("layout", ["one-up", "two-up", "worksheet"])
def test_each_puzzle_says_what_its_rules_mean(layout: str) -> None:
    told = words(of_section(pages("a4", layout), "Puzzles"))
    for entry in rule_book().entries:
        for meaning in rule_words(entry.puzzle):
            assert plain(meaning) in plain(told)


def test_promises_are_printed_as_badges_and_explained() -> None:
    book = rule_book()
    cages = next(e for e in book.entries if e.puzzle.id == "cages")
    assert promises(cages, book.pack) == ["Turns on: hidden triple", "No notes: at most 2 in mind"]
    kept = replace(cages, puzzle=replace(cages.puzzle, spoil=False))
    assert promises(kept, replace(book.pack, needs=("x-wing",))) == ["No notes: at most 2 in mind"]
    bare = replace(cages, puzzle=replace(cages.puzzle, promise=Promise()))
    assert promises(bare, book.pack) == []
    assert promises(bare, replace(book.pack, needs=("x-wing",))) == ["Turns on: X-wing"]
    none = replace(cages, puzzle=replace(cages.puzzle, promise=Promise(no_notes=0)))
    assert promises(none, book.pack) == ["No notes: nothing in mind"]
    spare = replace(cages, puzzle=replace(cages.puzzle, promise=Promise(minimal=True)))
    assert promises(spare, book.pack) == ["No clue to spare"]
    told = words(of_section(pages("letter", "four-up"), "Puzzles"))
    assert "Turns on: hidden triple · No notes: at most 2 in mind" in told
    assert "Turns on:" in words(of_section(pages("a4", "one-up"), "How to play"))


def test_a_grid_without_a_clue_to_spare_has_a_seal() -> None:
    book = rule_book()

    def lozenges(minimal: bool) -> int:
        promised = tuple(
            replace(e, puzzle=replace(e.puzzle, promise=Promise(minimal=minimal)))
            for e in book.entries
        )
        made = plan(replace(book, entries=promised), load("one-up"))
        items = [item for page in made.pages if page.section == "Puzzles" for item in page.items]
        return sum(len(item.centres) for item in items if isinstance(item, Lozenges))

    assert lozenges(minimal=True) == lozenges(minimal=False) + 2 * len(book.entries)


def test_a_creators_name_for_a_technique_is_the_one_in_print() -> None:
    book = rule_book()
    pack = replace(book.pack, ladder={"hidden-triple": {"name": "Three in hiding"}})
    cages = next(e for e in book.entries if e.puzzle.id == "cages")
    assert promises(cages, pack)[0] == "Turns on: three in hiding"


def test_techniques_that_rest_on_uniqueness_are_named_as_such() -> None:
    def told(book: Book) -> str:
        return words(of_section(plan(book, load("one-up")).pages, "Ideas in the hints"))

    book = with_pack(sample_book(), assume_unique=True)
    assert "rest on the puzzle having one solution" not in told(book)
    first = replace(book.entries[0], techniques=(("unique-rectangle-1", 1),))
    resting = replace(book, entries=(first, *book.entries[1:]))
    found = told(resting)
    assert "rest on the puzzle having one solution" in found
    assert "(puzzle 1)" in found


def strip_boxes(book: Book, layout: str) -> list[Fills]:
    found = of_section(plan(book, load(layout)).pages, "Answers")
    return [i for i in found if isinstance(i, Fills)]


def test_a_strip_has_a_bar_a_step_and_black_ones_where_there_is_one_way() -> None:
    book = sample_book()
    entry = replace(book.entries[0], ways=(2, 1, 8, 20, 1))
    told = strip_boxes(replace(book, entries=(entry,)), "one-up")
    many, single = told
    assert single.ink == "ink"
    assert many.ink == "rule"
    assert (len(many.boxes), len(single.boxes)) == (3, 2)
    heights = [box[3] - box[1] for box in many.boxes]
    assert heights[1] == pytest.approx(heights[2])  # eight ways or more
    assert heights[0] == pytest.approx(heights[1] * 2 / 8)
    lefts = sorted(box[0] for fills in told for box in fills.boxes)
    assert {round(b - a, 3) for a, b in pairwise(lefts)} == {round(lefts[1] - lefts[0], 3)}


def test_a_bound_book_knows_the_ways_on() -> None:
    puzzle = replace(sample_book().entries[2].puzzle, link=None)
    report = check(replace(sample_book().pack, puzzles=(puzzle,)))
    (entry,) = assemble(report).entries
    assert entry.ways == walk(puzzle.geometry, puzzle.clues).ways()
    assert len(entry.ways) == sum(many for _, many in entry.techniques)


def test_no_strip_where_the_layout_wants_none() -> None:
    book = sample_book()
    entry = replace(book.entries[0], ways=(3, 1, 8))
    assert not strip_boxes(with_pack(replace(book, entries=(entry,)), layout="two-up"), "two-up")


def test_the_file_is_sound_and_its_text_is_read_by_others() -> None:
    reader = pypdf.PdfReader(io.BytesIO(printed("a4", "one-up")))
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert "Rules: Sandwich" in text
    assert "Turns on: hidden triple" in text


@pytest.mark.parametrize("paper", ["a4", "letter", "a5", "a6"])
def test_every_rule_is_told_whole_on_every_paper(paper: str) -> None:
    """An entry that is longer than what is left of a page, or than a page, is broken."""
    told = words(of_section(plan(rule_book(paper), load("one-up")).pages, "The rules"))
    for kind in kinds().values():
        assert kind.title in told
