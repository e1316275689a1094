"""Cards to cut out: a border with round corners, a ribbon with a bow, and dashed guides."""

from __future__ import annotations

from collections.abc import Sequence

from packbuilder.readback.document import Drawing
from packbuilder.readback.paper import MM

BORDER, CORNER = 0.9, 3.5 * MM
GUIDE, DASH = 0.4, (4.0, 3.0)
BOW = 15 * MM
"""How far a bow reaches at most above and below its ribbon; sideways twice as far."""
OFF = 0.2


def cards(drawings: Sequence[Drawing]) -> list[Drawing]:
    """The drawings that make up cards; none where borders are not whole."""
    guides = [d for d in drawings if _is_guide(d)]
    sides = [d for d in drawings if _is_side(d)]
    corners = [d for d in drawings if _is_corner(d)]
    if not sides or len(sides) % 4 or len(corners) != len(sides):
        return []
    uprights = {round(d.box[0], 1) for d in sides if d.box[2] - d.box[0] < OFF}
    ribbons = [d for d in drawings if _is_ribbon(d, uprights)]
    bows = [d for d in drawings if d not in ribbons and any(_is_bow(d, r) for r in ribbons)]
    return [*guides, *sides, *corners, *ribbons, *bows]


def _pen(drawing: Drawing, width: float, dash: tuple[float, ...] = ()) -> bool:
    pen = drawing.pen
    if pen is None or drawing.filled or len(drawing.tracks) != 1 or drawing.tracks[0].closed:
        return False
    black = pen.colour is not None and max(pen.colour) < 0.05
    dashed = len(pen.dash) == len(dash) and all(
        abs(a - b) < OFF for a, b in zip(pen.dash, dash, strict=True)
    )
    return black and dashed and abs(pen.width - width) < 0.05


def _straight(drawing: Drawing) -> bool:
    x0, y0, x1, y1 = drawing.box
    two = len(drawing.tracks[0].points) == 2 and not drawing.tracks[0].curved
    return two and min(x1 - x0, y1 - y0) < 0.05 and max(x1 - x0, y1 - y0) > 2 * CORNER


def _is_guide(drawing: Drawing) -> bool:
    return _pen(drawing, GUIDE, DASH) and _straight(drawing)


def _is_side(drawing: Drawing) -> bool:
    return _pen(drawing, BORDER) and _straight(drawing)


def _is_corner(drawing: Drawing) -> bool:
    x0, y0, x1, y1 = drawing.box
    square = abs(x1 - x0 - CORNER) < OFF and abs(y1 - y0 - CORNER) < OFF
    return _pen(drawing, BORDER) and square


def _black_or_white(drawing: Drawing) -> bool:
    fill = drawing.fill
    plain = drawing.pen is None and len(drawing.tracks) == 1 and fill is not None
    return plain and fill is not None and (max(fill) < 0.05 or min(fill) > 0.95)


def _is_ribbon(drawing: Drawing, uprights: set[float]) -> bool:
    """A black band from one side of a card to the other."""
    x0, y0, x1, y1 = drawing.box
    ends = all(any(abs(x - u) < OFF for u in uprights) for x in (x0, x1))
    return _black_or_white(drawing) and ends and y1 - y0 < 4 * MM


def _is_bow(drawing: Drawing, ribbon: Drawing) -> bool:
    """A light or a black piece round the middle of a ribbon."""
    x0, y0, x1, y1 = ribbon.box
    middle, level = (x0 + x1) / 2, (y0 + y1) / 2
    left, bottom, right, top = drawing.box
    near = max(abs(left - middle), abs(right - middle)) < 2 * BOW
    return _black_or_white(drawing) and near and max(level - bottom, top - level) < BOW
