"""Pages to read: the foreword, and how to play, with worked examples and a glossary."""

from __future__ import annotations

import re
from collections.abc import Sequence

from packbuilder.book import how_to_play as told
from packbuilder.book.book import Book
from packbuilder.book.examples import GRID_EXAMPLES, GridExample, family
from packbuilder.grid import Geometry
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack, text_line
from packbuilder.pages.draft import Draft
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid as grid_items
from packbuilder.pages.grids import in_words
from packbuilder.pages.ornaments import graded
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign
from packbuilder.pages.pairs import pair
from packbuilder.pages.prose import HOUSE, Source, checked
from packbuilder.pages.rule_entries import heading, note, prose, rule_entries, title
from packbuilder.plan.items import Figure, Fills, Item, Tag


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
    for more in (2.5, 1.5, 0.5):  # as large as one page allows
        size = sheet.type.prose + more
        blocks: list[Block] = []
        for part in parts:
            blocks += [
                paragraph(part, face, size, sheet.main, leading=size * 1.48, quoted=True),
                gap(size * 0.7),
            ]
        blocks += [gap(4), text_line(byline, sheet.faces.italic, size, size * 1.48, quoted=True)]
        if sum(block.height for block in blocks) <= draft.room:
            break
    draft.flow(blocks, offset=0.0 if sheet.stacked else sheet.side + sheet.gutter)


def how_to_play(draft: Draft, book: Book) -> None:
    """Plan the rules of every kind of grid in the pack, and the words that its hints use."""
    draft.begin(told.TITLE, told.LEAD)
    sheet = draft.sheet
    parts: list[Block] = []
    shown: set[str] = set()
    for geometry, numbers in told.kinds_of_grid(book):
        parts.append(_rules(sheet, geometry, numbers, family(geometry) not in shown))
        shown.add(family(geometry))
    parts += rule_entries(sheet, book)
    parts += [_pair(sheet, "Names", told.names_wording(book).said("page")), _grades(sheet, book)]
    if promises := told.promises_words(book):
        parts.append(_pair(sheet, "Promises", " ".join(promises)))
    if told.has_hints(book):
        parts.append(_pair(sheet, "Hints", told.HINTS["page"]))
    if book.edition.fields:
        parts.append(_pair(sheet, "Typing", told.TYPING))
    words = [*_glossary(sheet, book), *_resting(sheet, book)]

    def spaced(share: float) -> list[Block]:
        white = 4 * MM * share
        return [
            *_apart(parts, 8.5 * MM * share),
            gap(white),
            *_apart(_two_first(sheet, words, white), white),
        ]

    # The widest spacing that needs no more pages than the closest.
    shares = (1.0, 0.8, 0.6, 0.45)
    draft.flow(spaced(min(shares, key=lambda share: (draft.pages_for(spaced(share)), -share))))


# --- the parts of how to play ----------------------------------------------------------------


def _rules(
    sheet: PageDesign, geometry: Geometry, numbers: Sequence[int], with_example: bool
) -> Block:
    n, kind = geometry.size, family(geometry)
    names = {
        "blocks": f"{n} × {n}",
        "latin": f"Latin square, {n} × {n}",
        "irregular": f"{n} × {n}, irregular regions",
    }
    side = [heading(sheet, names[kind]), note(sheet, told.puzzles_told(numbers, "page"))]
    main = [prose(sheet, told.grid_wording(geometry).said("page"))]
    if with_example:
        side += [gap(5), _example(sheet, GRID_EXAMPLES[kind])]
        main += [gap(5), prose(sheet, GRID_EXAMPLES[kind].why)]
    return pair(sheet, stack(side), stack(main, breakable=True), whole=sheet.depth)


def _example(sheet: PageDesign, example: GridExample) -> Block:
    size, least = example.geometry.size, sheet.least.text / sheet.layout.digit
    cell = max(7 * MM * sheet.scale, least)
    face, label = sheet.faces.label, sheet.type.label

    def draw(x: float, top: float) -> list[Item]:
        items = text_line("Example", face, label, label, "quiet").draw(x, top)
        place = GridPlace(x, top - label * 1.35, cell, size)
        items.append(Fills((place.box(example.cell),), "shade"))
        written = list(example.clues)
        written[example.cell] = example.digit
        drawn = grid_items(sheet, example.geometry, place, example.clues, tuple(written))
        tag = Tag("Figure", alt=in_words(tuple(written), size))
        return [*items, Figure(tag, tuple(drawn))]

    return Block(label * (1.6 if sheet.stacked else 1.35) + size * cell, draw)


def _grades(sheet: PageDesign, book: Book) -> Block:
    size = sheet.type.label
    sign = Block(size * LEADING, lambda x, top: graded(sheet, x, top - ASCENT * size - 3, 3, size))
    side = stack([heading(sheet, "Grades"), sign])
    return pair(sheet, side, prose(sheet, told.grades_wording(book).said("page")))


def _two_first(sheet: PageDesign, blocks: list[Block], white: float) -> list[Block]:
    """The first two as one, so that a title is not left at a page's foot with one entry."""
    together = stack([*_apart(blocks[:1], white), *blocks[1:2]])
    return [together, *blocks[2:]] if blocks and together.height <= 0.6 * sheet.depth else blocks


def _apart(blocks: list[Block], white: float) -> list[Block]:
    return [part for block in blocks for part in (block, gap(white))]


def _glossary(sheet: PageDesign, book: Book) -> list[Block]:
    """The techniques of the pack's hints, easiest first, each in a sentence."""
    blocks: list[Block] = []
    for idea in told.ideas(book):
        text = prose(sheet, checked(idea.about, sheet.faces.prose, HOUSE))
        side = stack([heading(sheet, idea.name, "H3"), note(sheet, f"Grade {idea.rung}")])
        blocks.append(pair(sheet, side, text))
    if blocks:
        blocks[0] = stack([title(sheet, "Ideas in the hints"), blocks[0]])
    return blocks


def _resting(sheet: PageDesign, book: Book) -> list[Block]:
    """The techniques on the pack's paths that take a puzzle to have one solution, named as such."""
    words = told.uniqueness_words(book, "page")
    return [_pair(sheet, "Uniqueness", checked(words, sheet.faces.prose, HOUSE))] if words else []


def _pair(sheet: PageDesign, name: str, text: str) -> Block:
    return pair(sheet, heading(sheet, name), prose(sheet, text))
