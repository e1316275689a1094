"""Leaflets: single sheets in the press's look, besides the book: errata, proof sheets, charts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from packbuilder.book.book import Entry
from packbuilder.layouts.fitting import bands
from packbuilder.layouts.loading import load
from packbuilder.pages.blocks import Block
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.plan import bound
from packbuilder.pages.prose import tidy
from packbuilder.plan.items import Item, Plan, Table
from packbuilder.puzzle import Pack

LAYOUT = "one-up"


def leaflet(pack: Pack, title: str, draw: Callable[[Draft], None]) -> Plan:
    """What ``draw`` sets, on the pack's paper. Raises InputError for what cannot be set."""
    draft = Draft(PageDesign(load(LAYOUT), pack.paper), pack)
    draw(draft)
    plan = bound(draft, title, tidy(pack.title), ())
    pages = tuple(replace(page, stamp=None) for page in plan.pages)
    return replace(plan, pages=pages, stamp=None)


def puzzle_grid(sheet: PageDesign, entry: Entry, measure: float, most: float) -> Block:
    """A puzzle's grid with its clues and rules, in cells of at most ``most``."""
    puzzle = entry.puzzle
    shapes = shapes_of(puzzle)
    room = bands(shapes, puzzle.size)
    cell = min(most, measure / (puzzle.size + room.across))

    def draw(x: float, top: float) -> list[Item]:
        place = GridPlace(x + room.left * cell, top - room.top * cell, cell, puzzle.size)
        drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes,
                     letters=entry.lettered)  # fmt: skip
        return [Table(puzzle.size, summary(entry, "Puzzle", whole=True), tuple(drawn))]

    return Block(cell * (puzzle.size + room.down), draw)
