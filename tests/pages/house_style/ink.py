"""Ink: how large type is, how heavy lines are, how far all of it stands out from its ground."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packbuilder.plan.items import Glyphs, Item, Plan, Text, Trace
from tests.conftest import ROOT
from tests.pages.house_style.measuring import Mark, Printed, Told, flat

USUAL, LARGE = (9.0, 7.0, 5.0, 9.0), (18.0, 18.0, 18.0, 28.0)
"""Points: text, heads and feet, text in grids and round them, digits of puzzles. 18 is the least of
large print (American Council of the Blind; American Printing House); 9 is what small books are set
in, 7 a footer, 5 a digit that is one of nine in a cell (common practice, no source)."""

TEXT, SHAPE = 7.0, 3.0
"""WCAG 2.2: 1.4.6 for text, more than the 4.5 of 1.4.3; 1.4.11 for lines that carry meaning."""

GROUNDS = {"ink": ("paper", "shade", "fill"), "quiet": ("paper",), "paper": ("ink",)}
"""On what letters stand; quiet ones in no grid, white ones on tiles and discs."""

PAGE = (ROOT / "packbuilder" / "pages" / "house-style.md").read_text(encoding="utf-8")

DRAWN = {
    "Strokes 2.2 ink": "Primer",  # on the first page of any section, and of any lesson
    "Strokes 0.5 quiet": "",  # on screens
    "Strokes 0.5 rule": "Contents Puzzles The full pack",
    "Strokes 1.2 ink": "Puzzles The rules",
    "Strokes 0.4 ink": "Puzzles",
    "Strokes 0.4 rule": "Puzzles",
    "Strokes 0.9 ink": "Puzzles",
    "Trace 0.9 ink": "Puzzles",
    "Trace 0.4 ink": "Puzzles",
    "Trace None ink": "Puzzles",
    "Fills None ink": "Puzzles Notes Answers",
    "Fills None paper": "Puzzles",
    "Fills None rule": "Answers",
    "Disc None ink": "Primer",
    "Lozenges None ink": "Contents How to play Primer Puzzles The full pack Back cover",
    "Lozenges 0.6 ink": "Puzzles",
    "Lozenges 0.5 ink": "Contents How to play Primer Puzzles The full pack Back cover",
}
"""What is drawn outside grids and pictures, by weight and ink, and the sections that have it."""


def type_is_large_enough(p: Printed) -> Told:
    """Every letter has the size that its edition promises, at the foot of a card that of feet;
    clues outside a grid have 9 points, or 8 beside an arrow."""
    text, furniture, small, digits = LARGE if p.plan.edition.name == "large-print" else USUAL
    for look in p.looks:
        rims = (*look.head, *look.foot, *look.card_feet)
        rims = () if look.section in ("Cover", "Back cover") else rims
        sizes = [(mark, furniture if mark in rims else text) for mark in look.lines]
        for grid in look.grids:
            arrows = any(isinstance(mark.item, Trace) for mark in grid.outside)
            sizes += [(m, max(small, 8 if arrows else 9)) for m in grid.outside if m.text]
            of_digits = digits if look.section == "Puzzles" else text
            sizes += [(m, of_digits if m.cell in grid.digits else small) for m in grid.inner]
        for mark in (mark for _, marks in look.cases for mark in marks if mark.text):
            sizes.append((mark, text if isinstance(mark.item, Glyphs) else max(small, 7.0)))
        for mark, least in sizes:
            if mark.item.size < least - 0.01:
                yield f"page {look.folio}: {mark.text!r} in {mark.item.size:.2f} points"


def lines_are_heavy_enough(p: Printed) -> Told:
    """No line is thinner than prints, .25 points (filecheck.io); the borders of blocks and regions,
    and the frame, are three times as heavy as lines between cells (house style)."""
    for look in p.looks:
        for item in flat(look.page.items):
            width = getattr(item, "width", None)
            if width is not None and width < 0.25:
                yield f"page {look.folio}: a line of {width:.2f} points"
        for grid in look.grids:
            between, *borders = (line.width for line in grid.lines)
            if min(borders) < 3 * between - 1e-6:
                yield f"page {look.folio}: borders of {min(borders):.2f} points"


def all_stands_out(p: Printed) -> Told:
    """Letters stand out from paper and from each area that they may stand on, lines from paper; in
    grids all letters are black, or white on black, or the other way round; but clues outside the
    grids of answers are quiet."""
    inks = {pair for look in p.looks for item in flat(look.page.items) for pair in _inks(item)}
    for ink in {ink for kind, ink in inks if kind == "letters"}:
        for ground in GROUNDS.get(ink, ()) or ("an unknown ink",):
            if contrast(p.plan, ink, ground) < TEXT:
                yield f"{ink} on {ground}: {contrast(p.plan, ink, ground):.2f}"
    for ink in {ink for kind, ink in inks if kind == "lines"} - {"fill", "paper"}:  # insides
        if contrast(p.plan, ink, "paper") < SHAPE:
            yield f"{ink} on paper: {contrast(p.plan, ink, 'paper'):.2f}"
    for look in p.looks:
        outside = {id(m) for g in look.grids for m in g.outside if look.section == "Answers"}
        letters = [m for g in look.grids for m in g.marks if m.text]
        strange = {m.item.ink for m in letters if id(m) not in outside} - {"ink", "paper"}
        if strange | {m.item.ink for m in letters if id(m) in outside} - {"quiet"}:
            yield f"page {look.folio}: letters of a grid in {strange or 'another ink'}"


def inks_are_those_that_are_told(p: Printed) -> Told:
    """The greys and contrasts in the table of ``house-style.md``, by the formula of WCAG 2.2; large
    print has some of its own."""
    rows = re.findall(r"^\| `([a-z ]+)` \|.*\| (\S+), (\S+) \| (\S+), (\S+) \|$", PAGE, re.M)
    if {name for name, *_ in rows} != set(p.plan.inks):
        yield f"the table has {[name for name, *_ in rows]}"
    for ink, *values in rows:
        grey, ratio = (float(v) for v in (values[2:] if p.plan.edition.dark else values[:2]))
        own = p.plan.edition.name == "large-print" and ink in ("quiet", "rule", "shade")
        if not own and abs(p.plan.inks[ink] - grey) > 0.0051:
            yield f"{ink} is {p.plan.inks[ink]:.3f}"
        if not own and abs(contrast(p.plan, ink, "paper") - ratio) > 0.051:
            yield f"{ink} has {contrast(p.plan, ink, 'paper'):.2f} on paper"


def nothing_else_is_drawn(p: Printed) -> Told:
    """Outside grids and pictures stand rules, thin rules, cards, strips and pips only."""
    begun: set[str] = set()
    for look in p.looks:
        for mark in look.loose:
            how, first = _drawn(mark), look.section not in begun
            may = look.section in DRAWN.get(how, "")
            may = may or (first and how == "Strokes 2.2 ink")
            may = p.plan.edition.fields if how == "Strokes 0.5 quiet" else may
            if not mark.text and not may:
                yield f"page {look.folio}: {mark.item}"
        begun.add(look.section)


def _drawn(mark: Mark) -> str:
    item = mark.item
    return f"{type(item).__name__} {getattr(item, 'width', None)} {getattr(item, 'ink', 'ink')}"


def _inks(item: Item) -> Iterator[tuple[str, str]]:
    """What a part of an item is, letters or lines, and its ink."""
    if isinstance(item, Text | Glyphs):
        yield "letters", item.ink
    elif getattr(item, "width", None) is not None:
        yield "lines", getattr(item, "ink", "ink")


def contrast(plan: Plan, one: str, other: str) -> float:
    """The contrast ratio of two inks, by its definition in WCAG 2.2; 0 for a strange one."""
    if not {one, other} <= plan.inks.keys():
        return 0.0
    a, b = sorted(_luminance(plan.inks[ink]) for ink in (one, other))  # type: ignore[index]
    return (b + 0.05) / (a + 0.05)


def _luminance(grey: float) -> float:
    """Relative luminance of a grey (WCAG 2.2, its definition, for red, green and blue alike)."""
    return grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4
