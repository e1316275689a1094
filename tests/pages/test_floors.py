"""Type sizes of editions and layouts: nothing printed is smaller than is promised."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from packbuilder import readback
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS, LARGE_PRINT
from packbuilder.errors import InputError
from packbuilder.layouts import MM, load
from packbuilder.pages.candidates import CANDIDATE
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.plan import plan
from packbuilder.plan.items import Figure, Glyphs, Item, Page, Plan, Strokes, Table, Text
from tests.layouts.files import changed
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book, with_puzzle
from tests.printing import print_book


def flat(items: Iterable[Item]) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Table | Figure):
            yield from flat(item.items)
        else:
            yield item


@cache
def large(kind: str, paper: str) -> Plan:
    """Large print of the sample book, with a 12x12, or of a puzzle of each rule."""
    book = rule_book(paper) if kind == "rules" else sample_book(paper, "two-up", True)
    entries = tuple(one for one in book.entries if one.puzzle.size <= 12)
    made = book_of(replace(book, entries=entries), LARGE_PRINT)
    return plan(made, load(made.pack.layout))


def texts(page: Page) -> Iterator[Text | Glyphs]:
    return (item for item in flat(page.items) if isinstance(item, Text | Glyphs))


def test_in_large_print_candidates_up_to_9x9_are_shown_and_are_large() -> None:
    pages = [page for page in large("sample", "a4").pages if page.section == "Third hints"]
    letters = [t for page in pages for t in texts(page)
               if isinstance(t, Glyphs) and t.face == CANDIDATE]  # fmt: skip
    small = [item for item in letters if item.size < 30]  # clues have the same face
    assert small
    assert all(item.size >= 18 - 0.01 for item in letters)


def test_candidates_have_the_room_that_a_pack_s_own_large_print_leaves_them(tmp_path: Path) -> None:
    """Four that stay above four that go ask for 183.2 mm in a 9x9: 0.312 of a cell, of which 18
    points are 20.35 mm. The house's pages have 182.8, those of the pack 186."""
    changed(tmp_path, "large-print", ("a4: {inner: 13.6, outer: 13.6", "a4: {inner: 12, outer: 12"))
    (tmp_path / "mine.yaml").rename(tmp_path / "large-print.yaml")
    book = sample_book("a4", "two-up")
    entry = book.entries[7]
    some = next(hint for hint in entry.hints if hint.shown)
    cell, digits = some.shown[0][0], tuple(range(1, 9))
    struck = tuple((cell, digit) for digit in digits[4:])
    hint = replace(some, shown=((cell, digits),), struck=struck)
    for folder, shown in ((None, ()), (tmp_path, hint.shown)):
        pack = replace(book.pack, layouts_folder=folder)
        whole = replace(book, pack=pack, entries=(replace(entry, number=1, hints=(hint,)),))
        made = book_of(whole, LARGE_PRINT)
        assert made.entries[0].hints[0].shown == shown
        plan(made, load("large-print", folder))


def test_in_large_print_one_grid_stands_on_a_page() -> None:
    for page in large("sample", "a4").pages:
        if page.section in ("Puzzles", "Third hints"):
            assert sum(isinstance(item, Table) for item in page.items) <= 1


def test_words_too_long_for_their_page_go_on_at_the_head_of_the_next(tmp_path: Path) -> None:
    told = " ".join(["In rows 4, 5 and 7 the 5s have only two places each, and so it goes."] * 7)
    book = sample_book("a4", "two-up")
    first, *others = book.entries[7].hints
    entry = replace(book.entries[7], number=1, hints=(replace(first, told=told), *others))
    made = book_of(replace(book, entries=(entry,)), LARGE_PRINT)
    pages = [p for p in plan(made, load("large-print")).pages if p.section == "Third hints"]
    heads = [any("Hint 1" in word for word in words(page)) for page in pages]
    # the opener; the first hint on two pages; the second on its own, though it would fit below
    assert heads == [False, True, False, *[True] * len(others)]
    path = tmp_path / "book.pdf"
    with path.open("wb") as file:
        print_book(made, file)
    assert readback.read(path, made).findings == ()
    other = replace(entry.hints[0], told=told.removesuffix("goes.") + "went.")
    wrong = replace(entry, hints=(other, *others))
    found = readback.read(path, replace(made, entries=(wrong,))).findings
    assert {finding.code for finding in found} == {"words"}


def test_a_layout_that_promises_less_than_the_edition_asks_is_refused() -> None:
    book = book_of(sample_book(), LARGE_PRINT)
    with pytest.raises(InputError) as caught:
        plan(book, load("one-up"))
    assert str(caught.value).endswith(
        "one-up.yaml: least.text: the edition large-print asks for 18 pt or more, and the layout "
        "promises 9; write `least: {text: 18}` and sizes to match"
    )


def test_a_grid_too_large_for_large_print_is_refused_by_name() -> None:
    book = book_of(sample_book("a4", "two-up", True), LARGE_PRINT)
    with pytest.raises(InputError, match=r"stops at grids of size 12 .* puzzle 'sixteen-fathoms'"):
        plan(book, load("large-print"))


# --- what layouts ask for --------------------------------------------------------------------


def puzzle_pages(book: Book) -> list[Page]:
    planned = plan(book, load(book.pack.layout))
    return [page for page in planned.pages if any(_is_puzzle(item) for item in page.items)]


def _is_puzzle(item: Item) -> bool:
    return isinstance(item, Table) and item.summary.startswith("Puzzle")


def words(page: Page) -> list[str]:
    return [item.text for item in flat(page.items) if isinstance(item, Text)]


def test_labels_of_lines_to_write_on() -> None:
    assert {"Time", "Date"} <= set(words(puzzle_pages(sample_book("a4", "two-up"))[0]))
    assert {"Name", "Date"} <= set(words(puzzle_pages(sample_book("a4", "worksheet"))[0]))
    cards = words(puzzle_pages(sample_book("a4", "gift-card"))[0])
    assert cards.count("For") == cards.count("From") == 4
    screen = book_of(sample_book(), EDITIONS["screen"])
    assert not {"Time", "Date"} & set(words(puzzle_pages(screen)[0]))


def test_ruled_lines_stand_as_far_apart_as_the_layout_says() -> None:
    page = puzzle_pages(sample_book("a4", "worksheet"))[1]
    runs = [i.segments for i in flat(page.items) if isinstance(i, Strokes) and i.width == 0.4]
    assert len(runs) == 2  # a column beside each of two grids
    for rows in runs:
        assert len(rows) >= 5
        heights = [segment[1] for segment in rows]
        for upper, lower in pairwise(heights):
            assert upper - lower == pytest.approx(8 * MM)


def test_ruled_lines_below_a_grid_take_what_is_left_and_not_from_the_grid(tmp_path: Path) -> None:
    ruled = "digit: 0.6 # type size of a digit, in cells\n\nwriting: {ruled: 9}\n"
    folder = changed(tmp_path, "one-up", ("digit: 0.6 # type size of a digit, in cells\n", ruled))
    planned = plan(sample_book("a4", "mine"), load("mine", folder))
    page = next(page for page in planned.pages if any(map(_is_puzzle, page.items)))
    sheet = PageDesign(load("mine", folder), "a4")
    (rows,) = [i.segments for i in flat(page.items) if isinstance(i, Strokes) and i.width == 0.4]
    assert all(sheet.bottom - 0.01 <= segment[1] for segment in rows)
    grid = next(item for item in page.items if isinstance(item, Table))
    frame = [x for item in flat(grid.items) if isinstance(item, Strokes) for x, *_ in item.segments]
    assert max(frame) - min(frame) == pytest.approx(9 * 18 * MM)


def test_the_notes_beside_grids_stand_in_one_column() -> None:
    # the third puzzle of the sample is a 6x6, in cells of 16 mm, the fourth a 9x9
    page = puzzle_pages(sample_book("a4", "two-up"))[1]
    grids = [item for item in page.items if isinstance(item, Table)]
    setters = [t for t in flat(page.items) if isinstance(t, Text) and t.text.startswith("Set by")]
    assert [grid.size for grid in grids] == [6, 9]
    assert setters[0].x == pytest.approx(setters[1].x, abs=0.01)


def test_a_grade_beyond_the_ladder_says_so() -> None:
    book = sample_book("a4", "one-up", True)
    assert "Beyond 8" in words(puzzle_pages(book)[16])  # a made-up 4x4
    lines = [item.text for page in plan(book, load("one-up")).pages if page.section == "How to play"
             for item in flat(page.items) if isinstance(item, Text)]  # fmt: skip
    assert "A puzzle beyond these grades asks for more" in " ".join(lines)


def test_a_long_name_of_a_setter_is_broken_not_refused() -> None:
    name = "Wilhelmina Archibalda Featherstonehaugh of the Lower Marshes and Beyond"
    page = puzzle_pages(with_puzzle(sample_book("letter", "gift-card"), 1, setter=name))[0]
    assert "Wilhelmina" in " ".join(words(page))
    assert "and Beyond" in " ".join(words(page))
