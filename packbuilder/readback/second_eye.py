"""The second eye: each page's ink, held against what the book says must be seen there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.book import Book, Entry
from packbuilder.ladder.hints import Hint
from packbuilder.readback import ink_checks, page_checks
from packbuilder.readback.document import Glyph
from packbuilder.readback.ink import dpi_for
from packbuilder.readback.match import due, findings_of, values_due
from packbuilder.readback.report import Fault, Finding
from packbuilder.readback.sections import TIERS, Run
from packbuilder.readback.survey import Item, Leaf
from packbuilder.readback.typefaces import ink_of
from packbuilder.readback.view import Line, Pixels, View, ground, inked, rim_ink, without


def check_ink(
    pixels: Pixels, leaves: Sequence[Leaf], items: Sequence[Item], book: Book
) -> Iterator[Finding]:
    """Draw each page, and look at its text, its rim and every cell of its grids."""
    for leaf in leaves[: pixels.count]:
        digits = [d for g in leaf.grids for d in (*g.filled.digits, *g.filled.candidates)]
        view = pixels.view(leaf.number, dpi_for(d.glyph.size for d in digits if d.glyph.size >= 4))
        yield from _page_ink(view, leaf)
        hints = leaf.section == TIERS[2]
        bared = without(view, _step_marks(leaf), ()) if hints else view
        for item in items:
            match = due(book, item) if item.page == leaf.number else None
            if match and item.lattice and item.lattice.size == match[0].puzzle.size:
                yield from findings_of(item, match[0], _ink_faults(view, bared, item, *match))


def _step_marks(leaf: Leaf) -> list[Line]:
    """The rings, strokes and links that a hint's grid carries over its digits."""
    return [
        ((*track.points, *track.points[: track.closed]), drawing.pen.width)
        for grid in leaf.grids
        for drawing in grid.drawn.others
        if drawing.pen and not drawing.filled
        for track in drawing.tracks
    ]


def _page_ink(view: View, leaf: Leaf) -> Iterator[Finding]:
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
    yield from page_checks.check_contrast(leaf.sheet, grounds)


def _not_inked(view: View, run: Run) -> list[Glyph]:
    """The characters of a run that leave no ink."""
    glyphs = [g for g in run.glyphs if g.text.strip()]
    boxes = [ink_of(g) for g in glyphs]
    left, bottom, right, top = zip(*boxes, strict=True)
    whole = (min(left), min(bottom), max(right), max(top))
    there = inked(view, whole, list(zip(left, right, strict=True)))
    return [g for g, seen in zip(glyphs, there, strict=True) if not seen]


def _ink_faults(
    view: View, bared: View, item: Item, entry: Entry, hint: Hint | None
) -> Iterator[Fault]:
    """What the ink of one grid says; ``bared`` is its page without a hint's rings and strokes."""
    lattice, filled, clues = item.lattice, item.filled, entry.puzzle.clues
    assert lattice is not None
    assert filled is not None
    wanted = values_due(item, entry, hint)
    noted = {cell for cell, _ in hint.shown} if hint else set()
    wanted_ink = ink_checks.wants(filled, wanted, clues, lattice.pitch)
    empty = [c for c, v in enumerate(wanted) if not v and c not in noted]
    yield from ink_checks.check_digit_ink(bared, lattice, wanted_ink, empty)
    yield from ink_checks.check_line_ink(view, lattice, exact=hint is None)
    if hint:
        yield from ink_checks.check_candidate_ink(
            bared, lattice, filled.candidates, hint.shown, hint.struck
        )
