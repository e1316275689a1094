"""The picture on the cover, as it is seen, against the one that the book has.

What it shows is told by eye: discs by their size, clues by their squares, towers by the grey beside
their middles, a creator's own picture by its outlines.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from packbuilder.artwork import Drawing as Picture
from packbuilder.book import Book
from packbuilder.book.cover import CLUE, EMPTY, CoverPicture, cover_picture
from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.readback.report import Finding, first_few
from packbuilder.reader.marks import Box, Colour, Drawing, Glyph
from packbuilder.reader.pages import SeenPage
from packbuilder.reader.text_ink import TextInk

SPECK = 0.3
"""A square is a speck if it has less than this share of the largest one's side."""
NEAR = 0.002
"""Outlines are in place within this share of their picture's longer side."""
BESIDE = 0.1
"""Where towers and tiles are looked at: so far from each corner of a cell, in cells. Windows and
discs do not reach there."""
FRAME = 1.1
"""Points: so far the frame reaches beyond the grid, and into its outermost cells. A cell that is to
be bare is looked at clear of it, by a pixel more."""
MIDDLE_GREY = 127

_MISSING = " "


def check_cover(page: SeenPage, book: Book, ink: TextInk) -> Iterator[Finding]:
    """The cover shows the book's picture and no other."""
    due, drawn = cover_picture(book), _drawn(page)
    if due is None or not drawn:
        if due or drawn:
            what = "there is no picture" if due else "there is a picture, and it is to be plain"
            yield Finding("cover", what, page.number)
    elif due.drawing:
        if told := _own(due.drawing, drawn):
            yield Finding("cover", f"the picture is not the creator's: {told}", page.number)
    else:
        yield from _cells(due, drawn, page, ink, dark=book.edition.dark)


def _drawn(page: SeenPage) -> list[Drawing]:
    """What is drawn below the line of the month, but for what lies on the page's edge or runs off
    it: a booklet's fold, a band of colour."""
    head = max((g.y for g in page.marks.glyphs), default=0.0)
    return [d for d in page.marks.drawings if d.box[1] < head and d.box[0] > 0.5]


def _cells(
    due: CoverPicture, drawn: Sequence[Drawing], page: SeenPage, ink: TextInk, *, dark: bool
) -> Iterator[Finding]:
    """What is wrong with a picture that is made of cells."""
    assert due.geometry is not None
    size = due.geometry.size
    if due.design == "technique":
        left, _, right, top = _around(d.box for d in drawn)
        left, right, top = left + FRAME, right - FRAME, top - FRAME
        pitch = (right - left) / size
        corners = [(left + k % size * pitch, top - k // size * pitch) for k in range(size**2)]
        boxes = [(x, y - pitch, x + pitch, y) for x, y in corners]
        signs = [_sign_in(box, page.marks.glyphs) or EMPTY for box in boxes]
        wrong = [k for k, box in enumerate(boxes) if not _as_due(box, k in due.filled, ink, dark)]
    else:
        read = _discs if due.design == "discs" else _squares
        signs, wrong = read(drawn, page.marks.glyphs, size), []
    if len(signs) != size**2:
        yield Finding("cover", f"the picture has {len(signs)} of {size**2} cells", page.number)
        return
    wrong += [k for k, sign in enumerate(signs) if sign != due.signs[k]]
    if wrong:
        names = [cell_name(k, size) for k in sorted({*wrong})]
        told = first_few(names)
        yield Finding("cover", f"cells of the picture are wrong: {told}", page.number, (*names,))


def _as_due(box: Box, filled: bool, ink: TextInk, dark: bool) -> bool:
    """Whether a cell is black in all its corners, or bare in all."""
    beside = BESIDE * _wide(box)
    inset = beside if filled else max(beside, FRAME + 1 / ink.scale)
    left, bottom, right, top = box
    return all(
        ((ink.grey_at(x, y) < MIDDLE_GREY) is not dark) is filled
        for x in (left + inset, right - inset)
        for y in (bottom + inset, top - inset)
    )


def _discs(drawn: Sequence[Drawing], glyphs: Sequence[Glyph], size: int) -> list[str]:
    """The digits of discs by their size: the smallest is 1, the largest the last digit."""
    filled = [_wide(d.box) for d in drawn if d.filled]
    least, most = min(filled, default=0.0), max(filled, default=0.0)
    step = (most - least) / (size - 1) or 1.0

    def sign(one: Drawing) -> str:
        if not one.filled:
            return _sign_in(one.box, glyphs) or _MISSING
        digit = 1 + (_wide(one.box) - least) / step
        clear = abs(digit - round(digit)) < 0.2 and _is_dark(one.fill)
        return SYMBOLS[round(digit)] if clear else _MISSING

    return _in_order([(one.box, sign(one)) for one in drawn], size)


def _squares(drawn: Sequence[Drawing], glyphs: Sequence[Glyph], size: int) -> list[str]:
    """Clues by their squares; what joins two of them is longer than it is wide."""
    boxes = [
        (_around((x, y, x, y) for x, y in track.points), d) for d in drawn for track in d.tracks
    ]
    square = [
        (box, d) for box, d in boxes if abs(_wide(box) - (box[3] - box[1])) < 0.02 * _wide(box)
    ]
    most = max((_wide(box) for box, _ in square), default=0.0)

    def sign(box: Box, one: Drawing) -> str:
        if not one.filled:
            return _sign_in(box, glyphs) or _MISSING
        seen = CLUE if _wide(box) > SPECK * most else EMPTY
        return seen if _is_dark(one.fill) else _MISSING

    signs = _in_order([(box, sign(box, d)) for box, d in square], size)
    joined = sum(
        one == CLUE and k + step < len(signs) and signs[k + step] == CLUE
        and (step > 1 or (k + 1) % size > 0)
        for step in (1, size) for k, one in enumerate(signs)
    )  # fmt: skip
    return signs if joined == len(boxes) - len(square) else []


def _in_order(found: Sequence[tuple[Box, str]], size: int) -> list[str]:
    """Signs row by row, if each row has as many."""
    middles = sorted((-(b[1] + b[3]), b[0] + b[2], sign) for b, sign in found)
    rows = [sorted(middles[k : k + size], key=lambda m: m[1]) for k in range(0, len(found), size)]
    return [sign for row in rows for _, _, sign in row]


def _sign_in(box: Box, glyphs: Sequence[Glyph]) -> str:
    """The text whose middle lies in a box."""
    return "".join(
        g.text for g in glyphs
        if box[0] < (g.x0 + g.x1) / 2 < box[2] and box[1] < (g.y0 + g.y1) / 2 < box[3]
    ).strip()  # fmt: skip


def _own(due: Picture, drawn: Sequence[Drawing]) -> str:
    """How a creator's own picture differs from what is drawn; "" where it does not."""
    if len(drawn) != len(due.shapes):
        return f"it has {len(drawn)} shapes, not {len(due.shapes)}"
    frame = _around(
        (x - half, y - half, x + half, y + half)
        for d in drawn
        for half in [d.brush.width / 2 if d.brush else 0.0]
        for track in d.tracks
        for x, y in track.points
    )
    side = max(frame[2] - frame[0], frame[3] - frame[1])
    for k, (shape, one) in enumerate(zip(due.shapes, drawn, strict=True), start=1):
        inks = (shape.fill, shape.stroke)
        seen = (
            _is_dark(one.fill) if one.filled else None,
            _is_dark(one.brush.colour) if one.brush else None,
        )
        points = [((x - frame[0]) / side, (y - frame[1]) / side)
                  for track in one.tracks for x, y in _once(track.points)]  # fmt: skip
        wanted = [point for run in shape.runs for point in _once(run)]
        if inks != seen or len(points) != len(wanted):
            return f"shape {k} is another"
        pairs = zip(chain(*points), chain(*wanted), strict=True)
        if max(abs(a - b) for a, b in pairs) > NEAR:
            return f"shape {k} has another outline"
        if one.brush and abs(one.brush.width / side - shape.width) > NEAR:
            return f"shape {k} has lines of another weight"
    return ""


def _once(points: Sequence[tuple[float, float]]) -> Sequence[tuple[float, float]]:
    """The points of a run that ends where it begins, without that end."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    return points[:-1] if len(points) > 1 and abs(x0 - x1) + abs(y0 - y1) < 1e-9 else points


def _is_dark(colour: Colour | None) -> bool:
    return colour is not None and sum(colour) / 3 < 0.5


def _wide(box: Box) -> float:
    return box[2] - box[0]


def _around(boxes: Iterator[Box] | Sequence[Box]) -> Box:
    left, bottom, right, top = zip(*boxes, strict=True)
    return min(left), min(bottom), max(right), max(top)
