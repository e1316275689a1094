"""The stamp: room for whose copy it is on every page, over nothing, where every printer reaches.

Judged by pdfium's pixels of the printed files, not by the plan's own boxes.
"""

from __future__ import annotations

import io
from dataclasses import replace
from math import ceil

import pypdfium2
import pytest

from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.layouts import available
from packbuilder.layouts.papers import MM, PAPERS
from packbuilder.pages import plan_book
from packbuilder.plan.imposition import sides
from packbuilder.plan.items import Plan
from packbuilder.press import write_pdf
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book

# Common practice, no source: a home printer may leave 10 mm at an edge white (print-craft's figures
# go from 4 to 6.7 mm).
REACHED = 10 * MM
SCALE = 3  # pixels to a point

SETTINGS = [
    *(("one-up", paper, name) for paper in ("a4", "letter", "a5") for name in EDITIONS),
    *((one.name, paper, "print") for one in available() for paper in PAPERS if paper in one.margins
      and one.name not in ("screen", "large-print")),
]  # fmt: skip


def plans(layout: str, paper: str, edition: str) -> list[Plan]:
    found = []
    for book in (sample_book(), rule_book()):
        book = replace(book, pack=replace(book.pack, layout=layout, paper=paper))
        try:
            found.append(plan_book(book_of(book, EDITIONS[edition])))
        except InputError:  # a layout that has no room for one of the puzzles
            continue
    return found


@pytest.mark.parametrize(
    ("layout", "paper", "edition"),
    [one for one in SETTINGS if EDITIONS[one[2]].suffix == ".pdf"
     and not (one[0] in ("one-up",) and one[1] in ("half-letter", "a6"))],
)  # fmt: skip
def test_it_stands_on_every_page_and_over_nothing(layout: str, paper: str, edition: str) -> None:
    for plan in plans(layout, paper, edition):
        assert plan.stamp is not None
        assert all(page.stamp is not None for page in plan.pages)
        out = io.BytesIO()
        write_pdf(plan, out)
        file = pypdfium2.PdfDocument(out.getvalue())
        for number, side in enumerate(sides(plan)):
            pixels = file[number].render(scale=SCALE, grayscale=True).to_numpy()
            for page, dx, dy in side.pages:
                assert page.stamp is not None
                (x, y), (left, low, right, high) = page.stamp, plan.stamp.box
                assert x + left >= REACHED
                assert y + low >= REACHED
                assert x + right <= plan.width - REACHED
                height = pixels.shape[0]
                room = pixels[
                    ceil(height - SCALE * (y + dy + high)) : int(height - SCALE * (y + dy + low)),
                    ceil(SCALE * (x + dx + left)) : int(SCALE * (x + dx + right)),
                ]
                assert room.size
                assert room.max() - room.min() < 8, (page.folio, page.section)
        file.close()


def test_a_layout_without_room_has_none() -> None:
    one = next(layout for layout in available() if layout.name == "two-up")
    narrow = replace(one.margins["a4"], bottom=14.0)
    from packbuilder.pages.plan import plan

    book = sample_book()
    bare = plan(book, replace(one, margins={"a4": narrow}))
    assert bare.stamp is None
    assert all(page.stamp is None for page in bare.pages)
