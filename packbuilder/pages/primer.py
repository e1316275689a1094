"""Primer: the techniques that the pack turns on, each taught with an example set for it.

A lesson says what the idea is, and shows its example in three frames of one grid, read downwards:
what to find, what follows, what can be written. Then comes a grid to try it on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packbuilder.book.book import Book, Entry, Frame, Lesson
from packbuilder.book.candidate_room import LONE, USUAL, candidate_size, is_lone
from packbuilder.ladder.links import links_of
from packbuilder.layouts.fitting import bands
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import shapes_of, summary
from packbuilder.pages.faults import HOUSE
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import digit_fields, grid, in_words, notes_fields
from packbuilder.pages.hint_grids import hint_grid
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign, left_text
from packbuilder.pages.prose import checked
from packbuilder.plan.items import (
    Destination,
    Disc,
    Figure,
    Item,
    Reference,
    Strokes,
    Table,
    Tag,
    Text,
)
from packbuilder.puzzle import Puzzle
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import face_for, width

_LARGEST, _SMALLEST = 12.0 * MM, 7.2 * MM  # cells of frames, where there is room for words beside
_TRIED, _WRITABLE = 20.0 * MM, 8.0 * MM  # the largest cell of a grid to try, and the least
_READ = 9.0  # points: candidates have so much
_GUTTER = 9 * MM
_APART = 14.5  # points between frames
_ROOM = 11.0  # ems: the least measure of words beside a grid
_TRY = "Your turn"
_RATHER = 0.15  # of its cell a grid to try gives, for its words to stand beside it
_STEP = 0.97  # from one cell size that is tried to the next


@dataclass(frozen=True)
class _Part:
    """A grid of a lesson with its words: a frame, or the grid to try."""

    title: str
    words: tuple[str, ...]
    ends: str
    puzzle: Puzzle
    frame: Frame | None = None


def primer(draft: Draft, book: Book) -> None:
    """Plan the lessons, each from a new page on; nothing where the book has none."""
    for k, lesson in enumerate(book.lessons):
        if k:
            draft.turn()
        else:
            draft.begin("Primer")
        draft.flow(_head(draft.sheet, lesson))
        _frames(draft, lesson)
        if lesson.trial:
            _trial(draft, lesson, lesson.trial)


# --- what the idea is ----------------------------------------------------------------------------


def _head(sheet: PageDesign, lesson: Lesson) -> list[Block]:
    """The technique's name, large, and its grade: at the end of the line where there is room."""
    size, label = sheet.type.section, sheet.type.label
    face = face_for(lesson.name, sheet.faces.title)
    name = checked(lesson.name, face, HOUSE)
    words = paragraph(name, face, size, sheet.measure, leading=size * 1.1, role="H2")
    aside = sheet.measure - graded_width(sheet, lesson.rung, label)

    def grade(x: float, top: float) -> list[Item]:
        return graded(sheet, x, top - ASCENT * label, lesson.rung, label)

    def line(x: float, top: float) -> list[Item]:
        return [Strokes(2.2, ((x, top, x + sheet.measure, top),))]

    head = [Block(size * 0.55, line)]
    if width(name, face, size) + 2 * label <= aside:
        drop = ASCENT * (size - label)  # both stand on one baseline
        head += [beside(words, stack([gap(drop), Block(label, grade)]), aside), gap(size * 0.25)]
    else:
        head += [words, gap(3), Block(label * LEADING, grade), gap(size * 0.25)]
    lead, italic = sheet.type.prose + 1.5, sheet.faces.italic
    measure = min(sheet.measure, 165 * MM)
    about = paragraph(checked(lesson.about, italic, HOUSE), italic, lead, measure)
    blocks = [replace(stack(head), keep=True), about, gap(sheet.type.prose * 1.2)]
    if not lesson.frames:
        blocks += _paragraphs(sheet, lesson.look or (lesson.idea,), "", sheet.measure)
    return blocks


# --- the frames ----------------------------------------------------------------------------------


def _frames(draft: Draft, lesson: Lesson) -> None:
    """The frames in the largest cells with which they need the fewest pages.

    Where the first of them has no room below the lesson's head, what is done in each of them stands
    there by itself.
    """
    if lesson.example is None:
        return
    sheet = draft.sheet
    parts = [
        _Part(frame.title, frame.words, frame.ends, lesson.example, frame)
        for frame in lesson.frames
    ]
    rows = _best(draft, parts)
    if _height(rows[0]) > draft.room:
        for k, part in enumerate(parts, start=1):
            head = replace(_heading(sheet, k, part.title), keep=True)
            draft.flow([head, *_paragraphs(sheet, part.words[:1], "", sheet.measure)])
        rows = _best(draft, [replace(part, words=part.words[1:]) for part in parts])
    for row in rows:
        if _height(row) > draft.room and draft.y < sheet.top:
            draft.turn()
        draft.flow([*row, gap(_APART)])


def _best(draft: Draft, parts: Sequence[_Part]) -> list[list[Block]]:
    """The frames in the largest cells of those with which they need the fewest pages."""
    sheet, (across, _) = draft.sheet, _extent(parts[0].puzzle, 1)
    widest = sheet.measure / across
    least = min(max(_least_cell(sheet, part) for part in parts), widest)
    cells = [max(least, min(_LARGEST * sheet.scale, widest))]
    while cells[-1] * _STEP >= max(least, _SMALLEST):
        cells.append(cells[-1] * _STEP)
    ways = [[_row(sheet, k, part, cell) for k, part in enumerate(parts, 1)] for cell in cells]
    return min(ways, key=lambda rows: _turns(rows, draft))


def _turns(rows: Sequence[Sequence[Block]], draft: Draft) -> tuple[int, int]:
    """How often pages are turned for frames, none of which is broken if it need not be; and how
    many of them the first page does not hold."""
    turns, later, room, depth = 0, 0, draft.room, draft.sheet.depth
    for high in map(_height, rows):
        if high > room:
            turns, room = turns + 1 + (high > depth), depth
        later += turns > 0
        room -= high + _APART
    return turns, later


def _least_cell(sheet: PageDesign, part: _Part) -> float:
    """The smallest cell whose digits, and candidates if any, are as large as the edition asks."""
    digits = sheet.least.text / sheet.layout.digit
    if not part.frame or not part.frame.hint.shown:
        return digits
    hint, least, n = part.frame.hint, max(_READ, sheet.least.small), part.puzzle.size
    strong = links_of(hint.step, part.puzzle.geometry).strong
    slanted = any(a // n != b // n and a % n != b % n for a, b in strong)  # its rails need room
    share = candidate_size(hint, shapes_of(part.puzzle), 1.0)
    return max(digits, least / min(share, LONE if is_lone(hint) and not slanted else USUAL))


def _row(sheet: PageDesign, number: int, part: _Part, cell: float) -> list[Block]:
    """A grid with its words beside it, or below where they would have too short a line."""
    wide, high = _extent(part.puzzle, cell)
    right = sheet.measure - wide - _GUTTER
    drawn = Block(high, lambda x, top: [_picture(sheet, part, x, top, cell)])
    head = _heading(sheet, number, part.title)
    if right < _ROOM * sheet.type.prose:
        words = _paragraphs(sheet, part.words, part.ends, sheet.measure)
        space = gap(sheet.type.prose * 0.7)
        return [replace(head, keep=True), replace(drawn, keep=True), space, *words]
    told = [head, *_paragraphs(sheet, part.words, part.ends, right)]
    return [beside(drawn, stack(told), wide + _GUTTER)]


def _extent(puzzle: Puzzle, cell: float) -> tuple[float, float]:
    """The width and the height of a grid with the clues round it."""
    room = bands(shapes_of(puzzle), puzzle.size)
    return (puzzle.size + room.across) * cell, (puzzle.size + room.down) * cell


def _place(puzzle: Puzzle, x: float, top: float, cell: float) -> GridPlace:
    """The place of a grid whose clues begin at a point."""
    room = bands(shapes_of(puzzle), puzzle.size)
    return GridPlace(x + room.left * cell, top - room.top * cell, cell, puzzle.size)


def _picture(sheet: PageDesign, part: _Part, x: float, top: float, cell: float) -> Item:
    assert part.frame is not None
    puzzle, hint = part.puzzle, part.frame.hint
    place, shapes = _place(puzzle, x, top, cell), shapes_of(puzzle)
    drawn = hint_grid(sheet, puzzle.geometry, place, puzzle.clues, hint, shapes)
    alt = f"{part.title}: {in_words(hint.position, puzzle.size)}. {hint.told}"
    return Figure(Tag("Figure", alt=alt), tuple(drawn))


def _heading(sheet: PageDesign, number: int | None, title: str) -> Block:
    """A title, after its number if it has one, which stands in a disc."""
    size, label = sheet.type.prose * 1.48, sheet.type.prose * 1.05
    face, strong = sheet.faces.title, sheet.faces.strong
    radius, tag = label * 0.82, Tag("H3")
    digit = str(number)

    def draw(x: float, top: float) -> list[Item]:
        y = top - ASCENT * size
        if number is None:
            return [left_text(x, y, title, face, size, tag=tag)]
        return [
            Disc(x + radius, y + FIGURE_HEIGHT * label / 2, radius, fill="ink"),
            Text(x + radius - width(digit, strong, label) / 2, y, digit, strong, label, "paper",
                 tag=tag),
            left_text(x + 2 * radius + size * 0.55, y, title, face, size, tag=tag),
        ]  # fmt: skip

    return Block(size * 1.55, draw)


def _paragraphs(sheet: PageDesign, words: Sequence[str], ends: str, measure: float) -> list[Block]:
    """Paragraphs, and what they come to in bold."""
    size, bold = sheet.type.prose, sheet.faces.title
    told = [(text, sheet.faces.prose) for text in words] + ([(ends, bold)] if ends else [])
    blocks = [paragraph(checked(text, face, HOUSE), face, size, measure) for text, face in told]
    return [one for block in blocks for one in (block, gap(size * 0.5))]


# --- the grid to try -----------------------------------------------------------------------------


def _trial(draft: Draft, lesson: Lesson, entry: Entry) -> None:
    """A grid for the reader: below the frames where there is room to write, else on a new page."""
    sheet = draft.sheet
    cells = [min(_TRIED, sheet.measure / _extent(entry.puzzle, 1)[0])]
    while cells[-1] * _STEP >= max(_WRITABLE, sheet.least.digits / sheet.layout.digit):
        cells.append(cells[-1] * _STEP)
    rows = [_to_try(draft, lesson, entry, cell) for cell in cells]
    if not any(_height(row) <= draft.room for row in rows):
        draft.turn()
    fitting = [row for row in rows if _height(row) <= draft.room] or rows[-1:]
    beside = next(
        (row for row in fitting[: 1 + round(_RATHER / (1 - _STEP))] if len(row) == 1), None
    )
    draft.flow(beside or fitting[0])


def _to_try(draft: Draft, lesson: Lesson, entry: Entry, cell: float) -> list[Block]:
    sheet, puzzle = draft.sheet, entry.puzzle
    shapes, (wide, high) = shapes_of(puzzle), _extent(puzzle, cell)

    def draw(x: float, top: float) -> list[Item]:
        place = _place(puzzle, x, top, cell)
        drawn = grid(sheet, puzzle.geometry, place, puzzle.clues, puzzle.clues, shapes)
        fields = digit_fields(place, puzzle.clues) if draft.edition.fields else ()
        words = summary(entry, "Puzzle", whole=True)
        table = Table(puzzle.size, words, tuple(drawn), f"try-{lesson.slug}", fields)
        return [table, *(notes_fields(place, puzzle.clues, table) if fields else ())]

    right, drawn = sheet.measure - wide - _GUTTER, Block(high, draw)
    start = Block(0, lambda x, top: [Destination(f"try-{lesson.slug}", x, top + 8)])
    if right < _ROOM * sheet.type.prose:
        head = replace(_heading(sheet, None, _TRY), keep=True)
        words = _paragraphs(sheet, (lesson.asks,), "", sheet.measure)
        above = [head, *words, gap(sheet.type.prose * 0.7), drawn, gap(sheet.type.prose)]
        return [stack([start, *above]), _answer(sheet, lesson)]
    told = [_heading(sheet, None, _TRY), *_paragraphs(sheet, (lesson.asks,), "", right)]
    row = beside(drawn, stack([start, *told, _answer(sheet, lesson)]), wide + _GUTTER)
    return [row]


def _answer(sheet: PageDesign, lesson: Lesson) -> Block:
    face, size, to = sheet.faces.label, sheet.type.label, f"answer-{lesson.slug}"

    def draw(x: float, top: float) -> list[Item]:
        return [Reference(x, top - ASCENT * size, "Answer: page ", to, face, size)]

    return Block(size * LEADING, draw)


def _height(blocks: Sequence[Block]) -> float:
    return sum(block.height for block in blocks)
