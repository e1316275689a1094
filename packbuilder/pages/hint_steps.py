"""Third hints: the position with the step's signs, and its words, which end on what it gives."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from packbuilder.book.book import Entry
from packbuilder.book.candidate_room import LONE, USUAL, candidate_size, is_lone
from packbuilder.ladder.hints import Hint
from packbuilder.ladder.links import links_of
from packbuilder.layouts.fitting import bands, text_cell
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, ending_in, gap, moved, paragraph, split, stack
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.faults import Source
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.hint_grids import hint_grid
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.prose import NO_BREAK, checked
from packbuilder.plan.items import Item, Table

_READ = 9.0
"""Points: candidates have so much, where the paper is wide enough. A grid of 16 has 7 on a4: 16
cells are no wider than its text."""

_LARGE = 33.6
"""Points: a cell with candidates, of a 9x9: two grids fill a page, with words beside them."""

_MOST = 0.4
"""Of a cell: no candidates are larger in smaller cells."""

_STEP, _SPARE = 0.97, 0.66
"""From one cell size that is tried to the next; the least share of its cell that a grid keeps."""

_NARROWEST = 11.0
"""Ems: a column of words beside a grid."""

_GIVES = re.compile(r"(?:so )?r\d+c\d+ is\s\w\.$")
_TAKES = re.compile(
    r"(?:(?<=[.?!] )|^)(?:That (?:takes|leaves)|So|In [^.?!]* that leaves) [^.?!]*\.$"
    r"|so [^.,;?!]* at (?:most|least)\s\w+\.$"
)
"""How the end of a hint begins, which is set in bold."""

_CLOSES = re.compile(r"\bcloses? (?:the rest|[A-Z]\b|r\d)")
"""What is said of cells that are closed, by whatever."""

_GUTTER = 8.0 * MM
_WIDEST = 118.0 * MM


@dataclass(frozen=True)
class Room:
    """Where the grid of a third hint stands: its cells, the columns that it takes, their width.

    ``least`` is the smallest cell in which all of it can be read."""

    cell: float
    spans: int
    wide: float
    least: float


def columns(sheet: PageDesign) -> tuple[int, float]:
    """How many hint grids stand side by side, and the cell size of a grid up to 9x9."""
    wanted = sheet.layout.hints
    count = max(1, int((sheet.measure + wanted.gap * MM) / ((9 * wanted.cell + wanted.gap) * MM)))
    wide = (sheet.measure - (count - 1) * wanted.gap * MM) / count
    return count, min(wide / 9, wanted.cell * MM * (1.05 if count > 1 else 1))


def room_for(sheet: PageDesign, entry: Entry, hint: Hint) -> Room:
    """Room for a hint's grid: a column, or all of them where its candidates are to be read.

    Raises CannotSet where all of them are too few.
    """
    count, cell = columns(sheet)
    puzzle, n, gap_x = entry.puzzle, entry.puzzle.size, sheet.layout.hints.gap * MM
    wide = (sheet.measure - (count - 1) * gap_x) / count
    shapes = shapes_of(puzzle)
    across = n + bands(shapes, n).across
    if n <= 9:  # small grids may be larger
        cell = max(min(cell, wide / across), cell * min(1.25, 9 / across))
    else:
        cell = sheet.measure / across
    lone, share = is_lone(hint), candidate_size(hint, shapes, 1.0)
    if not lone or links_of(hint.step, puzzle.geometry).strong:
        one = min(wide / across, max(cell, 1.25 * _LARGE))  # a small grid needs one column
        least = max(_READ, sheet.least.small) / min(share, USUAL)
        large = min(_LARGE * min(1.25, 9 / across), sheet.measure / across)
        cell = one if one >= max(cell, least) else max(cell, large, least)
    elif hint.shown:
        cell = max(cell, max(_READ, sheet.least.small) / LONE)
    spans = 1 if across * cell <= wide + 0.01 else count
    cell = min(cell, (spans * wide + (spans - 1) * gap_x) / across)
    if hint.shown and share * cell < sheet.least.small - 0.01:
        raise Source.of(puzzle, "hints").fault(
            f"candidates would be {share * cell:.1f} pt, and {sheet.layout.name} on {sheet.paper} "
            f"has {sheet.least.small:g} or more",
            "give smaller margins at the sides, take larger paper, or leave the hints out with "
            "`hints: []`",
        )
    small = max(_READ, sheet.least.small) / min(share, _MOST) if hint.shown else 0.0
    digits, text = sheet.least.digits, sheet.least.small
    small = max(small, digits / sheet.layout.digit, text_cell(shapes, digits, text))
    return Room(cell, spans, spans * wide + (spans - 1) * gap_x, min(small, cell))


def beside_bands(sheet: PageDesign, entry: Entry, room: Room) -> float:
    """The width right of a band of clues: there stands all of a hint but the clues in the band."""
    count, _ = columns(sheet)
    white = sheet.apart(sheet.layout.hints.gap * MM) if room.spans < count else 0.0
    return room.wide - bands(shapes_of(entry.puzzle), entry.puzzle.size).left * room.cell - white


def step_blocks(
    sheet: PageDesign,
    entry: Entry,
    k: int,
    head: Sequence[Block],
    ways: Sequence[Block],
    high: float,
) -> list[Block]:
    """A third hint: a head, the position, the step in words, and where to go on.

    ``ways`` are those in a line and those one under another. It is one block, no higher than
    ``high`` if a smaller grid leaves it that; or two where the words are too long for one page.
    """
    room = room_for(sheet, entry, entry.hints[k])
    found = blocks = _step_in(sheet, entry, k, head, ways, room)
    cell, least = room.cell, max(room.least, _SPARE * room.cell)
    while len(blocks) > 1 or blocks[0].height > high:
        cell *= _STEP
        if cell < least:
            return found
        blocks = _step_in(sheet, entry, k, head, ways, replace(room, cell=cell))
    return blocks


def _step_in(
    sheet: PageDesign,
    entry: Entry,
    k: int,
    head: Sequence[Block],
    ways: Sequence[Block],
    room: Room,
) -> list[Block]:
    """A third hint with its grid in a room."""
    hint, puzzle, n = entry.hints[k], entry.puzzle, entry.puzzle.size
    shapes = shapes_of(puzzle)
    band, cell = bands(shapes, n), room.cell
    aside, measure = band.left * cell, beside_bands(sheet, entry, room)
    text = checked(hint.caption, sheet.faces.prose, Source.of(puzzle, f"hint {k + 1}"))

    def position(x: float, top: float) -> list[Item]:
        place = GridPlace(x, top - band.top * cell, cell, n)
        drawn = hint_grid(sheet, puzzle.geometry, place, puzzle.clues, hint, shapes)
        return [Table(n, summary(entry, "Hint for puzzle"), tuple(drawn))]

    drawn = Block((n + band.down) * cell, position)
    count, _ = columns(sheet)
    beside_it = room.wide - (n + band.across) * cell - _GUTTER
    if room.spans == count and n <= 9 and beside_it > _NARROWEST * sheet.type.prose:
        told = [*_paragraphs(sheet, text, beside_it), gap(4), ways[1]]
        return [moved(stack([*head, beside(drawn, stack(told), measure - beside_it)],
                            columns=room.spans), aside)]  # fmt: skip
    above = stack([*head, drawn, gap(7 * sheet.scale)])
    words = _in_one(sheet, text, min(measure, _WIDEST * sheet.scale))
    onward = [gap(3), ways[0]]
    whole = stack([above, words, *onward], columns=room.spans)
    parts = split(words, sheet.depth - above.height) if whole.height > sheet.depth else None
    if parts is None:
        return [moved(whole, aside)]
    rest = stack([parts[1], *onward])
    # a page of its own, so that no other hint's caption stands below words that are not its own
    rest = Block(sheet.depth, rest.draw, columns=room.spans)
    return [moved(stack([above, parts[0]], columns=room.spans), aside), moved(rest, aside)]


def _paragraphs(sheet: PageDesign, text: str, measure: float) -> list[Block]:
    """The words in paragraphs: each earlier step, what closes cells, the argument, what falls."""
    *parts, last = parted(text)
    size, face = sheet.type.prose, sheet.faces.prose
    blocks: list[Block] = []
    for part in parts:
        blocks += [paragraph(_held(part), face, size, measure, quoted=True), gap(size * 0.4)]
    return [*blocks, _in_one(sheet, last, measure)]


def parted(text: str) -> list[str]:
    """A step in words, parted where its sentences turn to something else."""
    sentences = re.split(r"(?<=[.?!]) (?=\S)", text)
    starts = {k for k, one in enumerate(sentences) if re.match(r"An earlier step: |Another: ", one)}
    ends = {k + 1 for k, one in enumerate(sentences) if one.startswith("That closes ")}
    closing = [k + 1 for k, one in enumerate(sentences) if _CLOSES.search(one)]
    falls = (k for k, one in enumerate(sentences) if k and one.startswith("That takes "))
    last = next(falls, max(1, len(sentences) - 1))
    breaks = {*starts, *ends, *(closing[-1:] or [1]), last, len(sentences)} - {0}
    found, start = [], 0
    for end in sorted(one for one in breaks if one <= last or one == len(sentences)):
        found.append(" ".join(sentences[start:end]))
        start = end
    return found


def _in_one(sheet: PageDesign, text: str, measure: float) -> Block:
    """The words in one paragraph, the conclusion set in bold."""
    text, faces = _held(text), (sheet.faces.prose, sheet.faces.title)
    return ending_in(text, conclusion(text), faces, sheet.type.prose, measure)


def conclusion(text: str) -> int:
    """Where what a hint comes to begins: ``so r4c6 is 6.``, or its last sentence if it takes
    something; the end of the text where it says neither."""
    found = _GIVES.search(text) or _TAKES.search(text)
    return found.start() if found else len(text)


def _held(text: str) -> str:
    """The text with its last digit held to the word before it, and each letter to its cell."""
    text = re.sub(r"\b([A-Z]) (?=\(r\d)", rf"\1{NO_BREAK}", text)
    return re.sub(r" (\w\.)$", rf"{NO_BREAK}\1", text)
