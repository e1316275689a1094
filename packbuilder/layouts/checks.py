"""What single fields of a layout cannot show: boxes that overlap, type that is larger than its box.

Every check is arithmetic on the layout's own figures, for each paper that it is made for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packbuilder.layouts.fitting import CANDIDATE, grid_room, slot, text_area
from packbuilder.layouts.model import Layout
from packbuilder.layouts.papers import MM, SAFE
from packbuilder.typography.typeface import lacking
from packbuilder.yamlfields.document import Where

NARROWEST, LOWEST = 80.0, 110.0
"""Millimetres: the least text area in which pages of words still look like a book's."""

CLEAR = 1.7
"""White between what stands side by side on a line, in type sizes, that nobody reads across."""

_NARROWEST_NOTES = 11.5
"""Ems of the label's type: the least room for notes, in which `Second hint: page 100` is a line."""

_LONGEST_SECTION = 6.2
"""Ems of the section's type: the width of the longest name of a section."""

Fault = tuple[Where, str]
"""The way to a field, and what is wrong with it and how to mend it."""


def faults(layout: Layout, papers: Iterable[str]) -> list[Fault]:
    """Every fault of a layout as it is on these papers."""
    cells = list(_cells(layout))
    found = [*_lines(layout), *_type(layout), *cells, *_extras(layout)]
    for paper in papers:
        if paper in layout.margins:
            found += list(_margins(layout, paper)) or (
                [] if cells else [*_page(layout, paper), *_columns(layout, paper)]
            )
    return found


def _lines(layout: Layout) -> Iterator[Fault]:
    for field in ("border", "frame"):
        if getattr(layout.lines, field) < 3 * layout.lines.cell:
            told = f"must be at least three times lines.cell, {3 * layout.lines.cell:g} or more"
            yield ("lines", field), told


def _type(layout: Layout) -> Iterator[Fault]:
    kind, least = layout.type, layout.least
    if kind.title_least > kind.title:
        yield ("type", "title_least"), "is larger than type.title; write the same or less"
    read = dict.fromkeys(("section", "title_least", "prose", "small", "label"), "text")
    for field, of in {**read, "furniture": "furniture"}.items():
        size, bound = getattr(kind, field), getattr(least, of)
        if size < bound:
            yield ("type", field), f"is under least.{of}; write {bound:g} or more"
    room = layout.grids.caption * MM
    if caption_height(kind.title) > room:
        most = int(max(size for size in range(1, 49) if caption_height(size) <= room))
        need = _up(caption_height(kind.title) / MM)
        told = f"is more than grids.caption holds; write {most} or less, or a caption of {need}"
        yield ("type", "title"), told


def above_grid(title: float) -> float:
    """From a grid's top to the baseline of its title, in points."""
    return max(7.5, title * 0.5)


def caption_height(title: float) -> float:
    """The room that a title of that size needs above its grid, in points."""
    return above_grid(title) + 0.75 * title


def _cells(layout: Layout) -> Iterator[Fault]:
    sizes = [rule.up_to for rule in layout.cells]
    if sizes != sorted(set(sizes)):
        yield ("cells",), "must go up: give each `up_to` once, the smallest first"
    for k, rule in enumerate(layout.cells):
        where = ("cells", k, "minimum")
        if rule.minimum > rule.aim:
            yield where, "is larger than the aim; write the same or less"
        if rule.minimum * MM * layout.digit < layout.least.digits - 0.005:
            least = layout.least.digits / MM / layout.digit
            told = f"gives digits under {layout.least.digits:g} pt; write {_up(least)} or more"
            yield where, told
    for group, part, bound in (
        ("hints", CANDIDATE, layout.least.small),
        ("hints", layout.digit, layout.least.text),
        ("answers", layout.digit, layout.least.text),
    ):
        least = bound / part / MM
        if getattr(layout, group).cell < least - 0.005:
            what = "candidates" if part == CANDIDATE else "digits"
            told = f"gives {what} under {bound:g} pt; write {_up(least)} or more"
            yield (group, "cell"), told


def _extras(layout: Layout) -> Iterator[Fault]:
    cards, labels = layout.cards, layout.writing.labels
    if cards and 0 < cards.ribbon < 8:
        yield ("cards", "ribbon"), f"is {cards.ribbon:g}; write 0 for none, or 8 or more"
    for k, label in enumerate(labels):
        if lost := lacking(label):
            told = f"the type has no glyph for {lost[0]!r}; use Latin, Greek or Cyrillic letters"
            yield ("writing", "labels", k), told
        if label in labels[:k]:
            yield ("writing", "labels", k), f"{label!r} is given twice; keep one"


def _margins(layout: Layout, paper: str) -> Iterator[Fault]:
    """Too little left for the text; and the running head and the foot, in their margins."""
    width, height = (side / MM for side in text_area(layout, paper))
    where: Where = ("margins", paper)
    if width < NARROWEST:
        yield where, f"inner and outer leave less than {NARROWEST:g} mm for the text"
    if height < LOWEST:
        yield where, f"top and bottom leave less than {LOWEST:g} mm for the text"
    for side in ("top", "bottom"):
        least = SAFE + 1.2 * (layout.type.furniture + (side == "bottom")) / MM
        if getattr(layout.margins[paper], side) < least - 0.005:
            told = f"is too little for furniture of {layout.type.furniture:g} pt"
            yield (*where, side), f"{told}; write {_up(least)} or more"


def _page(layout: Layout, paper: str) -> Iterator[Fault]:
    """Grid, caption and notes against the page, at the layout's own least cells."""
    grids, room = layout.grids, grid_room(layout, paper)
    field = "notes_room" if min(room.width, room.height) <= 0 else ""
    if field:
        yield ("grids", field), f"leaves no room for grids on {paper} paper; write less"
        return
    for k, rule in enumerate(layout.cells):
        for way, have in (("across", room.width), ("down", room.height)):
            need = rule.up_to * rule.minimum
            if need > have / MM + 0.01:
                with_what = "caption and notes leave" if way == "down" else "the page leaves"
                yield (
                    ("cells", k, "minimum"),
                    f"{rule.up_to} cells need {need:.4g} mm {way}, and on {paper} paper "
                    f"{with_what} {have / MM:.4g}; write {_down(have / MM / rule.up_to)} or less, "
                    "or make room",
                )
    white = CLEAR * max(layout.type.small, layout.type.label)
    beside = grids.notes == "beside"
    parted = beside or (grids.across > 1 and not layout.cards)
    if parted and grids.gap_across * MM < white - 0.01:
        told = f"is too little between a puzzle and what stands beside it; write {_up(white / MM)}"
        yield ("grids", "gap_across"), f"{told} or more"
    wide = grids.notes_room * MM if beside else slot(layout, paper).width
    least = _NARROWEST_NOTES * layout.type.label
    if wide < least:
        told = f"give notes {wide / MM:.4g} mm on {paper} paper, and a page reference needs "
        where: Where = ("grids", "notes_room") if beside else ("grids", "across")
        yield where, f"{told}{_up(least / MM)}; make room, or write a smaller type.label"


def _columns(layout: Layout, paper: str) -> Iterator[Fault]:
    """Grids of hints and answers against the text's width; the largest type too."""
    wide, _ = text_area(layout, paper)
    for group, columns in (("hints", layout.hints), ("answers", layout.answers)):
        if 9 * columns.cell * MM > wide + 0.01:
            most = wide / MM / 9
            told = f"a 9x9 needs {9 * columns.cell:.4g} mm, and on {paper} paper the text is "
            told += f"{wide / MM:.4g} mm wide; write {_down(most)} or less, or give smaller margins"
            yield (group, "cell"), told
    if layout.type.section * _LONGEST_SECTION > wide:
        most = int(wide / _LONGEST_SECTION)
        told = f"is wider than the text on {paper} paper; write {most} or less"
        yield ("type", "section"), told


def _up(value: float) -> str:
    """To a tenth, never less."""
    return f"{-(-value * 10 // 1) / 10:g}"


def _down(value: float) -> str:
    """To a tenth, never more."""
    return f"{value * 10 // 1 / 10:g}"
