"""Which page stands where on a printer's sheet.

The order of an eight-page saddle-stitched booklet, sheet by sheet, is the one that printers' guides
give: 8 and 1, 2 and 7, 6 and 3, 4 and 5 (common practice, no source). A folded booklet is also
modelled here as sheets of paper laid into one another, turned leaf by leaf.
"""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.book.assembling import book_of
from packbuilder.editions import BOOKLET, PRINT, PRINT_SHOP
from packbuilder.errors import InputError
from packbuilder.plan.imposition import Side, sides
from packbuilder.plan.items import Page, Plan, Strokes
from tests.pages.sample_book import sample_book
from tests.printing import print_book

MM = 72 / 25.4
A5 = (148 * MM, 210 * MM)


def plan(pages, edition=BOOKLET, size=A5, creep=0.0):
    return Plan(
        *size, tuple(Page(k, "Puzzles", ()) for k in range(1, pages + 1)), (), edition, {}, creep,
        "", "", "", (), (2026, 12),
    )  # fmt: skip


def halves(side: Side):
    """The folios on the left and on the right half; 0 for a bare one."""
    found = [0, 0]
    for page, x, _ in side.pages:
        found[x >= side.width / 2 - 1] = page.folio
    return tuple(found)


def test_eight_pages_stand_as_printers_have_them() -> None:
    assert [halves(side) for side in sides(plan(8))] == [(8, 1), (2, 7), (6, 3), (4, 5)]


@given(st.integers(1, 90))
def test_a_folded_stack_reads_in_order(count: int) -> None:
    """Each sheet is folded round the next; leaf by leaf, first the front, then the back."""
    faces = [halves(side) for side in sides(plan(count))]
    stack = [(faces[k], faces[k + 1]) for k in range(0, len(faces), 2)]
    first = [page for front, back in stack for page in (front[1], back[0])]
    second = [page for front, back in reversed(stack) for page in (back[1], front[0])]
    bare = len(first + second) - count
    assert first + second == [*range(1, count + 1), *[0] * bare]
    assert bare < 4


def test_inner_sheets_stand_nearer_to_the_fold_by_their_depth() -> None:
    plain, crept = sides(plan(16)), sides(plan(16, creep=0.3))
    for k, (before, after) in enumerate(zip(plain, crept, strict=True)):
        moves = [b[1] - a[1] for a, b in zip(before.pages, after.pages, strict=True)]
        assert moves == pytest.approx([0.3 * (k // 2), -0.3 * (k // 2)])


@pytest.mark.parametrize(
    ("size", "sheet"),
    [
        (A5, (297 * MM, 210 * MM)),  # ISO 216
        ((396, 612), (792, 612)),  # ANSI/ASME Y14.1 size A, and half of it
        ((105 * MM, 148 * MM), (210 * MM, 148 * MM)),
    ],
)  # fmt: skip
def test_sheets_are_twice_the_page(size, sheet) -> None:
    for side in sides(plan(5, size=size)):
        assert (side.width, side.height) == pytest.approx(sheet)
        for page, x, y in side.pages:
            middle = x + size[0] / 2
            assert middle == pytest.approx(sheet[0] * (0.25 if x < sheet[0] / 2 - 1 else 0.75))
            assert y == pytest.approx((sheet[1] - size[1]) / 2)
            assert page.folio <= 5


def test_staples_are_marked_on_the_outside_of_the_cover_only() -> None:
    level = [
        [s for mark in side.marks if isinstance(mark, Strokes)
         for s in mark.segments if s[1] == s[3]]
        for side in sides(plan(12))
    ]  # fmt: skip
    assert [len(strokes) for strokes in level] == [2, 0, 0, 0, 0, 0]
    assert [s[1] for s in level[0]] == pytest.approx([210 * MM / 4, 210 * MM * 3 / 4])


def test_crop_marks_lie_in_line_with_the_trim_and_outside_the_bleed() -> None:
    paper = plan(2, PRINT_SHOP, (595.28, 841.89))
    for side in sides(paper):
        crops = next(mark for mark in side.marks if isinstance(mark, Strokes))
        assert len(crops.segments) == 8
        left, bottom = 10 * MM, 10 * MM
        right, top = left + 595.28, bottom + 841.89
        for x0, y0, x1, y1 in crops.segments:
            on_edge = {round(x0, 2), round(y0, 2)} & {
                round(e, 2) for e in (left, right, bottom, top)
            }
            assert on_edge
            clear = 3 * MM  # of bleed
            assert (
                max(x0, x1) < left - clear or min(x0, x1) > right + clear
                or max(y0, y1) < bottom - clear or min(y0, y1) > top + clear
            )  # fmt: skip
    side = sides(paper)[0]
    assert side.trim == pytest.approx((28.35, 28.35, 623.63, 870.24), abs=0.01)
    assert side.bleed == pytest.approx((19.84, 19.84, 632.13, 878.74), abs=0.01)


def test_a_plain_edition_has_its_paper_and_nothing_else() -> None:
    side = sides(plan(1, PRINT))[0]
    assert (side.width, side.height, side.marks) == (*A5, ())


# 0.1 mm: paper of 80 g a square metre; 0.5: thick card (common practice, no source).
@pytest.mark.parametrize(("creep", "fits"), [(0.1, True), (0.5, False)])
def test_creep_that_moves_pages_too_near_is_told(creep: float, fits: bool) -> None:
    book = book_of(sample_book(), BOOKLET)
    book = replace(book, pack=replace(book.pack, creep=creep))
    if fits:
        print_book(book, io.BytesIO())
    else:
        with pytest.raises(InputError, match=r"creep: 0\.5 mm a sheet .* give 0\.\d+ mm or less"):
            print_book(book, io.BytesIO())
