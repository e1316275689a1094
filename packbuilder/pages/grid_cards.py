"""Cards of new grids, to choose from by eye: each grid small, with what is known of it.

None of this goes to print in a pack: it is the setter's own sheet, by the same press.
"""

from __future__ import annotations

from dataclasses import replace

from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import small, technique_names
from packbuilder.layouts.fitting import bands
from packbuilder.layouts.loading import load
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import rule_line, shapes_of, summary
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid
from packbuilder.pages.ornaments import STRIP, graded, picture, strip
from packbuilder.pages.page_design import PageDesign, left_text
from packbuilder.pages.prose import break_lines, cut, tidy
from packbuilder.plan.inks import inks
from packbuilder.plan.items import Item, Plan, Strokes, Table, Tag

LAYOUT, PAPER = "four-up", "a4"
ACROSS, DOWN = 2, 3
_GAP = 9 * MM
_FACTS = 26 * MM
_PICTURE = 19 * MM
_LEAD = (
    "The strip under a grid has a bar for each step of its path: the lower, the fewer ways on "
    "there are; a black one is a step with one way only."
)


def plan_cards(book: Book, loads: tuple[str, ...]) -> Plan:
    """A plan with a card for each entry; ``loads`` says of each how it is solved without notes."""
    sheet = PageDesign(load(LAYOUT), PAPER)
    draft = Draft(sheet, book.pack)
    draft.begin("New grids", _LEAD)
    names = technique_names(book.pack)
    room = sheet.depth - 30 * MM
    cards = [
        _card(sheet, entry, told, names, room / DOWN)
        for entry, told in zip(book.entries, loads, strict=True)
    ]
    draft.rows(cards, ACROSS, (_GAP, 6 * MM))
    greys = sheet.greys
    return Plan(
        width=sheet.width,
        height=sheet.height,
        pages=tuple(replace(page, stamp=None) for page in draft.pages()),  # nobody's copy
        bookmarks=tuple(draft.bookmarks),
        edition=book.edition,
        inks=inks(greys.quiet, greys.rule, greys.shade),
        creep=0.0,
        title=tidy(book.pack.title),
        author=tidy(book.pack.byline),
        subject="New grids to choose from",
        keywords=("number-placement puzzles",),
        dated=(2000, 1),
    )


def _card(
    sheet: PageDesign, entry: Entry, load_told: str, names: dict[str, str], height: float
) -> Block:
    puzzle, label = entry.puzzle, sheet.type.label
    wide = (sheet.measure - (ACROSS - 1) * _GAP) / ACROSS
    shapes = shapes_of(puzzle)
    room = bands(shapes, puzzle.size)
    head, foot = label * 2.1, STRIP + 4
    side = min(wide - _FACTS - 4 * MM, height - head - foot)
    cell = side / (puzzle.size + max(room.left + room.right, room.top + room.down))
    facts = [f"Clues {sum(map(bool, puzzle.clues))}", f"Effort {entry.effort:.0f}", load_told]
    facts += [
        f"{count} × {small(names.get(slug, slug))}" if count > 1 else small(names.get(slug, slug))
        for slug, count in entry.techniques[::-1][:4]
    ]
    face, name = sheet.faces.label, tidy(puzzle.title)
    rules = rule_line(puzzle)

    def draw(x: float, top: float) -> list[Item]:
        y = top - label
        title = cut(name, sheet.faces.strong, label + 1, wide * 0.55)
        items: list[Item] = [
            Strokes(0.5, ((x, top + 3, x + wide, top + 3),), "rule"),
            left_text(x, y, title, sheet.faces.strong, label + 1, tag=Tag("H2"), quoted=True),
            *graded(sheet, x + wide * 0.58, y, entry.grade, label),
        ]
        left, up = x + room.left * cell, top - head - room.top * cell
        place = GridPlace(left, up, cell, puzzle.size)
        drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes)
        items.append(Table(puzzle.size, summary(entry, "Grid", whole=True), tuple(drawn)))
        bottom = up - (puzzle.size + room.down) * cell
        if entry.ways:
            items += strip(entry.ways, left, bottom - 4, puzzle.size * cell)
        start, line = x + wide - _FACTS, top - head - label * 0.8
        for told in [*facts, *([rules] if rules else [])]:
            for part in break_lines(told, face, label, _FACTS):
                items.append(left_text(start, line, part, face, label, tag=Tag("P")))
                line -= label * 1.3
        items += picture(puzzle.clues, puzzle.size, start, min(bottom, line - _PICTURE), _PICTURE)
        return items

    return Block(head + side + foot, draw)
