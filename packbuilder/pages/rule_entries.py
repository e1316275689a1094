"""Rules on the how-to-play pages: what each means, and a small grid that keeps it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from packbuilder.book.book import Book
from packbuilder.book.examples import RuleExample, rule_example
from packbuilder.book.how_to_play import RuleTopic, puzzles_told, rule_topics
from packbuilder.grid import Values
from packbuilder.layouts.fitting import bands, text_cell
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack, text_line
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid, in_words
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.pairs import pair
from packbuilder.pages.prose import HOUSE, checked
from packbuilder.plan.items import Figure, Fills, Item, Rings, Tag
from packbuilder.typography.typeface import face_for

_CELL = 7 * MM


def rule_entries(sheet: PageDesign, book: Book) -> list[Block]:
    """An entry for each rule of the pack, in order of first appearance, with one example each.

    A rule that is worded differently for some puzzles has an entry for each wording.
    """
    topics = rule_topics(book, "page")
    secret = {entry.solution for entry in book.entries}
    blocks: list[Block] = []
    shown: set[str] = set()
    examples = {
        slug: _without(secret, rule_example(slug)) for slug in {one.kind.slug for one in topics}
    }
    least = max((_least(sheet, example) for example in examples.values()), default=0.0)
    head = title(sheet, "Rules beyond rows, columns and blocks")
    for topic in topics:
        slug, room = topic.kind.slug, sheet.depth - (0 if blocks else head.height)
        example = None if slug in shown or book.whole else examples[slug]
        blocks.append(_entry(sheet, topic, example, least, room))
        shown.add(slug)
    if blocks:
        pieces = blocks[0].lines
        blocks[0] = stack([head, *(pieces or blocks[:1])], breakable=bool(pieces))
    return blocks


def _without(secret: Collection[Values], example: RuleExample) -> RuleExample:
    """The example, but with no more than a few digits where it would give an answer away."""
    if example.solution not in secret:
        return example
    shown = (
        digit if clue or cell in (*example.shaded, example.centre) else 0
        for cell, (clue, digit) in enumerate(zip(example.clues, example.solution, strict=True))
    )
    return replace(example, solution=tuple(shown))


def _entry(
    sheet: PageDesign, topic: RuleTopic, example: RuleExample | None, least: float, room: float
) -> Block:
    """One rule. In one column all examples have cells of one size, of ``least`` or more.

    There it is not broken where ``room``, a height, holds it.
    """
    numbers = note(sheet, puzzles_told(topic.numbers, "page"))
    side = [heading(sheet, topic.kind.title, "H3"), numbers]
    main = [_checked(sheet, topic.wording.said("page"))]
    if example:
        drawn, wide = _drawn(sheet, example, least if sheet.stacked else _least(sheet, example))
        for words in example.said_with(topic.wording):
            main += [gap(5), _checked(sheet, words)]
        # small paper has no room for outside clues in its side column
        aside = not sheet.stacked and wide <= sheet.side + sheet.gutter / 2
        (side if aside else main).extend([gap(5), drawn])
    return pair(sheet, stack(side), stack(main, breakable=True), whole=room)


def _checked(sheet: PageDesign, words: str) -> Block:
    return prose(sheet, checked(words, sheet.faces.prose, HOUSE))


def _least(sheet: PageDesign, example: RuleExample) -> float:
    """The least cells in which the text of an example can be read."""
    text = sheet.least.text
    return max(text / sheet.layout.digit, text_cell(example.shapes, text, sheet.least.small))


def _drawn(sheet: PageDesign, example: RuleExample, least: float) -> tuple[Block, float]:
    """The example's grid with its caption, and its width."""
    size, shapes = example.geometry.size, example.shapes
    room = bands(shapes, size)
    cell = max(min(_CELL * sheet.scale, sheet.side / (size + room.across)), least)
    face, label = sheet.faces.label, sheet.type.label
    told = "Example, solved" if 0 not in example.solution else "Example"

    def draw(x: float, top: float) -> list[Item]:
        x += room.left * cell
        items = text_line(told, face, label, label, "quiet").draw(x, top)
        place = GridPlace(x, top - label * 1.35 - room.top * cell, cell, size)
        if example.shaded:
            shade = tuple(place.box(k) for k in example.shaded)
            items.append(Fills(shade, "shade"))
        rings = [] if example.centre is None else [_ring(place, example.centre)]
        digits = example.clues, example.solution
        drawn = grid(sheet, example.geometry, place, *digits, shapes, rings=rings)
        tag = Tag("Figure", alt=in_words(example.solution, size))
        return [*items, Figure(tag, tuple(drawn))]

    return Block(label * 1.35 + (size + room.down) * cell, draw), (size + room.across) * cell


def _ring(place: GridPlace, cell: int) -> Item:
    """A ring round a cell, clear of its lines."""
    inset = 0.08 * place.cell
    left, bottom, right, top = place.box(cell)
    box = (left + inset, bottom + inset, right - inset, top - inset)
    return Rings(place.scaled(0.06, 1.0), 0.1 * place.cell, (box,))


# --- what all reading pages are set in -------------------------------------------------------


def title(sheet: PageDesign, text: str) -> Block:
    """The title of a part of the page."""
    size = sheet.type.prose + 6
    words = paragraph(text, sheet.faces.title, size, sheet.measure, leading=size * 1.22, role="H2")
    return stack([words, gap(size * 0.6)])


def heading(sheet: PageDesign, text: str, role: str = "H2") -> Block:
    """A heading in the side column: of a part, or (``H3``) of something under a part's title."""
    return paragraph(text, sheet.faces.strong, sheet.type.prose, sheet.side, role=role)


def note(sheet: PageDesign, text: str) -> Block:
    """A quiet line below a heading."""
    return paragraph(text, sheet.faces.label, sheet.type.label, sheet.side, "quiet")


def prose(sheet: PageDesign, text: str) -> Block:
    """A paragraph in the main column."""
    face = face_for(text, sheet.faces.prose)
    return paragraph(text, face, sheet.type.prose, sheet.main)
