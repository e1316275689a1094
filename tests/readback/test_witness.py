"""A second reader of a sample of pages: what the two see must be one."""

from __future__ import annotations

import io

import pikepdf

from packbuilder.plan.items import Plan
from packbuilder.readback.witness import check_witness
from tests.readback.altering import printed


def test_two_readers_see_the_same(plan: Plan) -> None:
    assert list(check_witness(printed(plan))) == []


def test_words_that_only_one_reader_is_told_are_found(plan: Plan) -> None:
    """An ActualText stands for what is shown (ISO 32000-1, 14.9.4); not every reader heeds it."""
    with pikepdf.open(io.BytesIO(printed(plan))) as pdf:
        page = pdf.pages[0]
        shown = page.Contents.read_bytes()
        begin, end = b"/Span <</ActualText (Q)>> BDC\n", b"\nEMC"
        first = shown.index(b"Tj") if b"Tj" in shown else shown.index(b"TJ")
        start = shown.rindex(b"BT", 0, first)
        stop = shown.index(b"ET", first) + 2
        page.Contents = pdf.make_stream(
            shown[:start] + begin + shown[start:stop] + end + shown[stop:]
        )
        out = io.BytesIO()
        pdf.save(out)
    (found, *_) = check_witness(out.getvalue())
    assert (found.code, found.page) == ("witness", 1)
