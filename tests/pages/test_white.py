"""White: what stands apart on a page, and what is told once only."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packbuilder.editions import EDITIONS
from packbuilder.layouts.loading import load
from packbuilder.layouts.papers import MM
from packbuilder.pages.draft import Draft
from packbuilder.pages.notes import Way, narrow_notes
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.plan import plan
from packbuilder.pages.prose import tidy
from packbuilder.plan.items import Figure, Fills, Page, Reference, Strokes, Table, Text
from packbuilder.typography.typeface import width
from tests.pages.house_style.measuring import Printed
from tests.pages.house_style.room import nothing_is_near_an_edge
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book, with_puzzle


def texts(page: Page) -> list[Text]:
    return [item for item in page.items if isinstance(item, Text)]


@pytest.mark.parametrize(
    ("paper", "layout"),
    [("tablet", "screen"), ("a4", "large-print"), ("letter", "large-print"), ("a4", "two-up")],
)
def test_the_openers_picture_and_its_puzzles_keep_off_the_footer(paper: str, layout: str) -> None:
    """5 mm between any text or picture and the tops of the footer's figures."""
    edition = EDITIONS.get(layout, EDITIONS["print"])
    book = with_puzzle(sample_book(paper, layout), 0, intro="A lamp is lit. " * 8, link="")
    sheet = PageDesign(load(layout), paper, edition)
    foot, pictures, lines = sheet.foot + 0.66 * (sheet.type.furniture + 1), 0, 0
    for page in plan(replace(book, edition=edition), load(layout)).pages:
        if page.section == "Puzzles":
            low = [t.y - 0.22 * t.size for t in texts(page) if t.y > sheet.foot + 1]
            for figure in (item for item in page.items if isinstance(item, Figure)):
                boxes = [b for f in figure.items if isinstance(f, Fills) for b in f.boxes]
                if boxes and figure.tag.alt and "as a picture of squares" in figure.tag.alt:
                    low += [bottom for _, bottom, _, _ in boxes]
                    pictures += 1
            assert min(low) - foot >= 5 * MM
            lines += any("A lamp is lit" in t.text for t in texts(page))
    assert lines
    assert pictures


def test_the_head_names_the_puzzles_only_where_there_are_several() -> None:
    for layout, named in (("one-up", False), ("two-up", True)):
        pages = plan(sample_book("a4", layout), load(layout)).pages
        (first, *_) = (p for p in pages if p.section == "Puzzles" and any(
            isinstance(item, Table) for item in p.items))  # fmt: skip
        top = max(t.y for t in texts(first))
        heads = [t.text for t in texts(first) if t.y == top and t.text != "Puzzles"]
        assert bool(heads) == named


def test_no_line_of_the_opener_parts_a_number_from_its_title() -> None:
    book = sample_book("a5")
    opener = next(p for p in plan(book, load("one-up")).pages if p.section == "Puzzles")
    whole = {f"{e.number} {tidy(e.puzzle.title)}" for e in book.entries}
    lines = [t.text.replace("\xa0", " ") for t in texts(opener) if t.text[:1].isdigit()]
    named = [name for line in lines for name in line.rstrip(";").split("; ") if "from" not in name]
    assert whole <= {*named}


def test_the_ideas_of_hints_part_second_hints_from_third_ones() -> None:
    """So that no third hint faces a second one, without a bare page in between."""
    for layout, edition in (("one-up", "print"), ("large-print", "large-print")):
        book = replace(rule_book("a4", layout), edition=EDITIONS[edition])
        sections = [page.section for page in plan(book, load(layout)).pages]
        order = [*dict.fromkeys(sections)]
        at = order.index("Ideas in the hints")
        assert order[at - 1 : at + 2] == ["Second hints", "Ideas in the hints", "Third hints"]
        ideas = [p for p in plan(book, load(layout)).pages if p.section == order[at]]
        assert all(sum(t.text.startswith("Grade ") for t in texts(p)) >= 2 for p in ideas)


@pytest.mark.parametrize("size", [9.0, 13.5, 18.0])
def test_ways_on_stand_side_by_side_where_there_is_room(size: float) -> None:
    """Below a grid, in any measure and type; the page numbers have two digits."""
    book, layout = sample_book("a4", "four-up"), load("four-up")
    sheet = PageDesign(replace(layout, type=replace(layout.type, label=size)), "a4")
    draft = Draft(sheet, book.pack)
    beside = []
    for measure in range(120, 360, 4):
        block = narrow_notes(draft, book.entries[0], measure, Way())
        first, after = [i for i in block.draw(0, 0) if isinstance(i, Reference)]
        end = first.x + width(f"{first.words}99", first.face, first.size)
        beside.append(first.y == after.y)
        assert end < after.x if beside[-1] else first.y - after.y > size
    assert sorted(beside) == beside
    assert beside[-1]


def test_a_setters_name_has_room_in_labels_larger_than_small_type() -> None:
    layout = load("one-up")
    large = replace(layout, type=replace(layout.type, small=9.5, label=10.8))
    sizes = {t.size for page in plan(sample_book(), large).pages if page.section == "Contents"
             for t in texts(page) if t.face.endswith("Italic") or "-It" in t.face}  # fmt: skip
    assert sizes == {9.5}


def test_small_setters_under_large_titles_keep_off_the_line_below() -> None:
    layout = load("one-up")
    large = replace(layout, type=replace(layout.type, prose=15.8, small=9))
    for page in plan(sample_book(), large).pages:
        if page.section == "Contents":
            lines = [y for item in page.items if isinstance(item, Strokes) and item.width == 0.5
                     for _, y, _, _ in item.segments]  # fmt: skip
            for text in (t for t in texts(page) if "-It" in t.face):
                below = max(y for y in lines if y < text.y)
                assert text.y - below > 0.3 * text.size


def test_accents_in_a_large_running_head_keep_from_the_edge() -> None:
    layout = load("two-up")
    large = replace(layout, type=replace(layout.type, furniture=16))
    book = with_puzzle(sample_book("a4", "two-up"), 0, title="Ő, Ě")
    assert [*nothing_is_near_an_edge(Printed(book, plan(book, large)))] == []
