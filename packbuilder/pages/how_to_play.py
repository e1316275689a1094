"""Pages to read: the foreword, and how to play, with worked examples and a glossary."""

from __future__ import annotations

import re
from dataclasses import dataclass

from packbuilder import grid
from packbuilder.book.book import Book
from packbuilder.book.wording import promises, technique_names, technique_rows
from packbuilder.grid import Geometry, Values
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
from packbuilder.pages.rule_entries import heading, note, prose, puzzles_told, rule_entries, title
from packbuilder.plan.items import Figure, Fills, Item, Tag
from packbuilder.puzzle import BEYOND


@dataclass(frozen=True)
class Example:
    """A small grid in which one digit can be written, and why."""

    geometry: Geometry
    clues: Values
    cell: int
    digit: int
    why: str


EXAMPLES = {
    "blocks": Example(
        grid.blocks(2, 2),
        grid.parse_grid("1..4 3... ..4. .3.1".replace(" ", "\n"), 4),
        grid.parse_cell("r2c3", 4),
        1,
        "In the example the shaded cell must be 1: the block at the top right needs a 1, and "
        "row 1 and column 4 have theirs already.",
    ),
    "latin": Example(
        grid.latin(4),
        grid.parse_grid(".2.. 3..2 ..4. ...1".replace(" ", "\n"), 4),
        grid.parse_cell("r2c3", 4),
        1,
        "In the example the shaded cell must be 1: its row holds 2 and 3 already, its column 4.",
    ),
    "irregular": Example(
        grid.irregular("AAAB\nCABB\nCCDB\nCDDD"),
        grid.parse_grid("1.3. 2... ...2 ...1".replace(" ", "\n"), 4),
        grid.parse_cell("r2c2", 4),
        4,
        "In the example the shaded cell must be 4: its region holds 1 and 3 already, its row 2.",
    ),
}
"""One for each kind of grid, of the smallest size, so that they stay beside their text."""


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
    draft.begin(
        "How to play", "Every puzzle has exactly one solution, and pure reasoning finds it."
    )
    sheet = draft.sheet
    parts: list[Block] = []
    shown: set[str] = set()
    for geometry, numbers in _kinds(book):
        family = _family(geometry)
        parts.append(_rules(sheet, geometry, numbers, family not in shown))
        shown.add(family)
    parts += rule_entries(sheet, book)
    parts += [_names_of_cells(sheet, book), _grades(sheet, book), *_promises(sheet, book)]
    if any(entry.hints for entry in book.entries):
        parts.append(_hints(sheet))
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


def _kinds(book: Book) -> list[tuple[Geometry, list[int]]]:
    """Each kind of grid with the numbers of its puzzles, in order of first appearance."""
    found: dict[str, tuple[Geometry, list[int]]] = {}
    for entry in book.entries:
        geometry = entry.puzzle.geometry
        found.setdefault(geometry.name(), (geometry, []))[1].append(entry.number)
    return list(found.values())


def _family(geometry: Geometry) -> str:
    if geometry.regions is None:
        return "latin"
    return "blocks" if geometry.shape else "irregular"


def _rules(sheet: PageDesign, geometry: Geometry, numbers: list[int], example: bool) -> Block:
    n, family = geometry.size, _family(geometry)
    last = grid.SYMBOLS[n]
    symbols = (
        f"a digit from 1 to {n}" if n <= 9 else f"a digit from 1 to 9 or a letter from A to {last}"
    )
    each = "each of them once" if n <= 9 else f"all {n} of them once"
    shape = geometry.shape or (0, 0)
    houses = {
        "blocks": f"every row, every column and every block of {shape[0]} × {shape[1]} cells, "
        "drawn with heavy lines,",
        "latin": "every row and every column",
        "irregular": "every row, every column and every region, drawn with heavy lines,",
    }[family]
    text = f"Write {symbols} in each empty cell, so that {houses} holds {each}."
    if family == "latin":
        text += (
            " There are no blocks here: cells that touch only at a corner may hold the same digit."
        )
    names = {
        "blocks": f"{n} × {n}",
        "latin": f"Latin square, {n} × {n}",
        "irregular": f"{n} × {n}, irregular regions",
    }
    side = [heading(sheet, names[family]), note(sheet, puzzles_told(numbers))]
    main = [prose(sheet, text)]
    if example:
        side += [gap(5), _example(sheet, EXAMPLES[family])]
        main += [gap(5), prose(sheet, EXAMPLES[family].why)]
    return pair(sheet, stack(side), stack(main, breakable=True), whole=True)


def _example(sheet: PageDesign, example: Example) -> Block:
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


def _names_of_cells(sheet: PageDesign, book: Book) -> Block:
    text = (
        "The hints name a cell by its row and its column, counted from the top left: r4c7 is in "
        "row 4, column 7."
    )
    if any(entry.puzzle.geometry.shape for entry in book.entries):
        text += " Blocks are counted like words on a page, so block 1 is at the top left."
    text += (
        " A house is a row, a column or any other set of cells that may not repeat a digit; the "
        "candidates of a cell are the digits that it may still hold."
    )
    return _pair(sheet, "Names", text)


def _grades(sheet: PageDesign, book: Book) -> Block:
    size = sheet.type.label
    sign = Block(size * LEADING, lambda x, top: graded(sheet, x, top - ASCENT * size - 3, 3, size))
    text = (
        "A grade is the hardest step that the easiest way through a puzzle asks for. Grade 1 is "
        "seen at a glance; with each grade one more lozenge is filled, up to 7."
    )
    if any(entry.grade == BEYOND for entry in book.entries):
        text += " A puzzle beyond 7 asks for more than any of the ideas that a grade stands for."
    side = stack([heading(sheet, "Grades"), sign])
    return pair(sheet, side, prose(sheet, text))


def _hints(sheet: PageDesign) -> Block:
    text = (
        "Stuck? The first hint says where to look, the second which idea will help, the third "
        "shows the step. Each kind has pages of its own, so that you see no more than you want; "
        "page numbers lead from one to the next."
    )
    return _pair(sheet, "Hints", text)


def _two_first(sheet: PageDesign, blocks: list[Block], white: float) -> list[Block]:
    """The first two as one, so that a title is not left at a page's foot with one entry."""
    together = stack([*_apart(blocks[:1], white), *blocks[1:2]])
    return [together, *blocks[2:]] if blocks and together.height <= 0.6 * sheet.depth else blocks


def _apart(blocks: list[Block], white: float) -> list[Block]:
    return [part for block in blocks for part in (block, gap(white))]


def _promises(sheet: PageDesign, book: Book) -> list[Block]:
    """What the lines below a grid promise, where any puzzle has them."""
    told = []
    if any(promises(entry, book.pack) for entry in book.entries):
        lines = [line for entry in book.entries for line in promises(entry, book.pack)]
        if any(line.startswith("Turns on") for line in lines):
            told.append(
                "Turns on: easier ideas alone do not finish the puzzle; with the one that is "
                "named there they do."
            )
        if any(line.startswith("No notes") for line in lines):
            told.append(
                "No notes: you can solve it without writing anything but the digits, if you keep "
                "so many facts in mind at one time; a fact is where a digit can go in a house, or "
                "which digits some cells share."
            )
    return [_pair(sheet, "Promises", " ".join(told))] if told else []


def _glossary(sheet: PageDesign, book: Book) -> list[Block]:
    """The techniques of the pack's hints, easiest first, each in a sentence."""
    used = {(h.step.technique, h.step.rung) for entry in book.entries for h in entry.hints}
    found = [row for row in technique_rows(book.pack) if (row.slug, row.rung) in used]
    blocks: list[Block] = []
    for row in found:
        twice = sum(other.slug == row.slug for other in found) > 1 and row.rung > 1
        name = f"{row.name}, in a line" if twice else row.name
        text = prose(sheet, checked(row.about, sheet.faces.prose, HOUSE))
        side = stack([heading(sheet, name, "H3"), note(sheet, f"Grade {row.rung}")])
        blocks.append(pair(sheet, side, text))
    if blocks:
        blocks[0] = stack([title(sheet, "Ideas in the hints"), blocks[0]])
    return blocks


def _resting(sheet: PageDesign, book: Book) -> list[Block]:
    """The techniques on the pack's paths that take a puzzle to have one solution, named as such."""
    from packbuilder.ladder.table import UNIQUENESS  # late: it loads every technique

    resting = {technique.slug for technique in UNIQUENESS}
    found: dict[str, list[int]] = {}
    for entry in book.entries:
        slugs = {slug for slug, _ in entry.techniques} | {h.step.technique for h in entry.hints}
        for slug in sorted(slugs & resting):
            found.setdefault(slug, []).append(entry.number)
    if not found:
        return []
    names = technique_names(book.pack)
    told = "; ".join(
        f"{names.get(slug, slug)} ({puzzles_told(numbers).lower()})"
        for slug, numbers in found.items()
    )
    text = (
        f"These ideas rest on the puzzle having one solution: {told}. That each puzzle has just "
        "one was proved without them."
    )
    return [_pair(sheet, "Uniqueness", checked(text, sheet.faces.prose, HOUSE))]


def _pair(sheet: PageDesign, name: str, text: str) -> Block:
    return pair(sheet, heading(sheet, name), prose(sheet, text))
