"""QR codes, as zxing-cpp, a decoder of camera pictures, reads them from the rendered pages."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pypdfium2
import pytest

from tests.outside.pixels import pdfium
from tests.outside.prints import PDFS, edited, pdf

DPI = 120
"""Coarser than a telephone's camera sees a page from half a metre (common practice, no source)."""


@pytest.mark.parametrize("name", PDFS)
def test_every_code_is_read_as_its_link_and_there_is_no_other(name: str) -> None:
    zxing = pytest.importorskip("zxingcpp", reason="zxing-cpp is not installed")
    data = pdf(name)
    count = len(pypdfium2.PdfDocument(data))
    told = Counter(
        code.text
        for page in pdfium(data, range(count), DPI)
        for code in zxing.read_barcodes(page, formats=zxing.BarcodeFormat.QRCode)
    )
    book = edited(name)
    links = [entry.puzzle.link for entry in book.entries if entry.puzzle.link]
    if book.whole or book.edition.folded:  # on the page of the full pack, and on the back cover
        links += [book.pack.link] * bool(book.pack.link)
    assert told == Counter(links)


def test_a_code_that_is_half_covered_is_not_read() -> None:
    # so that the decoder is known to look at the pixels
    zxing = pytest.importorskip("zxingcpp", reason="zxing-cpp is not installed")
    data = pdf("print")
    for page in pdfium(data, range(len(pypdfium2.PdfDocument(data))), DPI):
        for code in zxing.read_barcodes(page):
            corner, far = code.position.top_left, code.position.bottom_right
            covered = np.array(page)
            covered[corner.y : far.y, corner.x : (corner.x + far.x) // 2] = 255
            assert not zxing.read_barcodes(covered)
