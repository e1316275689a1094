"""Answers: many to a page, clues told from solved digits by weight."""

from __future__ import annotations

from packbuilder.book.book import Book, Entry
from packbuilder.book.cover import ON_COVER, CoverPicture, cover_picture
from packbuilder.layouts.fitting import bands, text_cell
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, stack
from packbuilder.pages.draft import Draft
from packbuilder.pages.facts import small_shapes_of, summary
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import grid
from packbuilder.pages.ornaments import STRIP, strip
from packbuilder.pages.prose import checked, cut
from packbuilder.plan.items import Destination, Item, Reference, Table, Tag, Text
from packbuilder.rules.shapes import Outside
from packbuilder.typography.typeface import face_for, width

_LEAD = "Clues are set bold, the digits that you found are not."
_STRIPS = (
    "The strip under a grid runs from the first step to the last: the lower a bar, the fewer ways "
    "on there are, and a black bar is a step with one way only."
)
_TRIED = "To try"
_DOWN = 4.5 * MM  # between rows: a fourth one has room on a4
_GROWTH = 1.55  # how far clues outside may grow past their share of a cell
_ASCENT = 0.85  # of the caption, in type sizes


def answers(draft: Draft, book: Book) -> None:
    """Plan the answer pages."""
    strips = draft.sheet.layout.narrow_strip and any(entry.ways for entry in book.entries)
    if not book.whole:  # else they follow the full pack
        draft.turn_over()  # answers never face a puzzle or a hint
    draft.begin("Answers", f"{_LEAD} {_STRIPS}" if strips else _LEAD)
    if picture := cover_picture(book):
        draft.flow([_cover(draft, picture), gap(7 * MM)])
    wanted = draft.sheet.layout.answers
    across = wanted.gap * MM
    measure = draft.sheet.measure
    count = max(1, int((measure + across) / (9 * wanted.cell * MM + across)))
    column = (measure - (count - 1) * across) / count
    cell = min(column / 9, wanted.cell * MM * 1.06)
    tried = [
        (one.trial, f"answer-{one.slug}", f"try-{one.slug}") for one in book.lessons if one.trial
    ]
    named = [(e, f"answer-{e.number}", f"puzzle-{e.number}") for e in book.entries]
    blocks = [_answer(draft, *one, cell, (count, column, across)) for one in (*named, *tried)]
    draft.rows(blocks, count, (across, _DOWN))


def _cover(draft: Draft, picture: CoverPicture) -> Block:
    """The answer of the cover's riddle."""
    faces, size = draft.sheet.faces, draft.sheet.type.prose
    said = Source("pack: cover: answer") if picture.design == "own" else HOUSE
    answer = checked(picture.answer, faces.prose, said)
    head = paragraph(ON_COVER, faces.strong, size, draft.sheet.measure, role="H2")
    return stack([head, paragraph(answer, faces.prose, size, draft.sheet.measure, quoted=True)])


def _answer(
    draft: Draft, entry: Entry, name: str, of: str, cell: float, grid_of: tuple[int, float, float]
) -> Block:
    """A solved grid, known by its ``name``, and the way back to the grid that it is ``of``.

    A grid to try has no number: what leads back to it does so by its section.
    """
    sheet, puzzle = draft.sheet, entry.puzzle
    count, column, across = grid_of
    n, size, shapes = puzzle.size, sheet.type.label + 0.5, small_shapes_of(puzzle)
    band = bands(shapes, n)
    wide = n + band.across
    outside = [shape for shape in shapes if isinstance(shape, Outside)]
    cell = max(cell, text_cell(outside, sheet.least.text, sheet.least.small, _GROWTH))
    spans = min(count, int((wide * cell + across) / (column + across) - 0.001) + 1)
    cell = min(cell, (spans * column + (spans - 1) * across) / wide)
    measure = max(wide * cell, column)
    strong, face = sheet.faces.strong, sheet.faces.title
    title = checked(puzzle.title, face, Source.of(puzzle, "title"))
    face = face_for(title, face)
    section = "Puzzle" if entry.number else "Primer"
    label = str(entry.number) if entry.number else _TRIED
    offset = width(label, strong, size) + size * 0.5
    apart = max(2 * size - across, 0.0)  # or two captions are one line
    title = cut(title, face, size, measure - offset - apart)
    tag = Tag("H2")
    caption, foot = size * 1.55, sheet.type.label * 1.6
    below = STRIP + 4 if sheet.layout.narrow_strip and entry.ways else 0

    def draw(x: float, top: float) -> list[Item]:
        y = top - _ASCENT * size
        grid_top = top - caption
        items: list[Item] = [
            Destination(name, x, top + 6),
            Text(x, y, label, strong, size, tag=tag),
            Text(x + offset, y, title, face, size, tag=tag, quoted=True),
        ]
        place = GridPlace(x + band.left * cell, grid_top - band.top * cell, cell, n)
        drawn = grid(
            sheet, puzzle.geometry, place, puzzle.clues, entry.solution, shapes, answer=True
        )
        items.append(Table(n, summary(entry, "Answer"), tuple(drawn)))
        foot_top = grid_top - (n + band.down) * cell
        if below:
            items += strip(entry.ways, place.x, foot_top - 4, n * cell)
        y = foot_top - below - sheet.type.label * 1.35
        back = Reference(x, y, f"{section}: page ", of, sheet.faces.label, sheet.type.label)
        return [*items, back]

    return Block(caption + (n + band.down) * cell + below + foot, draw, columns=spans)
