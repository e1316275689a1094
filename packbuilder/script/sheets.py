"""The script and the rehearsal sheet on A4, as plans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from packbuilder.editions import Edition
from packbuilder.grid import Values
from packbuilder.pages.facts import shapes_of
from packbuilder.pages.grid_place import GridPlace, placed_in
from packbuilder.pages.rule_marks import over
from packbuilder.pages.rule_shapes import under
from packbuilder.plan.inks import inks
from packbuilder.plan.items import Glyphs, Item, Page, Plan, Text
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.script.beats import clock
from packbuilder.script.board import digit_items, grid_lines
from packbuilder.script.looks import Look
from packbuilder.script.reading import Shown
from packbuilder.script.told import Script, rehearsal_marks, rehearsal_moves
from packbuilder.script.wording import SCRIPT
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import face_for, width

WIDE, HIGH = 595.28, 841.89
LEFT, RIGHT, TOP, FOOT = 48.0, 547.0, 790.0, 48.0
GRID = 180.0
"""The side of a beat's grid."""
COLUMN = LEFT + GRID + 20
CUE, SAY, HEAD = "SourceSansPro-Regular", "SourceSerifPro-Regular", "SourceSansPro-Semibold"
EDITION = Edition("script", "a presenter's script", links=False, tagged=False)


@dataclass
class _Pages:
    """Pages in the making: what stands on each, and what a reader must find there."""

    section: str
    items: list[list[Item]] = field(default_factory=lambda: [[]])
    grids: list[list[Values]] = field(default_factory=lambda: [[]])
    words: list[list[str]] = field(default_factory=lambda: [[]])
    y: float = TOP

    def turn(self) -> None:
        self.items.append([])
        self.grids.append([])
        self.words.append([])
        self.y = TOP

    def line(self, text: str, x: float, face: str, size: float, lead: float) -> None:
        """A line of type under the last; on the next page where there is no room."""
        if self.y - lead < FOOT:
            self.turn()
        self.y -= lead
        self.items[-1].append(Text(x, self.y, text, face, size))
        self.words[-1].append(text)

    def plan(self, pack: Pack, puzzle: Puzzle) -> tuple[Plan, tuple[Shown, ...]]:
        year, month = map(int, pack.issue.split("-"))
        pages = tuple(
            Page(k, self.section, tuple(items)) for k, items in enumerate(self.items, start=1)
        )
        plan = Plan(
            width=WIDE, height=HIGH, pages=pages, bookmarks=(), edition=EDITION,
            inks=inks(0.33, 0.5, 0.9), creep=0.0, title=f"{puzzle.title}, {self.section.lower()}",
            author=pack.byline, subject=pack.title, keywords=("number-placement puzzles",),
            dated=(year, month),
        )  # fmt: skip
        shown = zip(self.grids, self.words, strict=True)
        return plan, tuple(Shown(tuple(grids), tuple(words)) for grids, words in shown)


def script_plan(pack: Pack, puzzle: Puzzle, script: Script) -> tuple[Plan, tuple[Shown, ...]]:
    """The presenter's script: each beat with the grid as it stands beside its lines."""
    pages = _Pages("Script")
    for text in wrapped(script.title, HEAD, 20.0, RIGHT - LEFT):
        pages.line(text, LEFT, HEAD, 20.0, 26.0)
    for words in script.head:
        for text in wrapped(words, SAY, 11.0, RIGHT - LEFT):
            pages.line(text, LEFT, SAY, 11.0, 16.0)
    for beat, lines in script.beats:
        if pages.y - GRID - 40 < FOOT:
            pages.turn()
        pages.y -= 12
        pages.line(f"{clock(beat.start)}  {beat.title}", LEFT, HEAD, 13.0, 18.0)
        top, page = pages.y - 8, len(pages.items)
        _grid(pages, puzzle, beat.looks[0].before, top)
        pages.y -= 2
        for line in lines:
            face, size, lead = (SAY, 10.5, 14.0) if line.say else (CUE, 9.0, 13.0)
            for text in wrapped(line.words, face, size, RIGHT - COLUMN):
                pages.line(text, COLUMN, face, size, lead)
            pages.y -= 3
        if len(pages.items) == page:
            pages.y = min(pages.y, top - GRID - 6)
    pages.y -= 12
    pages.line(SCRIPT["chapters"], LEFT, HEAD, 13.0, 18.0)
    for chapter in script.chapters:
        pages.line(chapter, LEFT, CUE, 10.0, 14.0)
    return pages.plan(pack, puzzle)


def rehearsal_plan(
    pack: Pack, puzzle: Puzzle, looks: Sequence[Look]
) -> tuple[Plan, tuple[Shown, ...]]:
    """One sheet: the grid with the number of the move that fills each cell, and the marks."""
    pages = _Pages("Rehearsal")
    title = SCRIPT["rehearsal"].format(title=puzzle.title)
    for text in wrapped(title, HEAD, 18.0, RIGHT - LEFT):
        pages.line(text, LEFT, HEAD, 18.0, 24.0)
    for text in wrapped(SCRIPT["moves"], SAY, 10.5, RIGHT - LEFT):
        pages.line(text, LEFT, SAY, 10.5, 15.0)
    side = min(RIGHT - LEFT, 460.0)
    top = pages.y - 10
    place = placed_in(LEFT, top, side, puzzle.size, shapes_of(puzzle))
    _drawn(pages, puzzle, puzzle.clues, place)
    pages.items[-1] += _numbers(place, rehearsal_moves(looks))
    pages.y = top - side - 6
    marks = rehearsal_marks(looks, puzzle.geometry)
    columns, type_size = (1, 10.5) if len(marks) <= 14 else (2, 8.5)
    wide = (RIGHT - LEFT) / columns - 8
    texts = [text for mark in marks for text in wrapped(mark, CUE, type_size, wide)]
    down = -(-len(texts) // columns)
    lead = min(1.4 * type_size, (pages.y - FOOT) / max(1, down))
    start = pages.y
    for k, text in enumerate(texts):
        x, y = LEFT + k // down * (wide + 16), start - (k % down + 1) * lead
        pages.items[-1].append(Text(x, y, text, CUE, min(type_size, lead / 1.2)))
        pages.words[-1].append(text)
    return pages.plan(pack, puzzle)


def _grid(pages: _Pages, puzzle: Puzzle, values: Values, top: float) -> None:
    place = placed_in(LEFT, top, GRID, puzzle.size, shapes_of(puzzle))
    _drawn(pages, puzzle, values, place)


def _drawn(pages: _Pages, puzzle: Puzzle, values: Values, place: GridPlace) -> None:
    shapes = shapes_of(puzzle)
    widths = (0.45, 1.4, 1.8) if place.cell < 30 else (0.6, 1.9, 2.4)
    pages.items[-1] += under(place, shapes)
    pages.items[-1] += grid_lines(puzzle, place, widths)
    pages.items[-1] += over(place, shapes)
    pages.items[-1] += digit_items(place, puzzle.clues, values, 0.6)
    pages.grids[-1].append(values)


def _numbers(place: GridPlace, moves: dict[int, int]) -> Iterator[Item]:
    """The number of each move, small, in its cell."""
    size = place.cell * 0.34
    letters = []
    for cell, move in sorted(moves.items()):
        told = str(move)
        x, y = place.middle(cell)
        at = x - width(told, CUE, size) / 2
        for letter in told:
            letters.append((at, y - FIGURE_HEIGHT * size / 2, letter))
            at += width(letter, CUE, size)
    if letters:
        yield Glyphs(CUE, size, tuple(letters))


def wrapped(text: str, face: str, size: float, room: float) -> list[str]:
    """Words in lines no wider than a room."""
    face = face_for(text, face)
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, face, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
