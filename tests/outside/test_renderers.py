"""The same page by poppler and by pdfium: two renderers that share no code see one picture."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from tests.outside.pixels import Grey, cells, pdfium, poppler
from tests.outside.prints import PDFS, Prints, edited, grids, pdf, section_pages

DPI, FINER = 50, 6
"""Pages are drawn six times finer than they are compared: how edges are smoothed evens out."""
BLUR = 1.5
"""Standard deviation, in compared pixels, of what forgives a line set half a fine pixel aside."""
FAR = 26
"""Greys of 255 that two pictures may differ by anywhere (measured: 24; a light digit more: 29)."""
EVERYWHERE = ("Puzzles", "Third hints", "Answers")


@pytest.mark.parametrize("name", PDFS)
def test_two_renderers_draw_the_same_pages(prints: Prints, name: str) -> None:
    data, file = pdf(name), prints.file(name)
    firsts = section_pages(data)
    # a sampler has no hints, and on a booklet's sheets sections begin anywhere
    kinds = [kind for kind in firsts if name == "print" or kind in EVERYWHERE]
    for page in [firsts[kind] for kind in kinds] or [0, 4, 8]:
        (ours,) = pdfium(data, [page], DPI * FINER)
        theirs = poppler(file, page, DPI * FINER)
        assert apart(ours, theirs) < FAR, f"page {page + 1}"
        assert _ink(ours) == pytest.approx(_ink(theirs), rel=0.05), f"page {page + 1}"


def test_a_digit_that_one_renderer_leaves_out_is_seen() -> None:
    # the least that must not go unseen: a light digit of an answer, one of hundreds on its page
    one = grids(pdf("print"), "answer", edited("print"), DPI * FINER)[1]
    (page,) = pdfium(pdf("print"), [one.page], DPI * FINER)
    without = np.array(page)
    empty = one.entry.puzzle.clues.index(0)
    cells(one.frame, one.entry.puzzle.size, 0.1)[empty].of(without)[:] = 255
    assert apart(page, without) > FAR


def apart(one: Grey, other: Grey) -> int:
    """How far two pictures of a page are apart where they are farthest."""
    assert np.abs(np.subtract(one.shape, other.shape)).max() <= 1
    rows, columns = np.minimum(one.shape, other.shape)
    first, second = (_softened(picture[:rows, :columns]) for picture in (one, other))
    return int(np.abs(first - second).max())


def _softened(picture: Grey) -> NDArray[np.int16]:
    coarse = Image.fromarray(picture).reduce(FINER)
    return np.asarray(coarse.filter(ImageFilter.GaussianBlur(BLUR))).astype(np.int16)


def _ink(picture: Grey) -> float:
    """What stands out from the ground, in all."""
    return float(np.abs(picture.astype(int) - int(np.median(picture))).sum())
