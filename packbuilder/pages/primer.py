"""Primer: the technique that the pack turns on, taught with an example set for it.

A lesson has a page: what the idea is, how to look for it without writing, and the example told
step by step, with the grid as it stands before the step and, where a digit follows, after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packbuilder.book.book import Book, Lesson
from packbuilder.grid import Geometry, Values
from packbuilder.ladder.english import out_of
from packbuilder.ladder.hints import Hint
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, beside, gap, paragraph, stack, text_line
from packbuilder.pages.candidates import LONE, candidate_size
from packbuilder.pages.draft import Draft
from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.grids import in_words
from packbuilder.pages.hint_grids import hint_grid
from packbuilder.pages.hint_legend import key, signs
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import ASCENT, LEADING, PageDesign, left_text
from packbuilder.pages.prose import HOUSE, checked
from packbuilder.plan.items import Figure, Item, Tag
from packbuilder.typography.typeface import face_for, width

LEAD = "What the puzzles of this pack turn on, and how to see it without writing candidates."
_LARGEST, _SMALLEST = 11.0 * MM, 7.6 * MM  # cells of the example
_AFTER = 6.2 * MM  # cells of the small grid, where it stands below
_GUTTER = 9 * MM
_SEEN = 2  # parts of the words that are told beside the grid: where to look, what you see there
_CAPTION = 1.6  # from a caption's top to its grid, in its type sizes


@dataclass(frozen=True)
class _Example:
    """A lesson's example: its grid and its step."""

    lesson: Lesson
    geometry: Geometry
    clues: Values
    hint: Hint


def primer(draft: Draft, book: Book) -> None:
    """Plan the lessons, each from a new page on; nothing where the book has none."""
    for k, lesson in enumerate(book.lessons):
        if k:
            draft.turn()
        else:
            draft.begin("Primer", LEAD)
        head = [_title(draft.sheet, lesson), *_idea(draft.sheet, lesson)]
        example = _example(lesson)
        pages = _pages(draft, head, example) if example else [head]
        draft.flow(pages[0])
        for blocks in pages[1:]:
            draft.turn()
            draft.flow(blocks)


def _example(lesson: Lesson) -> _Example | None:
    if lesson.hint is None or lesson.geometry is None:
        return None
    return _Example(lesson, lesson.geometry, lesson.clues, lesson.hint)


# --- what the idea is --------------------------------------------------------------------------


def _title(sheet: PageDesign, lesson: Lesson) -> Block:
    """The technique's name, large, and its grade: at the end of the line where there is room."""
    size, label = max(sheet.type.title, sheet.type.prose * 1.9), sheet.type.label
    face = face_for(lesson.name, sheet.faces.title)
    name = checked(lesson.name, face, HOUSE)
    words = paragraph(name, face, size, sheet.measure, leading=size * 1.15, role="H2")
    aside = sheet.measure - graded_width(sheet, lesson.rung, label)

    def grade(x: float, top: float) -> list[Item]:
        return graded(sheet, x, top - ASCENT * label, lesson.rung, label)

    if width(name, face, size) + 2 * size <= aside:
        drop = ASCENT * (size - label)  # both stand on one baseline
        head = [beside(words, stack([gap(drop), Block(label, grade)]), aside), gap(size * 0.3)]
    else:
        head = [words, gap(3), Block(label * LEADING, grade), gap(9)]
    return replace(stack(head), keep=True)


def _idea(sheet: PageDesign, lesson: Lesson) -> list[Block]:
    """What the technique is, and the steps of looking for it."""
    face, size = sheet.faces.prose, sheet.type.prose
    large, measure = size * 1.16, min(sheet.measure, 160 * MM)
    about = checked(lesson.about, face, HOUSE)
    blocks = [paragraph(about, face, large, measure, leading=large * 1.36), gap(size)]
    if not lesson.look:  # one of a rule
        blocks.append(paragraph(checked(lesson.idea, face, HOUSE), face, size, measure))
    else:
        steps = _numbered(sheet, lesson.look, _side_by_side(sheet))
        name = _heading(sheet, "How to look for it")
        if _side_by_side(sheet):
            blocks.append(beside(name, stack(steps), sheet.side + sheet.gutter))
        else:
            blocks += [replace(name, keep=True), *steps]
        blocks.append(gap(size * 0.9))
    return blocks


def _numbered(sheet: PageDesign, texts: Sequence[str], aside: bool) -> list[Block]:
    """Paragraphs with numbers that hang at their left."""
    size, strong = sheet.type.prose, sheet.faces.strong
    indent = width("3", strong, size) + size * 0.75
    measure = (sheet.main if aside else sheet.measure) - indent
    blocks = []
    for k, text in enumerate(texts, start=1):
        words = paragraph(checked(text, sheet.faces.prose, HOUSE), sheet.faces.prose, size, measure)
        blocks += [_hung(str(k), words, strong, size, indent), gap(size * 0.32)]
    return blocks


def _hung(label: str, words: Block, face: str, size: float, indent: float) -> Block:
    def draw(x: float, top: float) -> list[Item]:
        return [left_text(x, top - ASCENT * size, label, face, size), *words.draw(x + indent, top)]

    return Block(words.height, draw)


# --- the example -------------------------------------------------------------------------------


def _pages(draft: Draft, head: list[Block], example: _Example) -> list[list[Block]]:
    """The idea and its example, in the largest cells with which they need the fewest pages.

    That is one page; or two, with the example on the second, so that its words stay beside its
    grid; or three, with what the step means on the third.
    """
    sheet, least = draft.sheet, _least_cell(draft.sheet, example)
    cells = [max(least, min(_LARGEST, sheet.measure / example.geometry.size))]
    while cells[-1] * 0.97 >= max(least, _SMALLEST):
        cells.append(cells[-1] * 0.97)
    ways = [_set(sheet, example, cell) for cell in cells]
    for first, rest in ways:
        if _height([*head, *first, *rest]) <= draft.room:
            return [[*head, *first, *rest]]
    for first, rest in ways:
        if _height([*first, *rest]) <= sheet.depth:
            return [head, [*first, *rest]]
    for first, rest in ways:
        if _height(first) <= sheet.depth:
            return [head, first, rest]
    first, rest = ways[-1]
    return [head, [*first, *rest]]


def _height(blocks: Sequence[Block]) -> float:
    return sum(block.height for block in blocks)


def _least_cell(sheet: PageDesign, example: _Example) -> float:
    """The smallest cell whose digits, and candidates if any, are as large as the edition asks."""
    digits = sheet.least.text / sheet.layout.digit
    if not example.hint.shown:
        return digits
    return max(digits, sheet.least.small / min(LONE, candidate_size(example.hint, (), 1.0)))


def _set(sheet: PageDesign, example: _Example, cell: float) -> tuple[list[Block], list[Block]]:
    """The grids and their words: in two columns where there is room, else one under another.

    The second list is what may stand on another page than the grid.
    """
    n = example.geometry.size
    wide, right = n * cell, sheet.measure - n * cell - _GUTTER
    least = sheet.least.text / sheet.layout.digit  # the cell of the small grid
    if right < max(n * least, 11 * sheet.type.prose):
        return _under_one_another(sheet, example, cell, max(least, _AFTER))
    told, after = _told(example), example.lesson.then
    left = [*_position(sheet, example, cell, wide), gap(8)]
    if after is None:
        return [beside(stack(left), stack(_parts(sheet, told, right)), wide + _GUTTER)], []
    small = max(least, min(right / n, cell * 0.8))
    further = [*_one_step_on(sheet, example, after, small, right), gap(8)]
    ways = [
        beside(
            stack([*left, *_parts(sheet, told[:k], wide)]),
            stack([*further, *_parts(sheet, told[k:], right)]),
            wide + _GUTTER,
        )
        for k in range(1, len(told))
    ]
    return [min(ways, key=lambda block: block.height)], []


def _under_one_another(
    sheet: PageDesign, example: _Example, cell: float, small: float
) -> tuple[list[Block], list[Block]]:
    """What is to be seen, over the full measure; then what it means and what follows."""
    n, measure = example.geometry.size, sheet.measure
    told, after = _told(example), example.lesson.then
    first = [stack(_position(sheet, example, cell, measure)), gap(8)]
    first += [*_parts(sheet, told[:_SEEN], measure), gap(8)]
    if after is None or n * small > measure * 0.9:  # so large, it shows no more than words say
        return first, _parts(sheet, told[_SEEN:], measure)
    rest, last = [*_parts(sheet, told[_SEEN:-1], measure), gap(8)], told[-1:]
    right = measure - n * small - _GUTTER
    if right < 11 * sheet.type.prose:
        grid = stack([*_one_step_on(sheet, example, after, small, measure), gap(8)])
        return first, [*rest, grid, *_parts(sheet, last, measure)]
    head = gap(sheet.type.label * _CAPTION)  # words begin where the grid does
    words = stack([head, *_parts(sheet, last, right)])
    grid = stack(_one_step_on(sheet, example, after, small, n * small))
    return first, [*rest, beside(grid, words, n * small + _GUTTER)]


def _position(sheet: PageDesign, example: _Example, cell: float, measure: float) -> list[Block]:
    """The grid before the step, and what its signs mean."""
    grid = _grid(sheet, example, example.hint, "Example", cell)
    used = signs([(example.hint, example.geometry)])
    return [grid, gap(6), key(sheet, used, measure)]


def _one_step_on(
    sheet: PageDesign, example: _Example, after: Hint, cell: float, measure: float
) -> list[Block]:
    """The grid with the digit that follows, and what its signs mean."""
    grid = _grid(sheet, example, after, "Example, one step on", cell)
    return [grid, gap(6), key(sheet, signs([(after, example.geometry)]), measure)]


def _grid(sheet: PageDesign, example: _Example, hint: Hint, caption: str, cell: float) -> Block:
    """A position with its caption."""
    face, size = sheet.faces.strong, sheet.type.label
    n, head = example.geometry.size, size * _CAPTION

    def draw(x: float, top: float) -> list[Item]:
        place = GridPlace(x, top - head, cell, n)
        drawn = hint_grid(sheet, example.geometry, place, example.clues, hint)
        alt = f"{caption}: {in_words(hint.position, n)}. {hint.told}"
        items = text_line(caption, face, size, size).draw(x, top)
        return [*items, Figure(Tag("Figure", alt=alt), tuple(drawn))]

    return Block(head + n * cell, draw)


def _told(example: _Example) -> list[tuple[str, tuple[str, ...]]]:
    """The example step by step: headings, each with its paragraphs."""
    hint, then = example.hint, example.lesson.then
    goes = out_of(hint.step, example.geometry.size) if hint.step.removes else ""
    told = [
        ("Where to look", (hint.where,)),
        ("What you see there", example.lesson.seen),
        ("What it means", (hint.told.removesuffix(goes).strip(),)),
    ]
    if goes and hint.told.endswith(goes):
        told.append(("What goes", (goes,)))
    if then is not None:
        told.append(("What follows", (then.told,)))
    return [(heading, texts) for heading, texts in told if any(texts)]


def _parts(
    sheet: PageDesign, told: Sequence[tuple[str, tuple[str, ...]]], measure: float
) -> list[Block]:
    """Headings and their words."""
    face, size = sheet.faces.prose, sheet.type.prose
    blocks: list[Block] = []
    for heading, texts in told:
        if blocks:
            blocks.append(gap(size * 0.6))
        blocks.append(replace(_heading(sheet, heading), keep=True))
        blocks += [paragraph(checked(text, face, HOUSE), face, size, measure) for text in texts]
    return blocks


def _heading(sheet: PageDesign, text: str) -> Block:
    size = sheet.type.prose
    return text_line(text, sheet.faces.strong, size, size * LEADING, tag=Tag("H3"))


def _side_by_side(sheet: PageDesign) -> bool:
    """Whether a heading has a column of its own, beside its text."""
    heading = width("How to look for it", face_for("x", sheet.faces.strong), sheet.type.prose)
    return not sheet.stacked and sheet.side >= heading
