"""The second eye: each page's ink, held against what the book says must be seen there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import NamedTuple

from packbuilder.book.book import Book, Entry
from packbuilder.ladder.hints import Hint
from packbuilder.readback import ink_checks, page_checks, rule_ink
from packbuilder.readback.document import Glyph
from packbuilder.readback.ground import Ground, alone, lifted, paint
from packbuilder.readback.ink import dpi_for
from packbuilder.readback.match import due, findings_of, values_due
from packbuilder.readback.report import Fault, Finding
from packbuilder.readback.rule_ink import text_boxes
from packbuilder.readback.sections import Run
from packbuilder.readback.shading import stripes
from packbuilder.readback.shapes import Box
from packbuilder.readback.survey import POSITIONS, Grid, Item, Leaf
from packbuilder.readback.typefaces import ink_of
from packbuilder.readback.view import (
    Line,
    Pixels,
    View,
    cell_boxes,
    differ,
    ground,
    inked,
    rim_ink,
    without,
)
from packbuilder.rules.shapes import Edge


def check_ink(
    pixels: Pixels, leaves: Sequence[Leaf], items: Sequence[Item], book: Book
) -> Iterator[Finding]:
    """Draw each page, and look at its text, its rim and every cell of its grids."""
    for leaf in leaves[: pixels.count]:
        view = pixels.view(leaf.number, dpi_for(_sizes(leaf)))
        yield from _page_ink(view, leaf, dark=book.edition.dark)
        steps = []
        if leaf.section in POSITIONS:
            steps = _step_marks(leaf)
            view = lifted(view, _stripes(view, leaf))
        grounds = [_ground(view, grid) for grid in leaf.grids]
        clear = lifted(view, [g for g in grounds if g])
        texts = [box for grid in leaf.grids for box in text_boxes(view, grid.drawn)]
        layers = _Layers(
            view,
            without(view, steps, ()) if steps else view,
            (clear, without(clear, steps, ())) if steps else (clear,),
            without(clear, steps, texts) if steps or texts else clear,
        )
        for item in items:
            match = due(book, item) if item.page == leaf.number else None
            if match and item.lattice and item.lattice.size == match[0].puzzle.size:
                ground = next(
                    g for g, grid in zip(grounds, leaf.grids, strict=True)
                    if grid.lattice is item.lattice
                )  # fmt: skip
                yield from findings_of(item, match[0], _ink_faults(layers, ground, item, *match))


class _Layers(NamedTuple):
    """A page as it is; without what hints draw over their grids; without the shapes of rules, with
    and without what hints draw; and without all that and the text of rules."""

    whole: View
    stepless: View
    textual: tuple[View, ...]
    bared: View


def _sizes(leaf: Leaf) -> list[float]:
    """The sizes of the characters that are looked at one by one."""
    sizes = []
    for grid in leaf.grids:
        sizes += [d.glyph.size for d in (*grid.filled.digits, *grid.filled.candidates)]
        sizes += [g.size for g in grid.drawn.glyphs]
    return [size for size in sizes if size >= 4]


def _ground(view: View, grid: Grid) -> Ground | None:
    """The ground that the shapes of a grid's rules make; None where nothing is drawn."""
    drawn, lattice = grid.drawn, grid.lattice
    return paint(view, drawn.painted, drawn.reach(lattice)) if drawn.painted else None


def _step_marks(leaf: Leaf) -> list[Line]:
    """The rings, strokes and links that a hint's grid carries over its digits."""
    return [
        ((*track.points, *track.points[: track.closed]), drawing.pen.width)
        for grid in leaf.grids
        for drawing in grid.drawn.others
        if drawing.pen and not drawing.filled
        for track in drawing.tracks
    ]


def _stripes(view: View, leaf: Leaf) -> Iterator[Ground]:
    """The stripes of hints' cells. Where rules draw in a grid, they are part of its ground."""
    for grid in leaf.grids:
        if not grid.drawn.painted:
            for cell, bands in stripes(grid.lattice, grid.drawn.others).items():
                (box,) = cell_boxes(grid.lattice, [cell], 0.0)
                yield paint(view, bands, box)


def _page_ink(view: View, leaf: Leaf, *, dark: bool) -> Iterator[Finding]:
    """All text of a page is inked and stands out, and the rim of the paper is bare."""
    number = leaf.number
    for x, y in rim_ink(view, page_checks.SAFE - 1):
        yield Finding(
            "margin",
            f"there is ink at {x:.0f}, {y:.0f} points, within 10 mm of the paper's edge",
            number,
        )
    gone = [glyph for run in leaf.runs for glyph in _not_inked(view, run)]
    if gone:
        yield Finding(
            "hidden-text",
            f"{len(gone)} characters are in the file and not in the ink, the first "
            f"({gone[0].text!r}) at {gone[0].x:.0f}, {gone[0].y:.0f} points",
            number,
        )
    grounds = [(run, ground(view, run.box)) for run in leaf.runs]
    yield from page_checks.check_contrast(leaf.sheet, grounds, dark=dark)


def _not_inked(view: View, run: Run) -> list[Glyph]:
    """The characters of a run that leave no ink."""
    glyphs = [g for g in run.glyphs if g.text.strip()]
    boxes = [ink_of(g) for g in glyphs]
    left, bottom, right, top = zip(*boxes, strict=True)
    whole = (min(left), min(bottom), max(right), max(top))
    there = inked(view, whole, list(zip(left, right, strict=True)))
    return [g for g, seen in zip(glyphs, there, strict=True) if not seen]


def _grown(box: Box, more: float) -> Box:
    return box[0] - more, box[1] - more, box[2] + more, box[3] + more


def _ink_faults(
    layers: _Layers, ground: Ground | None, item: Item, entry: Entry, hint: Hint | None
) -> Iterator[Fault]:
    """What the ink of one grid says."""
    lattice, filled, drawn, clues = item.lattice, item.filled, item.drawn, entry.puzzle.clues
    assert lattice is not None
    assert filled is not None
    assert drawn is not None
    wanted = values_due(item, entry, hint)
    noted = {cell for cell, values in hint.shown if values} if hint else set()
    wanted_ink = ink_checks.wants(filled, wanted, clues, lattice.pitch)
    empty = [c for c, v in enumerate(wanted) if not v and c not in noted]
    marked = {seen.shape.cells for seen in drawn.seen if isinstance(seen.shape, Edge)}
    crossed = partial(differ, layers.whole, layers.bared)
    yield from ink_checks.check_digit_ink(layers.bared, lattice, wanted_ink, empty, crossed)
    under = alone(layers.whole, ground) if ground else None
    yield from ink_checks.check_line_ink(layers.whole, lattice, under, marked, exact=hint is None)
    over = partial(differ, layers.whole, layers.stepless)
    yield from rule_ink.check_text(layers.textual, lattice, drawn, over)
    if ground:
        more = 1 / layers.whole.x  # large candidates reach into the white of marks
        digits = [_grown(ink_of(d.glyph), more) for d in filled.candidates]
        bared = without(layers.stepless, (), digits) if digits else layers.stepless
        yield from rule_ink.check_shapes(layers.whole, bared, lattice, drawn, ground)
    if hint:
        yield from ink_checks.check_candidate_ink(
            layers.bared, lattice, filled.candidates, hint.shown, hint.struck, crossed
        )
