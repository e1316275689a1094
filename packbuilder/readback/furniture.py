"""All that is drawn outside grids, held against what the house style knows, kind by kind.

What a grid's own checks see is left to them. Everything else on a page is a rule, an underline, the
pips of a grade, a QR code, a picture of clues, the strip under an answer, or part of a card; what
is none of these, or stands in text, is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from packbuilder.book.book import Book
from packbuilder.readback.cards import cards
from packbuilder.readback.document import Drawing
from packbuilder.readback.pips import check_grades, pips_of
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import (
    ANSWERS,
    CONTENTS,
    COVER,
    FULL_PACK,
    PRIMER,
    PUZZLES,
    TIERS,
)
from packbuilder.readback.shapes import Box
from packbuilder.readback.squares import (
    check_codes,
    check_strips,
    is_boxes,
    is_picture,
)
from packbuilder.readback.survey import Item, Leaf
from packbuilder.readback.typefaces import ink_of

NEAR = 3.0
"""What reaches no further than this beyond a grid and its bands (points) is looked at with it."""
CURVED_OUT = 1.0
"""How far links of chains may bulge out of a hint's grid, in cells."""
HEAD, THIN = 2.2, (0.35, 0.55)
"""Widths of the rule at a section's head, and of rules between and under things (points)."""
PALEST = 0.6
"""The lightest grey of a thin rule."""
UNDERLINE = 0.33
BELOW = 4.0
"""An underline lies so near below its words' baseline (points)."""


def check_furniture(leaves: Sequence[Leaf], items: Sequence[Item], book: Book) -> Iterator[Finding]:
    """Nothing is drawn outside the grids but what the house style has there."""
    before = ""
    for leaf in leaves:
        here = [item for item in items if item.page == leaf.number]
        first, before = leaf.section != before, leaf.section
        yield from _check_leaf(leaf, here, book, first=first)


def _check_leaf(leaf: Leaf, items: Sequence[Item], book: Book, *, first: bool) -> Iterator[Finding]:
    number = leaf.number
    if any(patch.colour is None for patch in leaf.sheet.patches):
        yield Finding("mark-stray", "the page has an image or a pattern", number)
    reaches = [grid.drawn.reach(grid.lattice) for grid in leaf.grids]
    outside = [d for d in leaf.sheet.drawings if not _is_of_grid(d, leaf, reaches)]
    pips, others = pips_of(outside)
    used, findings = check_grades(leaf, items, book, pips)
    yield from findings
    others += [pip.drawing for pip in pips if pip.drawing not in used]
    boxes = [d for d in others if is_boxes(d)]
    known: list[Drawing] = []
    if leaf.section == PUZZLES:
        some, findings = check_codes(items, boxes, book)
        known += some
        yield from findings
        known += cards([d for d in others if d not in known]) if leaf.grids else []
    if leaf.section == ANSWERS:
        some, findings = check_strips(items, boxes, book)
        known += some
        yield from findings
    if (leaf.section == COVER or (leaf.section == PUZZLES and not leaf.grids)) and boxes:
        known += boxes if is_picture(boxes, book) else []
    rules = [d for d in others if _is_head(d)]
    known += rules[:1] if first else []
    ruled = leaf.section in (CONTENTS, PUZZLES, FULL_PACK)
    for drawing in others:
        if book.edition.fields and _is_underline(drawing, leaf):
            continue
        if drawing in known or (ruled and _is_thin(drawing)):
            if _touched(drawing, leaf, reaches):
                yield _stray(drawing, number, "lies over text or a grid")
        else:
            yield _stray(drawing, number, "belongs to nothing that the house style knows")


def _stray(drawing: Drawing, number: int, why: str) -> Finding:
    x0, y0, x1, y1 = drawing.box
    what = "line" if drawing.pen and len(drawing.tracks) == 1 else "drawing"
    return Finding(
        "mark-stray",
        f"the {what} from {x0:.0f}, {y0:.0f} to {x1:.0f}, {y1:.0f} points {why}",
        number,
    )


def _is_of_grid(drawing: Drawing, leaf: Leaf, reaches: Sequence[Box]) -> bool:
    """Whether a drawing lies in a grid's reach, or is a link of a chain that bulges out of it."""
    for grid, reach in zip(leaf.grids, reaches, strict=True):
        if _within(drawing.box, reach, NEAR):
            return True
        if leaf.section in (TIERS[2], PRIMER) and _is_curve(drawing):
            out = CURVED_OUT * grid.lattice.pitch
            if _within(drawing.box, reach, out) and _overlap(drawing.box, reach, 0.0):
                return True
    return False


def _is_curve(drawing: Drawing) -> bool:
    """Whether it is an open black curve as thin as the links of chains are."""
    pen = drawing.pen
    black = pen is not None and pen.colour is not None and max(pen.colour) < 0.1
    open_curves = all(track.curved and not track.closed for track in drawing.tracks)
    return bool(black and pen and pen.width < 1.0 and not drawing.filled and open_curves)


def _within(box: Box, reach: Box, room: float) -> bool:
    return (
        box[0] >= reach[0] - room
        and box[1] >= reach[1] - room
        and box[2] <= reach[2] + room
        and box[3] <= reach[3] + room
    )


def _overlap(box: Box, other: Box, room: float) -> bool:
    return (
        box[0] < other[2] + room
        and box[2] > other[0] - room
        and box[1] < other[3] + room
        and box[3] > other[1] - room
    )


def _touched(drawing: Drawing, leaf: Leaf, reaches: Iterable[Box]) -> bool:
    """Whether a drawing lies over ink of text, or over a grid."""
    half = drawing.pen.width / 2 if drawing.pen else 0.0
    parts = [drawing.box]
    if drawing.pen:
        parts = [drawing._replace(tracks=(track,)).box for track in drawing.tracks]
    boxes = [(x0 - half, y0 - half, x1 + half, y1 + half) for x0, y0, x1, y1 in parts]
    if any(_overlap(box, reach, -0.5) for reach in reaches for box in boxes):
        return True
    return any(
        _overlap(box, ink_of(glyph), -0.3)
        for run in leaf.runs
        for box in boxes
        if _overlap(box, run.box, 2.0)
        for glyph in run.glyphs
        if glyph.text.strip()
    )


def _level(drawing: Drawing) -> bool:
    """Whether it is level strokes without dashes."""
    pen = drawing.pen
    if pen is None or pen.dash or pen.cap or drawing.filled:
        return False
    return all(
        len(track.points) == 2
        and not track.curved
        and abs(track.points[0][1] - track.points[1][1]) < 0.01
        for track in drawing.tracks
    )


def _grey(drawing: Drawing) -> float | None:
    colour = drawing.pen.colour if drawing.pen else drawing.fill
    if colour is None or max(colour) - min(colour) > 0.02:
        return None
    return sum(colour) / 3


def _is_head(drawing: Drawing) -> bool:
    grey = _grey(drawing)
    if not _level(drawing) or grey is None or drawing.pen is None or len(drawing.tracks) > 1:
        return False
    return grey < 0.05 and abs(drawing.pen.width - HEAD) < 0.05


def _is_thin(drawing: Drawing) -> bool:
    grey = _grey(drawing)
    if not _level(drawing) or grey is None or drawing.pen is None:
        return False
    return grey <= PALEST and THIN[0] <= drawing.pen.width <= THIN[1]


def _is_underline(drawing: Drawing, leaf: Leaf) -> bool:
    """Whether it lies under words, and is no longer than they are."""
    grey = _grey(drawing)
    if not _is_thin(drawing) or grey is None or abs(grey - UNDERLINE) > 0.03:
        return False
    x0, y, x1, _ = drawing.box
    return any(0 < run.y - y < BELOW and x0 > run.x0 - 1 and x1 < run.x1 + 1 for run in leaf.runs)
