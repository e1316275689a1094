"""Pages to read: the foreword, how to play, and the ideas in the hints."""

from __future__ import annotations

import re
from collections.abc import Sequence

from packbuilder.book import how_to_play as told
from packbuilder.book.book import Book
from packbuilder.book.pictures import family, whole_grid
from packbuilder.grid import Geometry
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack
from packbuilder.pages.case_pictures import caption, case, pictured, usual_cell, width_of
from packbuilder.pages.draft import Draft
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.ornaments import graded
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign
from packbuilder.pages.pairs import heading, note, pair, prose
from packbuilder.pages.prose import checked
from packbuilder.plan.items import Item, Reference

_SHARE = 0.5  # of the main column: the first grid


def foreword(draft: Draft, book: Book) -> None:
    """Plan the page of theme text; nothing where the pack has none."""
    sheet, face = draft.sheet, draft.sheet.faces.prose
    source = Source("pack: foreword")
    parts = [checked(part, face, source) for part in re.split(r"\n\s*\n", book.pack.foreword)]
    parts = [part for part in parts if part]
    if not parts:
        return
    draft.begin("Foreword", checked(book.pack.theme, sheet.faces.italic, Source("pack: theme")))
    byline = checked(book.pack.byline, sheet.faces.italic, Source("pack: byline"))
    aside = 0.0 if sheet.stacked else sheet.side + sheet.gutter

    def blocks(more: float, measure: float) -> list[Block]:
        size = sheet.type.prose + more
        leading = size * (1.48 if more else LEADING)
        found: list[Block] = []
        for part in parts:
            told = paragraph(part, face, size, measure, leading=leading, quoted=True)
            found += [told, gap(size * 0.7)]
        by = paragraph(byline, sheet.faces.italic, size, measure, leading=leading, quoted=True)
        return [*found, gap(4), by]

    # as large as one page allows, on a small page over its whole width
    ways = [(2.5, aside), (1.5, aside), (0.5, aside), (0.5, 0.0), (0.0, 0.0)]
    laid = [(blocks(more, sheet.main + aside - left), left) for more, left in ways]
    fits = (one for one in laid if sum(block.height for block in one[0]) <= draft.room)
    told, offset = next(fits, laid[-1])
    draft.flow(told, offset=offset)


def how_to_play(draft: Draft, book: Book) -> None:
    """Plan what holds for all puzzles: the grids of the pack, names, grades, promises, hints."""
    draft.begin(told.TITLE, told.LEAD)
    sheet = draft.sheet
    (first, numbers), *others = told.kinds_of_grid(book)
    parts = [_first_grid(sheet, first, numbers)]
    for geometry, some in others:
        side = _heading_of(sheet, geometry, some)
        parts.append(pair(sheet, side, prose(sheet, told.difference(geometry, first))))
    rules = told.rule_entries(book, "page")
    if book.whole:  # a sampler has few pages
        for rule in rules:
            numbers_of = note(sheet, told.puzzles_told(rule.numbers, "page"))
            side = stack([heading(sheet, rule.kind.title), numbers_of])
            words = [prose(sheet, checked(one, sheet.faces.prose, HOUSE)) for one in rule.told]
            parts.append(pair(sheet, side, stack(words, breakable=True), whole=sheet.depth))
    elif rules:
        parts.append(_rules(sheet))
    parts += [_pair(sheet, "Names", told.names_wording(book).said("page")), _grades(sheet, book)]
    if promises := told.promises_words(book):
        parts.append(_pair(sheet, "Promises", " ".join(promises)))
    if told.has_hints(book):
        parts.append(_pair(sheet, "Hints", told.HINTS["page"]))
    else:
        parts += _resting(sheet, book)
    if book.edition.fields:
        parts.append(_pair(sheet, "Typing", told.TYPING))
    _flow_apart(draft, parts)


def ideas(draft: Draft, book: Book) -> None:
    """Plan the techniques of the pack's hints, easiest first, each in a sentence; nothing without.

    They stand behind the second hints, which name them.
    """
    found = told.ideas(book)
    if not found:
        return
    draft.begin(told.IDEAS, told.IDEAS_LEAD)
    sheet, blocks = draft.sheet, []
    for idea in found:
        text = prose(sheet, checked(idea.about, sheet.faces.prose, HOUSE))
        side = stack([heading(sheet, idea.name), note(sheet, f"Grade {idea.rung}")])
        blocks.append(pair(sheet, side, text))
    _flow_apart(draft, [*blocks, *_resting(sheet, book)])


def _flow_apart(draft: Draft, blocks: Sequence[Block]) -> None:
    """Put blocks under one another, as far apart as needs no more pages than the least white."""

    def spaced(share: float) -> list[Block]:
        return [part for block in blocks for part in (block, gap(8.5 * MM * share))]

    shares = (1.0, 0.8, 0.6, 0.45, 0.35)
    draft.flow(spaced(min(shares, key=lambda share: (draft.pages_for(spaced(share)), -share))))


# --- the parts of how to play ----------------------------------------------------------------


def _heading_of(sheet: PageDesign, geometry: Geometry, numbers: Sequence[int]) -> Block:
    n = geometry.size
    name = {
        "blocks": f"{n} × {n}",
        "latin": f"Latin square, {n} × {n}",
        "irregular": f"{n} × {n}, irregular regions",
    }[family(geometry)]
    return stack([heading(sheet, name), note(sheet, told.puzzles_told(numbers, "page"))])


def _first_grid(sheet: PageDesign, geometry: Geometry, numbers: Sequence[int]) -> Block:
    """The usual grid: what is to be written, and what its rows, columns and areas are, shown."""
    picture = whole_grid(geometry)
    cell = usual_cell(sheet, [picture], sheet.main * _SHARE)
    words = told.grid_wording(geometry).said("page")
    wide = width_of(sheet, picture, cell) + sheet.gutter
    narrow, apart = sheet.main - wide, gap(sheet.type.prose * 0.7)
    side = _heading_of(sheet, geometry, numbers)
    if narrow < -sheet.gutter:  # a large grid on small paper
        shown = case(sheet, picture, cell, sheet.measure)
        return stack([side, apart, prose(sheet, words, sheet.measure), apart, shown])
    if narrow < 10 * sheet.type.prose:
        main = stack([prose(sheet, words), apart, case(sheet, picture, cell, sheet.main)])
    else:
        grid, below = pictured(sheet, picture, cell), caption(sheet, picture, narrow)
        main = beside(grid, stack([prose(sheet, words, narrow), apart, below]), wide)
    return pair(sheet, side, main, whole=sheet.depth)


def _rules(sheet: PageDesign) -> Block:
    """Where the rules are told, and where they are shown."""
    size, face = sheet.type.label, sheet.faces.label
    onward = Block(
        size * 1.5,
        lambda x, top: [
            Reference(x, top - size * 1.1, f"{told.RULES}: page ", "section-the-rules", face, size)
        ],
    )
    main = stack([prose(sheet, told.RULES_TOLD["page"]), onward], breakable=True)
    return pair(sheet, heading(sheet, "Rules"), main, whole=sheet.depth)


def _grades(sheet: PageDesign, book: Book) -> Block:
    size = sheet.type.label

    def draw(x: float, top: float) -> list[Item]:
        return graded(sheet, x, top - ASCENT * size - 3, 3, size, sheet.side)

    sign = Block(size * LEADING, draw)
    side = stack([heading(sheet, "Grades"), sign])
    return pair(sheet, side, prose(sheet, told.grades_wording(book).said("page")))


def _resting(sheet: PageDesign, book: Book) -> list[Block]:
    """The techniques on the pack's paths that take a puzzle to have one solution, named as such."""
    words = told.uniqueness_words(book, "page")
    return [_pair(sheet, "Uniqueness", checked(words, sheet.faces.prose, HOUSE))] if words else []


def _pair(sheet: PageDesign, name: str, text: str) -> Block:
    return pair(sheet, heading(sheet, name), prose(sheet, text))
