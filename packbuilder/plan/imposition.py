"""Imposition: which pages stand on which side of a sheet, where, and with which marks for the hand.

Most editions have a page a side. A booklet has two on each side of sheets that are folded once and
stapled through the fold: saddle-stitch order. A print shop's sheet is larger than the page.
"""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.layouts.papers import MM
from packbuilder.plan.items import Box, Fills, Item, Page, Plan, Strokes

_SHEETS = {"a5": (297 * MM, 210 * MM), "half-letter": (792.0, 612.0), "a6": (210 * MM, 148 * MM)}
"""Sheets on their side, by the page that is half of them (ISO 216, ANSI/ASME Y14.1)."""

_APRON = 10 * MM
"""Paper round the trim on a print shop's sheet, for bleed and marks."""

_HAIR, _FINE = 0.25, 0.4
"""Weights of crop marks, and of fold and staple marks, in points."""

_BAND = 9 * MM
"""Breadth of the cover's band where it can bleed."""


@dataclass(frozen=True)
class Side:
    """One side of a sheet, its pages each with the place of its lower left corner.

    Lengths are in points. ``marks`` are drawn over the pages: no part of any of them. ``dark`` says
    whether the whole side is painted with paper first. ``trim`` is what is left of the side when it
    has been cut, ``bleed`` how far ink may reach beyond that; both for a print shop only.
    """

    width: float
    height: float
    pages: tuple[tuple[Page, float, float], ...]
    marks: tuple[Item, ...] = ()
    dark: bool = False
    trim: Box | None = None
    bleed: Box | None = None


def sides(plan: Plan) -> list[Side]:
    """The sides of a plan's sheets, in the order in which they go through the press."""
    if plan.edition.folded:
        return _booklet(plan)
    if plan.edition.bleed:
        return [_shop(plan, page) for page in plan.pages]
    return [
        Side(plan.width, plan.height, ((page, 0.0, 0.0),), dark=plan.edition.dark)
        for page in plan.pages
    ]


def _larger(sides: Box, by: float) -> Box:
    left, bottom, right, top = sides
    return left - by, bottom - by, right + by, top + by


# --- booklet ---------------------------------------------------------------------------------


def _booklet(plan: Plan) -> list[Side]:
    """Fronts and backs in turn, to print on both sides; the back is turned over its short edge."""
    wide, high = next(size for size in _SHEETS.values() if abs(size[1] - plan.height) < 1.5)
    count = -(-len(plan.pages) // 4) * 4
    found = []
    for sheet in range(count // 4):
        outer, inner = count - 2 * sheet, 2 * sheet + 1
        for left, right in ((outer, inner), (inner + 1, outer - 1)):
            first = sheet == 0 and right == 1
            marks = _fold(wide / 2, high) + (_staples(wide / 2, high) if first else [])
            found.append(
                Side(wide, high, tuple(_halves(plan, (left, right), wide, high, sheet)),
                     tuple(marks))
            )  # fmt: skip
    return found


def _halves(
    plan: Plan, folios: tuple[int, int], wide: float, high: float, sheet: int
) -> list[tuple[Page, float, float]]:
    """The two pages of a side, nearer to the fold the further inside their sheet lies."""
    aside, up = (wide / 2 - plan.width) / 2, (high - plan.height) / 2
    creep = plan.creep * sheet
    places = (aside + creep, wide / 2 + aside - creep)
    return [
        (plan.pages[folio - 1], x, up)
        for folio, x in zip(folios, places, strict=True)
        if folio <= len(plan.pages)
    ]


def _fold(x: float, high: float) -> list[Item]:
    """Where to fold: dashes at head and foot, where they are not in the way of reading."""
    near, far, dash = 10 * MM, 15 * MM, 1.5 * MM
    runs = ((near, far), (high - far, high - near))
    pieces = [
        (x, start + k * 2 * dash, x, min(start + (k * 2 + 1) * dash, end))
        for start, end in runs
        for k in range(2)
    ]
    return [Strokes(_FINE, tuple(pieces))]


def _staples(x: float, high: float) -> list[Item]:
    half = 3 * MM
    return [Strokes(_FINE, tuple((x - half, y, x + half, y) for y in (high / 4, high * 3 / 4)))]


# --- print shop ------------------------------------------------------------------------------


def _shop(plan: Plan, page: Page) -> Side:
    """A page with crop marks round it; the cover's band runs off on the bound side."""
    wide, high = plan.width + 2 * _APRON, plan.height + 2 * _APRON
    bleed = plan.edition.bleed * MM
    marks: list[Item] = [Strokes(_HAIR, tuple(_crops(_APRON, wide, high)))]
    if page.folio == 1:
        low, edge = _APRON - bleed, _APRON + _BAND
        marks.append(Fills(((low, low, edge, high - low),)))
    trim = (_APRON, _APRON, wide - _APRON, high - _APRON)
    return Side(wide, high, ((page, _APRON, _APRON),), tuple(marks), trim=trim,
                bleed=_larger(trim, bleed))  # fmt: skip


def _crops(apron: float, wide: float, high: float) -> list[tuple[float, float, float, float]]:
    """Eight strokes in line with the edges of the trim, clear of the bleed."""
    near, far = apron - 4 * MM, apron - 9 * MM
    found = []
    for y in (apron, high - apron):
        found += [(far, y, near, y), (wide - near, y, wide - far, y)]
    for x in (apron, wide - apron):
        found += [(x, far, x, near), (x, high - near, x, high - far)]
    return found
