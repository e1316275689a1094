"""Editions undone: every form of a pack as ordinary pages, dark ink on white paper.

How a saddle-stitched sheet lies is told by folding one: the two pages on a side add up to one more
than the number of pages, odd pages lie to the right, and page p of the first half lies on side p.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packbuilder.editions import Edition
from packbuilder.reader.marks import Box, Colour, Drawing, Glyph, PageMarks, Track

INK, PAPER = 0.93, 0.10
"""What black and white become in the dark edition."""

APRON = 10 * 72 / 25.4
"""What a print shop cuts off each side of a page: 10 mm (in points)."""
WHOLE = 0.5
"""The ground of a dark page reaches to its edges, within this (points)."""


def ordinary(page: PageMarks, edition: Edition, sides: int) -> list[PageMarks]:
    """The pages of the book that stand on one page of a file of so many ``sides``."""
    if edition.dark:
        page = lit(page)
    if edition.folded:
        return list(_halves(page, sides))
    if edition.bleed:
        trim = (APRON, APRON, page.width - APRON, page.height - APRON)
        return [part(page, page.number, trim)]
    return [page]


def _halves(page: PageMarks, sides: int) -> Iterator[PageMarks]:
    """Both halves of a booklet's side."""
    fold = page.width / 2
    for right, half in ((False, (0.0, 0.0, fold, page.height)),
                        (True, (fold, 0.0, page.width, page.height))):  # fmt: skip
        number = page.number if (page.number % 2 == 1) is right else 2 * sides + 1 - page.number
        yield part(page, number, half)


def part(page: PageMarks, number: int, box: Box) -> PageMarks:
    """What stands in a box of a page, as a page of its own."""
    left, bottom, right, top = box
    glyphs = tuple(
        _moved(g, -left, -bottom) for g in page.glyphs if left <= (g.x0 + g.x1) / 2 < right
    )
    drawings = tuple(
        _shifted(d, -left, -bottom)
        for d in page.drawings
        if left <= (d.box[0] + d.box[2]) / 2 < right
    )
    return PageMarks(
        number, right - left, top - bottom, glyphs, drawings, page.sheet, (left, bottom)
    )


def _moved(g: Glyph, dx: float, dy: float) -> Glyph:
    return g._replace(
        x0=g.x0 + dx, y0=g.y0 + dy, x1=g.x1 + dx, y1=g.y1 + dy, x=g.x + dx, y=g.y + dy
    )


def _shifted(d: Drawing, dx: float, dy: float) -> Drawing:
    tracks = tuple(
        Track(tuple((x + dx, y + dy) for x, y in t.points), t.closed, t.curved) for t in d.tracks
    )
    return replace(d, tracks=tracks)


# --- dark ----------------------------------------------------------------------------------------


def lit(page: PageMarks) -> PageMarks:
    """A dark page as it would be on white paper, without its ground."""
    drawings = page.drawings[1:] if has_ground(page) else page.drawings
    return replace(
        page,
        glyphs=tuple(g._replace(colour=lightened(g.colour)) for g in page.glyphs),
        drawings=tuple(
            replace(
                d,
                brush=d.brush._replace(colour=lightened(d.brush.colour)) if d.brush else None,
                fill=lightened(d.fill),
            )
            for d in drawings
        ),
    )


def has_ground(page: PageMarks) -> bool:
    """Whether the whole page is painted before anything else."""
    if not page.drawings or not page.drawings[0].filled:
        return False
    whole = (0.0, 0.0, page.width, page.height)
    return all(abs(a - b) < WHOLE for a, b in zip(page.drawings[0].box, whole, strict=True))


def lightened(colour: Colour | None) -> Colour | None:
    """The colour that the dark edition shows so; black or white for one that it does not have."""
    if colour is None:
        return None
    r, g, b = (min(max((INK - v) / (INK - PAPER), 0.0), 1.0) for v in colour)
    return r, g, b
