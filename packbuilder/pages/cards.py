"""Cards: a puzzle to cut out and give away, with a border, a ribbon and a bow; and where to cut."""

from __future__ import annotations

from collections.abc import Iterable

from packbuilder.book.book import Entry
from packbuilder.book.how_to_play import card_answer
from packbuilder.book.wording import month_name
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block
from packbuilder.pages.draft import Draft
from packbuilder.pages.page_design import ASCENT, PageDesign, right_text
from packbuilder.pages.prose import break_lines, cut, tidy
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import FURNITURE, Box, Fills, Item, Point, Strokes, Text, Trace
from packbuilder.typography.typeface import face_for, width

_INSET = 2.5 * MM
_BORDER = 0.9
_CLEAR = 2.0  # points: turned words keep so far from the card's sides, for its corners are round
_RIBBON = 0.2  # of the height that a ribbon is given
_STEPS = 14  # straight runs in place of each curve

Curve = tuple[Point, Point, Point, Point]

_LOOP: tuple[Curve, ...] = (
    ((0.0, 0.09), (0.42, 0.62), (1.12, 0.66), (1.16, 0.2)),
    ((1.16, 0.2), (1.2, -0.22), (0.5, -0.3), (0.0, -0.09)),
)
"""The right loop of a bow, round from the knot's middle; in heights of the ribbon's room."""

_HOLLOW: tuple[Curve, ...] = (
    ((0.26, 0.03), (0.52, 0.36), (0.98, 0.4), (0.99, 0.2)),
    ((0.99, 0.2), (0.98, -0.04), (0.56, -0.12), (0.26, 0.03)),
)
"""The inside of that loop, which is light."""

_TAIL: tuple[Point, ...] = ((0.0, 0.02), (0.62, -0.5), (0.45, -0.47), (0.33, -0.6), (-0.05, -0.1))
"""The right tail, with its notch."""


def card(sheet: PageDesign, box: Box, ribbon: float) -> list[Item]:
    """The border of a card, and a ribbon with a bow in the room of that height at its head."""
    left, bottom, right, top = box
    inner = (left + _INSET, bottom + _INSET, right - _INSET, top - _INSET)
    items = _border(inner, 1.8 * MM)
    if ribbon:
        middle, y = (left + right) / 2, top - _INSET - ribbon * 0.55
        half = ribbon * _RIBBON / 2
        items.append(Fills(((inner[0], y - half, inner[2], y + half),)))
        items += _bow((middle, y), ribbon * 0.73)
    return items


def _border(box: Box, radius: float) -> list[Item]:
    """A box with round corners, side by side and corner by corner.

    In one piece it would lie round the grid as a mark of a rule does.
    """
    left, bottom, right, top = box
    sides = (
        (left, bottom + radius, left, top - radius),
        (right, bottom + radius, right, top - radius),
        (left + radius, bottom, right - radius, bottom),
        (left + radius, top, right - radius, top),
    )
    items: list[Item] = [Strokes(_BORDER, (side,)) for side in sides]
    for x, y, dx, dy in (
        (left, bottom, 1, 1),
        (right, bottom, -1, 1),
        (left, top, 1, -1),
        (right, top, -1, -1),
    ):
        flat = 1 - 0.5523  # the usual approximation of a quarter circle
        curve = ((0.0, 1.0), (0.0, flat), (flat, 0.0), (1.0, 0.0))
        run = (*_round((curve,)), (1.0, 0.0))
        corner = tuple((x + a * dx * radius, y + b * dy * radius) for a, b in run)
        items.append(Trace((corner,), _BORDER))
    return items


def card_foot(draft: Draft, before: Entry, after: Entry, measure: float) -> Block:
    """What a card says once it is cut out: of which pack it is, and on which card its answer is;
    and on its head, to be read when the card is turned, the answer to the puzzle ``before``."""
    sheet, pack = draft.sheet, draft.pack
    face, size = sheet.faces.label, sheet.type.furniture
    lead, white = 1.25 * size, 0.4 * size
    name, month = tidy(pack.title), month_name(tidy(pack.issue))
    told = (f"{name}, {month}", name)
    goes = f"Answer: card {after.number}"
    room = measure - width(goes, face, size) - 2 * size
    set_face = face_for(told[0], face)
    fits = (one for one in told if width(one, set_face, size) <= room)
    whose = next(fits, None) or cut(name, set_face, size, room)
    lines = break_lines(card_answer(before), face, size, measure - 2 * _CLEAR)

    def draw(x: float, top: float) -> list[Item]:
        y, end = top - white - ASCENT * size, x + measure
        items: list[Item] = [
            Text(x, y, whose, set_face, size, tag=FURNITURE, quoted=True),
            right_text(end, y, goes, face, size, tag=FURNITURE),
        ]
        foot = top - white - (len(lines) + 1) * lead
        return items + [
            Text(
                end - _CLEAR,
                foot + k * lead + ASCENT * size,
                line,
                face,
                size,
                tag=FURNITURE,
                turned=True,
            )
            for k, line in enumerate(lines)
        ]

    return Block(white + (len(lines) + 1) * lead, draw)


def guides(boxes: Iterable[Box]) -> list[Item]:
    """Dashed lines along the edges of cards, each edge once: where to cut."""
    edges = set()
    for box in boxes:
        left, bottom, right, top = (round(value, 2) for value in box)
        edges |= {(left, bottom, left, top), (right, bottom, right, top)}
        edges |= {(left, bottom, right, bottom), (left, top, right, top)}
    runs = tuple(((a, b), (c, d)) for a, b, c, d in sorted(edges))
    return [Trace((run,), 0.4, dash=(4.0, 3.0)) for run in runs]


def _bow(knot: Point, high: float) -> list[Item]:
    """A bow: tails, loops, their light insides, and the knot."""
    items: list[Item] = []
    for side in (1, -1):
        items.append(_filled(_TAIL, knot, side * high, high, "ink"))
    for side in (1, -1):
        items.append(_filled(_round(_LOOP), knot, side * high, high, "ink"))
        items.append(_filled(_round(_HOLLOW), knot, side * high, high, "paper"))
    x, y = knot
    half, tall = 0.13 * high, 0.17 * high
    items.append(
        Fills(((x - half - 0.8, y - tall - 0.8, x + half + 0.8, y + tall + 0.8),), "paper")
    )
    items.append(Fills(((x - half, y - tall, x + half, y + tall),)))
    return items


def _filled(shape: Iterable[Point], at: Point, wide: float, high: float, ink: Ink) -> Item:
    run = tuple((at[0] + x * wide, at[1] + y * high) for x, y in shape)
    return Trace((run,), fill=ink, closed=True)


def _round(curves: Iterable[Curve]) -> list[Point]:
    """Bezier curves as points, from the start of the first to the end of the last."""
    points = []
    for (ax, ay), (bx, by), (cx, cy), (dx, dy) in curves:
        for k in range(_STEPS):
            t = k / _STEPS
            u = 1 - t
            a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
            points.append((a * ax + b * bx + c * cx + d * dx, a * ay + b * by + c * cy + d * dy))
    return points
