"""From a page's marks to what a reader would call things: its section, grids, captions, items."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from packbuilder.editions import PRINT, Edition
from packbuilder.grid import MAX_SIZE
from packbuilder.reader.digits import Filled, fill
from packbuilder.reader.drawn import Drawn, find
from packbuilder.reader.drawn.style import BAND, only_rules_have
from packbuilder.reader.lattices import Broken, Lattice, lattices
from packbuilder.reader.marks import Box, Glyph, PageMarks, Point, Stroke
from packbuilder.reader.text import (
    ANSWERS,
    BACK_COVER,
    HOW_TO_PLAY,
    NOTES,
    PRIMER,
    PUZZLES,
    RULES,
    TIERS,
    Caption,
    Run,
    beyond_number,
    body,
    caption_above,
    caption_in,
    folio_of,
    frame_number,
    plain,
    run_above,
    runs_of,
    says,
    section_of,
)

GRID_SECTIONS = (PUZZLES, TIERS[2], ANSWERS, PRIMER)
"""The sections in which the book's own grids stand."""
CORNER_SECTIONS = (HOW_TO_PLAY, RULES)
"""The sections in which pictures of grids and of corners of grids stand, which teach."""
POSITIONS = (TIERS[2], PRIMER)
"""The sections whose grids may show a step, with candidates."""

ALIGNED = 3.0
"""Left edges that differ by less than this (points) are in line."""
_HINT_NUMBER = re.compile(r"(\d+)(?:\.(\d+))?(?=\s|$)")
COLUMN = 40.0
"""Another column begins at least so far to the right (points)."""


class SeenGrid(NamedTuple):
    """A grid on a page: its lines, its digits, and the shapes of its rules."""

    lattice: Lattice
    filled: Filled
    drawn: Drawn

    @property
    def glyphs(self) -> tuple[Glyph, ...]:
        """All text that was read in it and in its bands."""
        digits = (*self.filled.digits, *self.filled.candidates)
        letters = (glyph for _, glyph in self.filled.named)
        return (*(d.glyph for d in digits), *letters, *self.drawn.glyphs)


@dataclass(frozen=True)
class SeenPage:
    """One page, read: its section, its folio, the text outside grids, and its grids.

    ``leads`` are the text between head and foot by which a reader may be led, ``on_its_head`` what
    is read when the page is turned by half, measured from the same corner.
    """

    marks: PageMarks
    section: str
    folio: int | None
    runs: tuple[Run, ...]
    leads: tuple[Run, ...]
    grids: tuple[SeenGrid, ...]
    broken: tuple[Broken, ...]
    on_its_head: tuple[Run, ...] = ()

    @property
    def number(self) -> int:
        """The page of the book, from 1."""
        return self.marks.number


@dataclass(frozen=True)
class SeenItem:
    """A thing of the book as printed: a puzzle, a hint or an answer.

    ``number`` is None where no caption names it; ``part`` is which of a puzzle's hints it is, or
    which frame of a lesson.
    ``box`` goes round caption and grid, ``head`` is its upper left corner; ``text`` is the caption
    with all text that belongs to it. ``place`` is the room down to the next item's head and across
    to the next one's: what stands there is this item's.
    """

    section: str
    page: int
    number: int | None
    part: int | None
    box: Box
    head: Point
    text: str
    grid: SeenGrid | None = None
    place: Box = (0.0, 0.0, 0.0, 0.0)

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in the item's place."""
        left, bottom, right, top = self.place
        return left <= x < right and bottom < y <= top


def look_at(
    page: PageMarks,
    edition: Edition = PRINT,
    cornered: Collection[int | None] | None = None,
    words: str = "",
    *,
    back: bool = False,
) -> SeenPage:
    """Read one page of an edition.

    ``cornered`` are the numbers of the puzzles whose rules write in corners, with None if grids
    without a number have such rules; None for any. In large
    type a candidate and such text may look alike, and only the caption tells what is meant.
    Lines that are in the pack's plain ``words``, one to a line, lead nowhere. The page that lies at
    the ``back`` of a booklet has no head.
    """
    strokes = [s for d in page.drawings for s in d.strokes() if _may_be_cell_line(s)]
    highest = max((g.y for g in page.glyphs), default=0.0)
    head = runs_of(g for g in page.glyphs if highest - g.y <= 0.5)
    section = BACK_COVER if back else section_of(page.number, head, facing=edition.facing)
    teaches = section in CORNER_SECTIONS
    found, broken = lattices(strokes, corners=teaches)
    grids = [g for g in found if _on_paper(g.box, page)]
    broken += [Broken(g.box, "it reaches beyond the paper") for g in found if g not in grids]
    corners = cornered is None or section not in POSITIONS
    drawn = [
        find(
            lattice,
            page.drawings,
            page.glyphs,
            small=edition.small,
            corners=corners or _captioned(lattice, page.glyphs) in (cornered or ()),
            dark=edition.dark,
        )
        for lattice in grids
    ]
    of_rules = frozenset[Glyph]().union(*(d.glyphs for d in drawn))
    others = [g for g in page.glyphs if g not in of_rules]
    most = MAX_SIZE if teaches else 0
    filled = [fill(g, others, candidates=section in POSITIONS, most=most) for g in grids]
    outside = [g for g in others if not any(_is_in(lattice, g) for lattice in grids)]
    runs = runs_of(g for g in outside if not g.on_its_head)
    on_its_head = runs_of(g.half_turned() for g in outside if g.on_its_head)
    named = [re.escape(some) for some in words.split("\n") if re.search(r"pages?\d", some)]
    own = re.compile(rf"(?:\d|by)(?:{'|'.join(named)})\W*$" if named else r"(?!)")
    leads = tuple(
        r
        for r in body(runs)
        if plain(beyond_number(r.text)).removesuffix("...") not in words
        and not own.search(plain(r.text))
    )
    whole = tuple(SeenGrid(*parts) for parts in zip(grids, filled, drawn, strict=True))
    folio = folio_of(runs, page.number, facing=edition.facing)
    return SeenPage(page, section, folio, runs, leads, whole, tuple(broken), on_its_head)


def _is_in(lattice: Lattice, glyph: Glyph) -> bool:
    x, y = (glyph.x0 + glyph.x1) / 2, (glyph.y0 + glyph.y1) / 2
    return lattice.cell_at(x, y) is not None


def _captioned(lattice: Lattice, glyphs: Sequence[Glyph]) -> int | None:
    """The number of the puzzle that a hint's grid belongs to, by its caption."""
    left, bottom, right, top = lattice.box
    runs = runs_of(g for g in glyphs if g.y > top and g.x0 > left - ALIGNED)
    for band in (0.0, BAND * lattice.pitch):
        found = caption_above(runs, (left, bottom, right, top + band), hint=True)
        if found:
            return found.number
    return None


def _may_be_cell_line(stroke: Stroke) -> bool:
    """Whether a stroke has no dashes, no round ends as rails of hints have, and none of the tones
    that only shapes of rules have."""
    return not stroke.rounded and not stroke.dashed and not only_rules_have(stroke.colour)


def _on_paper(box: Box, page: PageMarks) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= page.width and box[3] <= page.height


def items_of(page: SeenPage, titles: Mapping[int, str]) -> list[SeenItem]:
    """The items on a page: its grids where grids stand; in notes and the first tiers of hints, each
    puzzle's.

    ``titles`` are the book's, by number: there a number with its title is what begins an item.
    """
    items: list[SeenItem] = []
    if page.section in GRID_SECTIONS:
        items = [_grid_item(page, grid, titles) for grid in page.grids]
    elif page.section in (NOTES, *TIERS):
        items = _hint_items(page, titles)
    if page.section == PUZZLES and (page.on_its_head or len(items) == 1):
        return [replace(item, place=_card(item, items)) for item in items]
    # a grid, with its bands or without them, stands in line with its column
    rows = page.section == TIERS[2]
    return [replace(item, place=_place(item, items, rows=rows)) for item in items]


def _place(item: SeenItem, items: Sequence[SeenItem], *, rows: bool = False) -> Box:
    """The room of an item among all items of its page.

    Of items in ``rows``, the next one below is any of the next row, the next one beside one of the
    same row. Puzzles on cards stand in the middle of their column, and so under one another where
    they have no left edge in common.
    """
    left, (start, top) = item.box[0], item.head

    def is_below(other: SeenItem) -> bool:
        aside = min(abs(other.box[0] - left), abs(other.head[0] - start))
        under = other.section == PUZZLES and left < other.box[2] and other.box[0] < item.box[2]
        return other.head[1] < top - 1 and (rows or under or aside < ALIGNED)

    floor = max((one.head[1] for one in items if is_below(one)), default=0.0)
    beside = (
        one.box[0]
        for one in items
        if one.box[0] > left + COLUMN and (not rows or floor + 1 < one.head[1] <= top + 1)
    )
    return left - ALIGNED, floor, min(beside, default=float("inf")) - ALIGNED, top


def _card(item: SeenItem, items: Sequence[SeenItem]) -> Box:
    """The room of an item whose grid stands in the middle of it, as on cards, or alone on a page:
    as far as half of the way to the grids beside it, on either side, and from head to head."""
    middle, top = _middle(item), item.head[1]
    ways = [_middle(one) - middle for one in items]
    before = min((-way for way in ways if way < -COLUMN), default=float("inf"))
    after = min((way for way in ways if way > COLUMN), default=float("inf"))
    start = middle - (before if before < float("inf") else after) / 2
    end = middle + (after if after < float("inf") else before) / 2
    tops = [one.head[1] for one, way in zip(items, ways, strict=True) if abs(way) <= COLUMN]
    above = min((y for y in tops if y > top + 1), default=2 * top)
    below = max((y for y in tops if y < top - 1), default=2 * top - above)
    return start, below, end, top


def _middle(item: SeenItem) -> float:
    """How far to the right the middle of its grid is; clues outside are not of it."""
    left, _, right, _ = item.grid.lattice.box if item.grid else item.box
    return (left + right) / 2


def _grid_item(page: SeenPage, grid: SeenGrid, titles: Mapping[int, str]) -> SeenItem:
    hint = page.section == TIERS[2]
    whole = grid.drawn.reach(grid.lattice)
    left, bottom, right, top = whole
    below = (grid.lattice.box[0], bottom, right, top)
    if page.section == PRIMER:
        part = frame_number(page.runs, whole)
        return SeenItem(PRIMER, page.number, None, part, whole, (left, top), "", grid)
    beside = left < grid.lattice.box[0] - 1
    band = BAND * grid.lattice.pitch if beside else 0.0
    caption = caption_above(page.runs, below, hint=hint, band=band)
    if caption is None:  # an answer to a grid of the primer has a caption without a number
        runs = page.runs if page.section == ANSWERS else ()
        run = run_above(runs, below) or run_above(runs, whole)
        start, text = ((left, run.box[3]), run.text) if run else ((left, top), "")
        return SeenItem(page.section, page.number, None, None, whole, start, text, grid)
    head = caption.run.box
    box = (min(left, head[0]), bottom, max(right, head[2]), head[3])
    others = [r for r in page.runs if r is not caption.run and _is_caption(r, titles)]
    mine = _column_text(page.runs, caption.run, others if hint else [], rows=hint)
    if hint:
        box = (box[0], min(bottom, *(r.box[1] for r in mine)), box[2], box[3])
    else:
        mine = [r for r in mine if r.y > top - 1]
    text = " ".join(r.text for r in mine)
    start = _start(caption.run)
    number, part = caption.number, caption.part
    return SeenItem(page.section, page.number, number, part, box, start, text, grid)


def _start(caption: Run) -> Point:
    """Where a caption begins: its number is as high in all of a row, whatever its title's type."""
    return caption.x0, caption.glyphs[0].y1


def _is_caption(run: Run, titles: Mapping[int, str]) -> bool:
    """Whether a run is the caption of a third hint, with the title of its puzzle."""
    found = caption_in(run, hint=True)
    return found is not None and says(beyond_number(run.text), titles.get(found.number, ""))


def _hint_items(page: SeenPage, titles: Mapping[int, str]) -> list[SeenItem]:
    """Hints without a grid: each reaches from its number and its puzzle's title to the next."""
    heads = []
    for run in page.runs:
        found = _HINT_NUMBER.match(run.text)
        if found and int(found[1]) in titles:
            line = [r.text for r in page.runs if _goes_on(r, run)]
            # the next column may begin close by
            starts = (" ".join(line[: k + 1]) for k in range(len(line)))
            if any(says(s.removeprefix(found[0]), titles[int(found[1])]) for s in starts):
                heads.append((int(found[1]), int(found[2]) if found[2] else None, run))
    return [
        _hint_item(page, Caption(*head), [other for *_, other in heads if other is not head[2]])
        for head in heads
    ]


def _goes_on(run: Run, head: Run) -> bool:
    """Whether a run stands on a head's line, in it or right behind it."""
    return abs(run.y - head.y) <= 0.5 and head.x0 <= run.x0 < head.x1 + COLUMN


def _hint_item(page: SeenPage, caption: Caption, others: Sequence[Run]) -> SeenItem:
    head = caption.run
    text = _column_text(page.runs, head, others)
    box = (head.x0, min(r.box[1] for r in text), max(r.x1 for r in text), head.box[3])
    words, start = " ".join(r.text for r in text), _start(head)
    return SeenItem(page.section, page.number, caption.number, caption.part, box, start, words)


def _column_text(
    runs: Sequence[Run], head: Run, others: Sequence[Run], *, rows: bool = False
) -> list[Run]:
    """The runs from a head down to the next one below it, as wide as the next one beside it.

    Where items stand in ``rows``, those are any of the next row, and of the same row.
    """
    below = (r.y for r in others if r.y < head.y - 0.5 and (rows or abs(r.x0 - head.x0) < ALIGNED))
    floor = max(below, default=float("-inf"))
    beside = (
        r.x0
        for r in others
        if r.x0 > head.x0 + COLUMN and (not rows or floor + 0.5 < r.y <= head.y + 0.5)
    )
    edge = min(beside, default=float("inf"))
    return [
        r
        for r in runs
        if head.x0 - ALIGNED <= r.x0 < edge - ALIGNED and floor + 0.5 < r.y <= head.y + 0.5
    ]
