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
from packbuilder.editions import EDITIONS
from packbuilder.layouts.loading import load
from packbuilder.layouts.model import LEAST_TEXT
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.pages.plan import plan
from packbuilder.plan.items import (
    Figure,
    Fills,
    Glyphs,
    Item,
    Page,
    Plan,
    Strokes,
    Text,
)
from packbuilder.typography.typeface import width
from tests.pages.sample_book import sample_book

TAUGHT = tuple(slug for slug, one in shipped().items() if one.clues)
SETTINGS = [("a4", "one-up"), ("letter", "two-up"), ("a4", "four-up"), ("a5", "one-up")]


def book(*slugs: str, paper: str = "a4", layout: str = "one-up") -> Book:
    plain = sample_book(paper, layout)
    pack = replace(plain.pack, needs=slugs, assume_unique=True)
    return replace(plain, pack=pack, entries=plain.entries[:2], lessons=lessons(pack))


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
    """Its grids; signs have no frame."""
    found = (item for item in page.items if isinstance(item, Figure))
    return [f for f in found if any(isinstance(i, Strokes) and i.square for i in f.items)]


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
    (first,) = primer(made)
    title = max(texts(first), key=lambda text: text.size)
    assert title.text == "Primer"


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


@pytest.mark.parametrize("slug", TAUGHT)
def test_a_lesson_tells_all_that_it_has(slug: str) -> None:
    (lesson,) = book(slug).lessons
    made = told(primer(planned((slug,))))
    assert lesson.hint
    said = [lesson.name, f"Grade {lesson.rung}", lesson.about, *lesson.look, "Example"]
    said += [lesson.hint.where, *lesson.seen, *([lesson.then.told] if lesson.then else [])]
    for words in said:  # straight quotes become curly ones
        assert words.replace("'", "’") in made
    assert set(lesson.hint.told.split()) <= set(made.split())  # its last sentence stands apart


@pytest.mark.parametrize("slug", TAUGHT)
def test_a_lesson_takes_one_page_where_there_is_room(slug: str) -> None:
    """On the larger papers. Below the section's title the longest may not find it; then its whole
    example stands on the next page."""
    long = ("simple-colouring", "empty-rectangle", "hidden-quad", "jellyfish")
    other = "claiming" if slug == "pointing" else "pointing"
    for paper, layout in SETTINGS[:3]:
        assert len(primer(planned((other, slug), paper, layout))) == 2
        pages = primer(planned((slug,), paper, layout))
        assert len(pages) == 1 or slug in long
        assert sum(bool(figures(page)) for page in pages) == 1


@pytest.mark.parametrize(("paper", "layout"), SETTINGS)
@pytest.mark.parametrize("slug", TAUGHT)
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


@pytest.mark.parametrize(("paper", "layout"), SETTINGS)
def test_every_grid_has_its_caption_right_above(paper: str, layout: str) -> None:
    grids = 0
    for page in primer(planned(("hidden-triple", "skyscraper", "naked-single"), paper, layout)):
        for figure in figures(page):
            left, _, _, top = box(figure.items)
            above = [t for t in texts(page) if top <= t.y <= top + 60 and abs(t.x - left) < 3]
            assert min(above, key=lambda t: t.y).text.startswith("Example")
            assert figure.tag.alt.startswith("Example") and "row 9:" in figure.tag.alt
            grids += 1
    assert grids == 5


def test_the_second_grid_shows_the_digit_that_follows() -> None:
    (lesson,) = book("skyscraper").lessons
    (page,) = primer(planned(("skyscraper",)))
    _, after = figures(page)
    assert lesson.then and lesson.hint
    ((cell, digit),) = lesson.then.step.places
    white = next(i for i in after.items if isinstance(i, Glyphs) and i.ink == "paper" and i.cells)
    assert white.cells == (cell,)
    assert white.places[0][2] == str(digit)
    tiles = [i for i in figures(page)[1].items if isinstance(i, Fills) and i.ink == "ink"]
    assert [len(tile.boxes) for tile in tiles] == [1]


@pytest.mark.parametrize("name", [name for name in EDITIONS if name != "text"])
def test_every_edition_has_it_in_type_of_its_size(name: str) -> None:
    made = book_of(book("hidden-triple", layout="two-up"), EDITIONS[name])
    if name == "booklet":
        made = replace(made, pack=replace(made.pack, layout="one-up"))
    pages = primer(plan(made, load(made.pack.layout)))
    assert pages
    for page in pages:
        candidates = [
            glyphs.size
            for figure in figures(page)
            for glyphs in figure.items
            if isinstance(glyphs, Glyphs) and glyphs.face.endswith("-Semibold") and glyphs.size < 30
        ]
        assert all(size >= made.edition.small for size in candidates)
        assert all(text.size >= made.edition.furniture for text in texts(page))
    assert any("Hidden triple" in text.text for text in texts(pages[0]))


def test_a_technique_of_a_rule_is_told_without_an_example() -> None:
    (page,) = primer(planned(("thermometer-rise",)))
    assert not figures(page)
    (lesson,) = book("thermometer-rise").lessons
    assert lesson.about.replace("'", "’") in told([page])
