"""From a page's marks to what a reader would call things: its section, grids, captions, items."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from packbuilder.editions import PRINT, Edition
from packbuilder.readback.document import Glyph, Sheet, Stroke
from packbuilder.readback.drawn import Drawn, find
from packbuilder.readback.drawn.style import BAND, only_rules_have
from packbuilder.readback.glyphs import Filled, fill
from packbuilder.readback.sections import (
    ANSWERS,
    PRIMER,
    PUZZLES,
    TIERS,
    Run,
    caption_above,
    caption_in,
    folio_of,
    runs_of,
    says,
    section_of,
    text_above,
)
from packbuilder.readback.shapes import Box, Broken, Lattice, lattices

GRID_SECTIONS = (PUZZLES, TIERS[2], ANSWERS, PRIMER)
"""The sections in which the book's own grids stand."""
POSITIONS = (TIERS[2], PRIMER)
"""The sections whose grids may show a step, with candidates."""


ALIGNED = 3.0
"""Left edges that differ by less than this (points) are in line."""
COLUMN = 40.0
"""Another column begins at least so far to the right (points)."""


class Grid(NamedTuple):
    """A grid on a page: its lines, its digits, and the shapes of its rules."""

    lattice: Lattice
    filled: Filled
    drawn: Drawn


@dataclass(frozen=True)
class Leaf:
    """One page, read: its section, its folio, the text outside grids, and its grids."""

    sheet: Sheet
    section: str
    folio: int | None
    runs: tuple[Run, ...]
    grids: tuple[Grid, ...]
    broken: tuple[Broken, ...]

    @property
    def number(self) -> int:
        """The physical page, from 1."""
        return self.sheet.number


@dataclass(frozen=True)
class Item:
    """A thing of the book as printed: a puzzle, a hint or an answer.

    ``number`` is None where no caption names it; ``part`` is which of a puzzle's hints it is.
    ``box`` goes round caption and grid, ``head`` is its upper left corner; ``text`` is the caption
    with all text that belongs to it. ``place`` is the room down to the next item's head and across
    to the next one's: what stands there is this item's.
    """

    section: str
    page: int
    number: int | None
    part: int | None
    box: Box
    head: tuple[float, float]
    text: str
    lattice: Lattice | None = None
    filled: Filled | None = None
    drawn: Drawn | None = None
    place: Box = (0.0, 0.0, 0.0, 0.0)

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in the item's place."""
        left, bottom, right, top = self.place
        return left <= x < right and bottom < y <= top


def survey(sheet: Sheet, edition: Edition = PRINT, cornered: Collection[int] | None = None) -> Leaf:
    """Read one page of an edition.

    ``cornered`` are the numbers of the puzzles whose rules write in corners; None for any. In large
    type a candidate and such text may look alike, and only the caption tells what is meant.
    """
    found, broken = lattices(s for s in sheet.strokes if _may_be_cell_line(s))
    grids = [g for g in found if _on_paper(g.box, sheet)]
    broken += [Broken(g.box, "it reaches beyond the paper") for g in found if g not in grids]
    highest = max((g.y for g in sheet.glyphs), default=0.0)
    head = runs_of(g for g in sheet.glyphs if highest - g.y <= 0.5)
    section = section_of(sheet, head)
    answers = section == ANSWERS
    drawn = [
        find(
            g,
            sheet.drawings,
            sheet.glyphs,
            answer=answers,
            small=edition.small,
            corners=cornered is None or _may_have_corners(g, sheet, section, cornered),
        )
        for g in grids
    ]
    of_rules = frozenset[Glyph]().union(*(d.glyphs for d in drawn))
    others = [g for g in sheet.glyphs if g not in of_rules]
    inside = {
        glyph
        for lattice in grids
        for glyph in others
        if lattice.cell_at((glyph.x0 + glyph.x1) / 2, (glyph.y0 + glyph.y1) / 2) is not None
    }
    runs = runs_of(g for g in others if g not in inside)
    small = section in POSITIONS
    filled = [fill(g, others, candidates=small) for g in grids]
    whole = tuple(Grid(*parts) for parts in zip(grids, filled, drawn, strict=True))
    return Leaf(sheet, section, folio_of(runs, sheet.number), runs, whole, tuple(broken))


def _may_have_corners(
    lattice: Lattice, sheet: Sheet, section: str, cornered: Collection[int]
) -> bool:
    """Whether a grid may have text of rules in its corners, where it might show candidates."""
    if section not in POSITIONS:
        return True
    left, bottom, right, top = lattice.box
    runs = runs_of(g for g in sheet.glyphs if g.y > top and g.x0 > left - ALIGNED)
    for band in (0.0, BAND * lattice.pitch):
        found = caption_above(runs, (left, bottom, right, top + band), hint=True)
        if found:
            return found[0].number in cornered
    return False


def _may_be_cell_line(stroke: Stroke) -> bool:
    """Whether a stroke has no dashes and none of the tones that only shapes of rules have."""
    return not stroke.dashed and not only_rules_have(stroke.colour)


def _on_paper(box: Box, sheet: Sheet) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= sheet.width and box[3] <= sheet.height


def items_of(leaf: Leaf, titles: Mapping[int, str]) -> list[Item]:
    """The items on a page: its grids where grids stand; in the first tiers of hints, each puzzle's.

    ``titles`` are the book's, by number: there a number with its title is what begins an item.
    """
    items: list[Item] = []
    if leaf.section in GRID_SECTIONS:
        items = [_grid_item(leaf, grid) for grid in leaf.grids]
    elif leaf.section in TIERS:
        items = _hint_items(leaf, titles)
    # with its bands, a grid stands in line with its column; its caption is in line with the grid
    heads = [(item.box[0], item.head[1]) for item in items]
    places = [_place(head, heads) for head in heads]
    return [replace(item, place=place) for item, place in zip(items, places, strict=True)]


def _place(head: tuple[float, float], heads: Sequence[tuple[float, float]]) -> Box:
    """The room of an item among the heads of all items of its page."""
    left, top = head
    edge = min((x for x, _ in heads if x > left + COLUMN), default=float("inf"))
    floor = max((y for x, y in heads if y < top - 1 and abs(x - left) < ALIGNED), default=0.0)
    return left - ALIGNED, floor, edge - ALIGNED, top


def _grid_item(leaf: Leaf, grid: Grid) -> Item:
    hint = leaf.section == TIERS[2]
    whole = grid.drawn.reach(grid.lattice)
    left, bottom, right, top = whole
    if leaf.section == PRIMER:  # its captions begin with "Example" and no number
        text = text_above(leaf.runs, (grid.lattice.box[0], bottom, right, top))
        return Item(PRIMER, leaf.number, None, None, whole, (left, top), text, *grid)
    found = caption_above(leaf.runs, (grid.lattice.box[0], bottom, right, top), hint=hint)
    if found is None:
        return Item(leaf.section, leaf.number, None, None, whole, (left, top), "", *grid)
    caption, text = found
    head = caption.run.box
    box = (min(left, head[0]), bottom, max(right, head[2]), head[3])
    if hint:
        others = [r for r in leaf.runs if r is not caption.run and caption_in(r, hint=True)]
        mine = _column_text(leaf.runs, caption.run, others)
        text = " ".join(r.text for r in mine)
        box = (box[0], min(bottom, *(r.box[1] for r in mine)), box[2], box[3])
    return Item(
        leaf.section,
        leaf.number,
        caption.number,
        caption.part,
        box,
        (head[0], head[3]),
        text,
        *grid,
    )


def _hint_items(leaf: Leaf, titles: Mapping[int, str]) -> list[Item]:
    """Hints without a grid: each puzzle's reach from its number and title to the next."""
    heads = []
    for run in leaf.runs:
        found = re.match(r"(\d+)(?=\s|$)", run.text)
        if found and int(found[1]) in titles:
            line = " ".join(
                r.text
                for r in leaf.runs
                if abs(r.y - run.y) <= 0.5 and run.x0 <= r.x0 < run.x1 + COLUMN
            )
            if says(line.removeprefix(found[1]), titles[int(found[1])]):
                heads.append((int(found[1]), run))
    return [
        _hint_item(leaf, number, run, [other for _, other in heads if other is not run])
        for number, run in heads
    ]


def _hint_item(leaf: Leaf, number: int, head: Run, others: Sequence[Run]) -> Item:
    text = _column_text(leaf.runs, head, others)
    box = (head.x0, min(r.box[1] for r in text), max(r.x1 for r in text), head.box[3])
    words = " ".join(r.text for r in text)
    return Item(leaf.section, leaf.number, number, None, box, (head.x0, head.box[3]), words)


def _column_text(runs: Sequence[Run], head: Run, others: Sequence[Run]) -> list[Run]:
    """The runs from a head down to the next one below it, as wide as the next one beside it."""
    edge = min((r.x0 for r in others if r.x0 > head.x0 + COLUMN), default=float("inf"))
    floor = max(
        (r.y for r in others if r.y < head.y - 0.5 and abs(r.x0 - head.x0) < ALIGNED),
        default=float("-inf"),
    )
    return [
        r
        for r in runs
        if head.x0 - ALIGNED <= r.x0 < edge - ALIGNED and floor + 0.5 < r.y <= head.y + 0.5
    ]
