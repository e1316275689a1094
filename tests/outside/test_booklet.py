"""The booklet, folded: each page is, in pixels, the page of the same book printed unfolded.

The folding is done here by hand, as a person folds: the sheets lie on one another with their fronts
down, the first at the bottom, and all are folded over at once. Then the front of each sheet shows
its right half first, turning that leaf shows the left half of its back, and from the middle on the
right half of the back and the left half of the front follow. It is what "saddle-stitch imposition"
means in the trade, and what the manual of psbook(1) in one signature says: last page, first page,
second page, last but one (from memory).
"""

from __future__ import annotations

import io
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pypdf
import pypdfium2
import pytest

from packbuilder.pages import plan_book
from packbuilder.press import write_pdf
from tests.outside.pixels import Grey, pdfium
from tests.outside.prints import edited, pdf, printed

DPI = 144
CREEP = 0.2
"""Millimetres: some three pixels a sheet, so that the shift is seen."""


class Half(NamedTuple):
    """Half a side of a sheet: of which sheet (from 0, the outermost), and is it the left one?"""

    sheet: int
    left: bool
    picture: Grey


@pytest.fixture(scope="module")
def unfolded() -> list[Grey]:
    """The same pages on paper of their own size, as the print edition has them."""
    plan, out = plan_book(edited("booklet")), io.BytesIO()
    write_pdf(replace(plan, edition=replace(plan.edition, folded=False)), out)
    data = out.getvalue()
    return list(pdfium(data, range(len(pypdf.PdfReader(io.BytesIO(data)).pages)), DPI))


def folded(data: bytes) -> list[Half]:
    """The pages in the order in which the folded sheets are leafed through."""
    sides = list(pdfium(data, range(len(pypdf.PdfReader(io.BytesIO(data)).pages)), DPI))
    assert len(sides) % 2 == 0
    sheets = list(zip(sides[::2], sides[1::2], strict=True))
    first, second = [], []
    for s, (front, back) in enumerate(sheets):
        first += [Half(s, False, _right(front)), Half(s, True, _left(back))]
        second += [Half(s, True, _left(front)), Half(s, False, _right(back))]
    return first + second[::-1]


def test_folded_pages_are_the_pages_in_order(unfolded: list[Grey]) -> None:
    halves = folded(pdf("booklet"))
    assert len(halves) % 4 == 0
    assert len(unfolded) == len(halves)
    for k, (half, page) in enumerate(zip(halves, unfolded, strict=True)):
        assert _apart(_placed(page, half, 0), half) < 0.001, f"page {k + 1}"


def test_another_order_would_be_seen(unfolded: list[Grey]) -> None:
    halves = folded(pdf("booklet"))
    assert _apart(_placed(unfolded[4], halves[6], 0), halves[6]) > 0.01


def test_inner_sheets_move_towards_the_fold_by_the_paper_s_thickness(unfolded: list[Grey]) -> None:
    halves = folded(printed(edited("booklet", creep=CREEP)))
    for k, (half, page) in enumerate(zip(halves, unfolded, strict=False)):
        moved = half.sheet * CREEP / 25.4 * DPI
        assert _apart(_placed(page, half, moved), half) < 0.01, f"page {k + 1}"
    innermost = len(halves) // 2  # the first page of the second half of the book
    still = _placed(unfolded[innermost], halves[innermost], 0)
    assert _apart(still, halves[innermost]) > 0.01


def test_on_every_side_the_two_printed_numbers_add_up_to_one_more_than_all() -> None:
    # the printers' rule of thumb for a saddle-stitched book (common practice, no source)
    document = pypdfium2.PdfDocument(pdf("booklet"))
    pages, seen = 2 * len(document), 0
    for side in document:
        width, _ = side.get_size()
        text, foot, outer = side.get_textpage(), 20 / 25.4 * 72, 22 / 25.4 * 72
        left = text.get_text_bounded(right=outer, top=foot, bottom=0).split()
        right = text.get_text_bounded(left=width - outer, top=foot, bottom=0).split()
        if left and right:  # not the cover, nor a bare page
            seen += 1
            assert int(left[0]) + int(right[-1]) == pages + 1
            assert int(left[0]) % 2 == 0  # even pages lie to the left of the fold
    assert seen >= len(document) - 4


def test_folds_and_staples_are_marked() -> None:
    data = pdf("booklet")
    sides = list(pdfium(data, range(len(pypdf.PdfReader(io.BytesIO(data)).pages)), DPI))
    height, width = sides[0].shape
    ten, fifteen = (round(mm / 25.4 * DPI) for mm in (10, 15))
    for side in sides:
        fold = side[:, width // 2 - 2 : width // 2 + 2].min(axis=1) < 200
        assert fold[ten:fifteen].any()
        assert fold[-fifteen:-ten].any()
        assert not fold[: ten - 3].any()
        assert not fold[-ten + 3 :].any()
    for place in (height // 4, 3 * height // 4):  # level strokes of 6 mm, on the first side alone
        across = [side[place - 2 : place + 3, width // 2 - 14 : width // 2 + 15] for side in sides]
        assert (across[0].min(axis=0) < 200).all()
        assert not any((part.min(axis=0) < 200).all() for part in across[1:])


def _left(side: Grey) -> Grey:
    return side[:, : side.shape[1] // 2]


def _right(side: Grey) -> Grey:
    return side[:, side.shape[1] - side.shape[1] // 2 :]


def _placed(page: Grey, half: Half, moved: float) -> Grey:
    """The page centred on its half of the sheet, then moved by so many pixels towards the fold."""
    height, width = half.picture.shape
    canvas = np.full((height, width), 255, np.uint8)
    aside = (width - page.shape[1]) / 2 + (moved if half.left else -moved)
    x, y = round(aside), round((height - page.shape[0]) / 2)
    from_x, from_y = max(0, -x), max(0, -y)
    part = page[from_y : from_y + height - max(y, 0), from_x : from_x + width - max(x, 0)]
    canvas[max(y, 0) : max(y, 0) + part.shape[0], max(x, 0) : max(x, 0) + part.shape[1]] = part
    return canvas


def _without_marks(half: Half) -> Grey:
    """The half without the strip along the fold in which the marks stand: 4 mm."""
    strip = round(4 / 25.4 * DPI)
    clean = np.array(half.picture)
    clean[:, slice(-strip, None) if half.left else slice(strip)] = 255
    return clean


def _apart(page: Grey, half: Half) -> float:
    """The share of what is inked in either that is not inked, one pixel about, in the other."""
    seen = _without_marks(half)
    both = [(page, seen), (seen, page)]
    lost = sum(int((_dark(one, 90) & ~_spread(_dark(other, 180))).sum()) for one, other in both)
    return lost / max(1, int(_dark(page, 90).sum() + _dark(seen, 90).sum()))


def _dark(picture: Grey, below: int) -> np.ndarray:
    return picture < below


def _spread(ink: np.ndarray) -> np.ndarray:
    """Ink, and one pixel on every side of it."""
    wide = np.pad(ink, 1)
    return np.logical_or.reduce(
        [wide[dy : dy + ink.shape[0], dx : dx + ink.shape[1]] for dy in range(3) for dx in range(3)]
    )
