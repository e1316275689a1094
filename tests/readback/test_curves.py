"""A curve is known by points so near to each other that its ink can be taken away along them."""

from __future__ import annotations

import io

import pytest
from reportlab.pdfgen.canvas import Canvas

from packbuilder.readback import document
from packbuilder.readback.view import SEEN, Pixels, without

LINKS = {
    "long": ((135, 380), (212, 420), (330, 450), (374, 381)),
    "longest": ((40, 40), (100, 500), (300, 600), (560, 560)),
    "swung": ((100, 300), (180, 420), (300, 180), (400, 310)),
    "short": ((100, 100), (110, 106), (120, 106), (130, 100)),
}
"""Links of chains in points; the first is over seven cells of a 16x16 grid."""


@pytest.mark.parametrize("dpi", [110, 170, 250])
@pytest.mark.parametrize("name", LINKS)
def test_a_link_of_a_chain_leaves_nothing_where_it_is_taken_away(name: str, dpi: int) -> None:
    out = io.BytesIO()
    canvas = Canvas(out, (600, 800))
    canvas.setLineWidth(0.6)
    canvas.bezier(*(part for point in LINKS[name] for part in point))
    canvas.save()
    (drawing,) = (d for sheet in document.sheets(out.getvalue()) for d in sheet.drawings)
    lines = [(track.points, 0.6) for track in drawing.tracks]
    with Pixels(out.getvalue()) as pixels:
        left = without(pixels.view(1, dpi), lines, ()).grey
    assert 255 - int(left.min()) < SEEN


def test_a_curve_of_endless_extent_is_still_read() -> None:
    out = io.BytesIO()
    canvas = Canvas(out, (600, 800), pageCompression=0)
    canvas.bezier(0, 0, 1e30, 1e30, -1e30, 1e30, 600, 800)
    canvas.save()
    assert document.sheets(out.getvalue())[0].drawings
