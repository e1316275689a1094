"""The primer: its place in the book, and that every lesson can be set on every paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.book.lessons import lessons, shipped
from packbuilder.book.rule_lessons import TRIAL, rule_grids
from packbuilder.editions import EDITIONS
from packbuilder.layouts.loading import load
from packbuilder.layouts.model import LEAST_TEXT
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.pages.grids import CLUE, FOUND
from packbuilder.pages.plan import plan
from packbuilder.plan.items import (
    Figure,
    Glyphs,
    Item,
    Page,
    Plan,
    Strokes,
    Table,
    Text,
)
from packbuilder.typography.typeface import width
from tests.pages.sample_book import sample_book

TAUGHT = tuple(slug for slug, one in shipped().items() if one.clues)
OF_RULES = tuple(slug for slug in rule_grids() if not slug.endswith(TRIAL))
SETTINGS = [("a4", "one-up"), ("letter", "two-up"), ("a4", "four-up"), ("a5", "one-up")]
TITLES = ("Find", "Conclude", "Write")


def book(*slugs: str, paper: str = "a4", layout: str = "one-up") -> Book:
    plain = sample_book(paper, layout)
    pack = replace(plain.pack, needs=slugs, assume_unique=True)
    return replace(plain, entries=plain.entries[:2], lessons=lessons(pack))


@cache
def planned(slugs: tuple[str, ...], paper: str = "a4", layout: str = "one-up") -> Plan:
    return plan(book(*slugs, paper=paper, layout=layout), load(layout))


def primer(made: Plan) -> list[Page]:
    return [page for page in made.pages if page.section == "Primer"]


def texts(page: Page) -> Iterator[Text]:
    for item in page.items:
        if isinstance(item, Text):
            yield item


def told(pages: list[Page]) -> str:
    return " ".join(text.text for page in pages for text in texts(page))


def figures(page: Page) -> list[Figure]:
    return [item for item in page.items if isinstance(item, Figure)]


def box(items: tuple[Item, ...]) -> tuple[float, float, float, float]:
    """The frame of a grid: the outermost ends of its strokes."""
    lines = [s for item in items if isinstance(item, Strokes) for s in item.segments]
    xs, ys = [x for s in lines for x in (s[0], s[2])], [y for s in lines for y in (s[1], s[3])]
    return min(xs), min(ys), max(xs), max(ys)


def test_it_stands_after_how_to_play_and_before_the_puzzles() -> None:
    made = planned(("skyscraper",))
    sections = list(dict.fromkeys(page.section for page in made.pages))
    assert sections[sections.index("How to play") :][:3] == ["How to play", "Primer", "Puzzles"]
    assert [mark.title for mark in made.bookmarks if mark.level == 0].count("Primer") == 1
    title = max(texts(primer(made)[0]), key=lambda text: text.size)
    assert title.text == "Skyscraper"


def test_the_contents_lead_to_it() -> None:
    made = planned(("skyscraper",))
    contents = next(page for page in made.pages if page.section == "Contents")
    (line,) = [text for text in texts(contents) if text.text == "Primer"]
    near = [t for t in texts(contents) if t.y == line.y and t.x > line.x and t.text.isdecimal()]
    assert min(near, key=lambda text: text.x).text == str(primer(made)[0].folio)


def test_a_book_without_lessons_has_none() -> None:
    made = planned(())
    assert not primer(made)
    assert "Primer" not in told(list(made.pages))


@pytest.mark.parametrize("slug", [*TAUGHT, *OF_RULES])
def test_a_lesson_tells_all_that_it_has(slug: str) -> None:
    (lesson,) = book(slug).lessons
    made = told(primer(planned((slug,))))
    said = [lesson.name, f"Grade {lesson.rung}", *lesson.said]
    for words in said:  # straight quotes become curly ones
        assert words.replace("'", "’") in made
    assert [made.count(f" {title} ") + made.endswith(title) for title in TITLES] >= [1, 1, 1]


def heads(page: Page) -> list[Text]:
    """The numbers of frames: white on black discs."""
    return [text for text in texts(page) if text.ink == "paper"]


@pytest.mark.parametrize("slug", TAUGHT)
def test_three_frames_stand_one_under_another_on_a_page_or_two(slug: str) -> None:
    """On one where their candidates may be as small as that; the grid to try is the last."""
    for paper, layout in SETTINGS[:3]:
        pages = primer(planned((slug,), paper, layout))
        assert len(pages) <= 3
        numbers = [[head.text for head in heads(page)] for page in pages]
        assert [n for some in numbers for n in some] == ["1", "2", "3"]
        assert numbers[0][:2] == ["1", "2"]
        for page in pages:
            ys = [head.y for head in heads(page)]
            assert ys == sorted(ys, reverse=True)
            lefts = {round(box(figure.items)[0]) for figure in figures(page)}
            assert len(lefts) <= 1  # read downwards
    if slug in ("skyscraper", "pointing", "naked-single", "two-string-kite"):
        assert numbers[0] == ["1", "2", "3"]


@pytest.mark.parametrize("slug", ["skyscraper", "naked-triple", "chain", "hidden-single"])
def test_frames_show_one_grid_a_layer_more_each(slug: str) -> None:
    pages = primer(planned((slug,)))
    first, second, third = (figure.items for page in pages for figure in figures(page))

    def digits(items: tuple[Item, ...], face: str) -> list[tuple[int, ...]]:
        return [item.cells for item in items if isinstance(item, Glyphs) and item.face == face]

    assert digits(first, FOUND) == digits(second, FOUND) == digits(third, FOUND)
    (clues, *_), (again, *_), (last, *_) = (digits(items, CLUE) for items in (first, second, third))
    assert clues == again == last
    assert first != second != third
    letters = [{(i.text, i.ink) for i in items if isinstance(i, Text)} for items in (first, second)]
    assert letters[0] == letters[1]


def test_the_grid_to_try_leads_to_its_answer_and_back() -> None:
    made = planned(("skyscraper", "naked-pair"))
    pages = primer(made)
    answers = [page for page in made.pages if page.section == "Answers"]
    for name in ("Skyscraper", "Naked pair"):
        (page,) = [page for page in answers if any(t.text == name for t in texts(page))]
        back = [t.text for t in texts(page) if t.text.startswith("Primer: page ")]
        assert len(back) == 2
        tried = [p for p in pages if any(t.text == f"Answer: page {page.folio}" for t in texts(p))]
        assert {f"Primer: page {p.folio}" for p in tried} == {*back}
    tables = [i for page in pages for i in page.items if isinstance(i, Table)]
    assert [table.summary.split(":")[0] for table in tables] == [
        "Puzzle to try, skyscraper", "Puzzle to try, naked pair",
    ]  # fmt: skip


@pytest.mark.parametrize(("paper", "layout"), SETTINGS)
@pytest.mark.parametrize("slug", [*TAUGHT, "sandwich-length", "cage-total"])
def test_nothing_overlaps_and_all_of_it_is_on_the_paper(slug: str, paper: str, layout: str) -> None:
    made = planned((slug,), paper, layout)
    for page in primer(made):
        boxes = [
            (t.x, t.y - t.size * 0.2, t.x + width(t.text, t.face, t.size), t.y + t.size * 0.65)
            for t in texts(page)
        ]
        boxes += [box(figure.items) for figure in figures(page) if figure.items
                  and any(isinstance(i, Glyphs) for i in figure.items)]  # fmt: skip
        for left, bottom, right, top in boxes:
            assert left >= SAFE * MM and right <= made.width - SAFE * MM + 0.01
            assert bottom >= SAFE * MM and top <= made.height - SAFE * MM
        for one, other in combinations(boxes, 2):
            apart = one[2] <= other[0] + 0.01 or other[2] <= one[0] + 0.01
            assert apart or one[3] <= other[1] + 0.01 or other[3] <= one[1] + 0.01
        furniture = {min(t.y for t in texts(page)), max(t.y for t in texts(page))}
        assert all(t.size >= LEAST_TEXT for t in texts(page) if t.y not in furniture)


@pytest.mark.parametrize("name", [name for name in EDITIONS if name not in ("text", "sampler")])
def test_every_edition_has_it_in_type_of_its_size(name: str) -> None:
    made = book_of(book("hidden-triple", layout="two-up"), EDITIONS[name])
    if name == "booklet":
        made = replace(made, pack=replace(made.pack, layout="one-up"))
    pages = primer(plan(made, load(made.pack.layout)))
    assert pages
    for page in pages:
        letters = [i for figure in figures(page) for i in figure.items if isinstance(i, Glyphs)]
        # candidates are read, not only seen: common practice, no source
        assert all(some.size >= max(9, made.edition.small) - 0.01 for some in letters)
        assert all(text.size >= made.edition.furniture for text in texts(page))
    assert any("Hidden triple" in text.text for text in texts(pages[0]))


def test_a_technique_without_an_example_is_told_in_words() -> None:
    (page,) = primer(planned(("unique-rectangle-3",)))
    assert not figures(page)
    (lesson,) = book("unique-rectangle-3").lessons
    for words in (lesson.about, *lesson.look):
        assert words.replace("'", "’") in told([page])
