"""Room: how near things stand to edges, folds and cuts, and to other things on their page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import hypot

from packbuilder.plan.imposition import sides
from packbuilder.plan.items import Destination, Disc, Fills, Glyphs, Strokes, Text
from tests.pages.house_style.measuring import (
    MM,
    Grid,
    Look,
    Mark,
    Printed,
    Told,
    inked,
    overlap,
    within,
)

SAFE = 10 * MM
"""Home printers leave 4 to 7 mm of a sheet bare; 6.7 at the foot (HP Officejet manual)."""


def nothing_is_near_an_edge(p: Printed) -> Told:
    """All ink keeps 10 mm off the edges of its page, and so off a trim."""
    safe = (SAFE, SAFE, p.plan.width - SAFE, p.plan.height - SAFE)
    for look in p.looks:
        for mark in look.marks:
            if not within(mark.box, safe, -0.01):
                yield f"page {look.folio}: {mark.text or mark.item} at {mark.box}"


def nothing_is_near_the_fold(p: Printed) -> Told:
    """Where creep moves a booklet's pages they keep 10 mm off the fold; text that is nearer than 6
    is lost in it (common practice, no source)."""
    for side in sides(p.plan) if p.plan.edition.folded else ():
        for page, x, _ in side.pages:
            left, _, right, _ = inked(p.looks[page.folio - 1].marks)
            fold = side.width / 2
            if min(abs(left + x - fold), abs(right + x - fold)) < SAFE - 0.01:
                yield f"page {page.folio} reaches from {left + x:.1f} to {right + x:.1f}"


def nothing_lies_over_anything(p: Printed) -> Told:
    """No text touches other text, a line, a picture or a grid, and no grid another thing; a number
    outside stands clear within its ring. Pieces of text on one baseline have a blank between them.
    On screens underlines pass under letters."""
    for look in p.looks:
        grids = [Mark(grid.frame, Fills(())) for grid in look.grids]
        around_grids = [mark for grid in look.grids for mark in grid.outside]
        loose = [m for m in (*look.loose, *around_grids) if not _goes_with(m, look)]
        texts = [mark for mark in loose if mark.text]
        others = [mark for mark in loose if not mark.text]
        others += [Mark(inked(marks), Fills(())) for _, marks in look.pictures]
        others += [mark for _, marks in look.cases for mark in marks]
        pairs = [*combinations([*texts, *grids], 2)]
        pairs += [(one, other) for one in (*texts, *grids) for other in others]
        for one, other in pairs:
            if _is_within_ring(one, other) or _of_one_title(one, other):
                continue
            if overlap(one.box, other.box, -0.05):
                yield f"page {look.folio}: {one.text or 'a grid'} and {other.text or other}"
        for one, other in combinations(look.lines, 2):
            blank = 0.2 * one.item.size
            if one.item.y == other.item.y and overlap(one.box, other.box, blank):
                yield f"page {look.folio}: {one.text!r} runs into {other.text!r}"


def _goes_with(mark: Mark, look: Look) -> bool:
    """Whether it is an underline, or the shade of a cell of an example."""
    line = isinstance(mark.item, Strokes) and mark.item.ink == "quiet"
    if isinstance(mark.item, Disc) and mark.item.fill == "ink" and look.section == "Primer":
        numbers = [m for m in look.lines if m.item.ink == "paper" and within(m.box, mark.box, 0.3)]
        return len(numbers) == 1  # of a frame
    shade = isinstance(mark.item, Fills) and mark.item.ink == "shade"
    return line or (shade and any(within(mark.box, grid.frame, -0.05) for grid in look.grids))


def _is_within_ring(one: Mark, other: Mark) -> bool:
    """Whether the corners of a number lie inside a bare circle, .3 off it or more."""
    ring, (left, bottom, right, top) = other.item, one.box
    if not isinstance(ring, Disc) or ring.fill or not one.text:
        return False
    far = max(hypot(x - ring.x, y - ring.y) for x in (left, right) for y in (bottom, top))
    return far <= ring.radius - (ring.width or 0) / 2 - 0.3


def _of_one_title(one: Mark, other: Mark) -> bool:
    """The lines of a title are set tight: accents stand between descenders."""
    tags = [m.item.tag for m in (one, other) if isinstance(m.item, Text)]
    return len(tags) == 2 and tags[0] is tags[1] and bool(tags[0] and tags[0].role in ("H1", "H2"))


def letters_keep_to_their_cells(p: Printed) -> Told:
    """Digits stand in the middle of their cells; no letter in a grid touches another, a dot on an
    edge, or its cell's border."""
    for look in p.looks:
        for grid in look.grids:
            for mark in (m for m in grid.inner if m.cell >= 0):
                cell = grid.cell(mark.cell)
                if not within(mark.box, cell, 0.02 * grid.pitch):
                    yield f"page {look.folio}: {mark.text} leaves its cell"
                aside = max(abs(sum(mark.box[k::2]) - sum(cell[k::2])) / 2 for k in (0, 1))
                if mark.text == grid.digits.get(mark.cell) and aside > 0.05 * grid.pitch:
                    yield f"page {look.folio}: {mark.text} is off the middle of its cell"
            for one, other in _touching(grid.inner):
                yield f"page {look.folio}: {one.text} touches {other.text} in a grid"
            for dot in (m for m in grid.marks if _is_dot(m, grid)):
                for mark in (m for m in grid.inner if isinstance(m.item, Glyphs)):
                    if overlap(mark.box, dot.box, -0.015 * grid.pitch):  # a hair
                        yield f"page {look.folio}: {mark.text} touches a dot on an edge"


def _touching(marks: Sequence[Mark]) -> Iterator[tuple[Mark, Mark]]:
    """The pairs of letters that touch, by a sweep from the left. The corners of a round one's box
    are bare."""
    ordered = sorted(marks, key=lambda mark: mark.box[0])
    for k, one in enumerate(ordered):
        for other in ordered[k + 1 :]:
            if other.box[0] >= one.box[2]:
                break
            if overlap(one.box, other.box, -0.2):
                yield one, other


def _is_dot(mark: Mark, grid: Grid) -> bool:
    """What is filled in white without a rim is no dot: it makes room for a sign."""
    disc = mark.item
    small = isinstance(disc, Disc) and disc.radius < 0.2 * grid.pitch
    return small and bool(disc.fill == "ink" or (disc.fill and disc.width))


def captions_stand_over_their_grids(p: Printed) -> Told:
    """Within 60 points above each grid and its clues stands a line, in line with its left edge or
    with that of the band in which it has clues at its left."""
    for look in p.looks:
        for grid in look.grids:
            left, _, _, top = grid.frame
            top = max([top, *(mark.box[3] for mark in grid.outside)])
            band = 0.9 * grid.pitch * any(mark.box[2] < left for mark in grid.outside)
            above = [m.item.x for m in look.lines if 0 < m.item.y - top < 60]
            if look.section == "Primer":  # its number in a disc, or the title beside its upper edge
                right = max([grid.frame[2], *(mark.box[2] for mark in grid.outside)])
                above = [
                    left
                    for m in look.lines
                    if (m.item.x > right and abs(m.item.y - top) < 2 * m.item.size)
                    or (0 < m.item.y - top < 150 and abs(m.item.x - left + band) < m.item.size)
                ]
            if not any(min(abs(x - left), abs(x - left + band)) < 1 for x in above):
                yield f"page {look.folio}: a grid without a caption"


def cards_are_alike_and_hold_their_puzzles(p: Printed) -> Told:
    """Cards are of one size; all that stands on one is 1.5 mm or more inside its border, its grid
    in the middle where it is one of several. Grids and what is outside are of one height, but where
    cells would be too small: under 8 mm, from 6x6 on 6, past 9x9 5.6, with sums in corners 6.6."""
    highs: list[tuple[float, float, str]] = []
    for look in p.looks:
        edges = [m for m in look.loose if isinstance(m.item, Strokes) and m.item.width == 0.9]
        cards = [inked(edges[k : k + 4]) for k in range(0, len(edges), 4)]
        sizes = {(round(c[2] - c[0], 1), round(c[3] - c[1], 1)) for c in cards}
        if len(sizes) > 1:
            yield f"page {look.folio}: cards of the sizes {sizes}"
        for grid in look.grids if cards else ():
            middles = [(card[0] + card[2]) / 2 for card in cards]
            if (
                len(p.book.entries) > 1
                and min(abs((grid.frame[0] + grid.frame[2]) / 2 - x) for x in middles) > 0.1
            ):
                yield f"page {look.folio}: a grid out of the middle of its card"
            rows = grid.size + 0.9 * sum(
                any(m.text and (m.box[1] > grid.frame[3] if up else m.box[3] < grid.frame[1])
                    for m in grid.outside) for up in (True, False))  # fmt: skip
            highs.append((rows * grid.pitch, grid.pitch, f"page {look.folio}: a higher grid"))
        held = [grid.frame for grid in look.grids] + [inked(marks) for _, marks in look.pictures]
        held += [m.box for m in look.lines if m not in (*look.head, *look.foot)]
        for box in held if cards else ():
            if not any(within(box, card, 1.5 * MM) for card in cards):
                yield f"page {look.folio}: what stands at {box} is on no card"
    least = min((high for high, _, _ in highs), default=0.0)
    yield from (told for high, pitch, told in highs if high > least + 0.1 and pitch > 8.1 * MM)


def codes_have_quiet_around_them(p: Printed) -> Told:
    """Four modules of white on every side of a QR code (ISO/IEC 18004, 9.1; from memory), which is
    13.5 mm wide or more (house style)."""
    for look in p.looks:
        for marks in look.codes():
            box, module = inked(marks), min(m.box[3] - m.box[1] for m in marks)
            if box[2] - box[0] < 13.5 * MM - 0.01:
                yield f"page {look.folio}: a code of {(box[2] - box[0]) / MM:.1f} mm"
            for other in look.marks:
                if other.item is not marks[0].item and overlap(box, other.box, 4 * module - 0.01):
                    yield f"page {look.folio}: {other.text or other.item} by a code"


def named_places_begin_above_their_words(p: Printed) -> Told:
    """A link shows its goal from above its first line on: none of it is cut off."""
    for look in p.looks:
        items: Sequence[object] = look.page.items
        for k, item in enumerate(items):
            if isinstance(item, Destination) and not item.name.startswith("section-"):
                first = next(i for i in items[k:] if isinstance(i, Text))
                if not 0.7 * first.size < item.y - first.y < 40 + first.size:
                    yield f"page {look.folio}: {item.name} leads beside {first.text!r}"
