"""Fitting: how large the cells of a puzzle are in a layout, and whether it holds them at all.

Plain arithmetic on lengths, so that what cannot be printed is known before anything is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from packbuilder.errors import InputError
from packbuilder.fonts import FIGURE_HEIGHT
from packbuilder.layouts.model import Layout
from packbuilder.layouts.papers import MM, PAPERS
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.rules.shapes import Corner, Edge, Outside, Shape

BAND = 0.9
"""Breadth of the band outside a grid in which its clues stand, in cells."""

BANDED = 18 * MM
"""Largest cell of a grid with clues above it: its caption stands above them, and must be near."""

CORNER_TOP = 0.13
"""From the top of a cell to the text in its corner, in cells."""

CORNER_GAP = 0.4
"""Least white between the text in a corner and a digit below it, in points."""

CANDIDATE = 0.26 * 1.22
"""Type size of candidates in a grid up to 9x9, in cells: three lines of them stand in 0.78."""


@dataclass(frozen=True)
class Bands:
    """The bands round a grid that its outside clues need, in cells."""

    left: float = 0.0
    right: float = 0.0
    top: float = 0.0
    bottom: float = 0.0

    @property
    def across(self) -> float:
        """Both at the sides."""
        return self.left + self.right

    @property
    def down(self) -> float:
        """Those above and below."""
        return self.top + self.bottom


def bands(shapes: Iterable[Shape], size: int) -> Bands:
    """The bands that these shapes need."""
    sides = set()
    for shape in shapes:
        if isinstance(shape, Outside):
            sides.add(shape.side)
            if shape.index < 0:
                sides.add("left" if shape.side in ("top", "bottom") else "top")
            elif shape.index >= size:
                sides.add("right" if shape.side in ("top", "bottom") else "bottom")
    return Bands(**dict.fromkeys(sides, BAND))


@dataclass(frozen=True)
class Slot:
    """The room that one puzzle has on a page, in points: caption, grid and notes together.

    On a card it is what the card's padding and ribbon leave.
    """

    width: float
    height: float


def text_area(layout: Layout, paper: str) -> tuple[float, float]:
    """Width and height of the text area in points."""
    (width, height), margins = PAPERS[paper], layout.margins[paper]  # type: ignore[index]
    return (
        width - (margins.inner + margins.outer) * MM,
        height - (margins.top + margins.bottom) * MM,
    )


def slot(layout: Layout, paper: str) -> Slot:
    """The room of each puzzle."""
    grids, (width, height) = layout.grids, text_area(layout, paper)
    across = (width - (grids.across - 1) * grids.gap_across * MM) / grids.across
    down = (height - (grids.down - 1) * grids.gap_down * MM) / grids.down
    if layout.cards:
        across -= 2 * layout.cards.padding * MM
        down -= (2 * layout.cards.padding + layout.cards.ribbon) * MM
    return Slot(across, down)


def grid_room(layout: Layout, paper: str) -> Slot:
    """What caption and notes leave of a slot for the grid."""
    grids, room = layout.grids, slot(layout, paper)
    across, down = room.width, room.height - grids.caption * MM
    if grids.notes == "beside":
        return Slot(across - (grids.notes_room + grids.gap_across) * MM, down)
    return Slot(across, down - grids.notes_room * MM)


def text_cell(shapes: Iterable[Shape], digit: float, small: float) -> float:
    """The least cell in points in which the text of shapes stays clear of all else.

    ``digit`` is the least type of a digit, ``small`` that of text in cells and round the grid. A
    digit stays centred under text in a corner; letters on edges and numbers beside arrows grow
    past their usual share of a cell by a fifth at most.
    """
    least = 0.0
    for shape in shapes:
        if isinstance(shape, Corner):
            high = FIGURE_HEIGHT * (small + digit / 2) + CORNER_GAP
            least = max(least, high / (0.5 - CORNER_TOP))
        elif isinstance(shape, Edge) and shape.mark in ("X", "V"):
            least = max(least, small / (1.2 * 0.32))
        elif isinstance(shape, Outside):
            share = 0.46 if shape.towards is None else 0.34
            least = max(least, small / (1.2 * share))
    return least


def cell_size(layout: Layout, paper: str, puzzle: Puzzle, said: float = 0.0) -> float:
    """The size of a puzzle's cells in points. Notes below it that need ``said`` points in all have
    them where the grid can spare them.

    Raises InputError, naming the layout's field, where they would be under the minimum.
    """
    size = puzzle.size
    shapes = [shape for part in puzzle.rules for shape in part.shapes()]
    around, room = bands(shapes, size), grid_room(layout, paper)
    _, own = layout.cell_rule(size)
    k, least = _least(layout, size, around, shapes)
    cell = min(own.aim * MM, room.width / (size + around.across),
               room.height / (size + around.down))  # fmt: skip
    cell = min(cell, BANDED) if around.top else cell
    if said and layout.grids.notes == "below":
        high = slot(layout, paper).height - layout.grids.caption * MM - said
        cell = min(cell, max(high / (size + around.down), least))
    if cell < least - 0.01 * MM:
        raise InputError(
            f"{layout.file}: cells[{k}].minimum: on {paper} paper the {size}x{size} grid of "
            f"puzzle {puzzle.id!r} gets cells of {cell / MM:.1f} mm, under the minimum of "
            f"{least / MM:.3g} mm; take a layout with fewer grids to a page, or larger paper"
        )
    return cell


def _least(layout: Layout, size: int, around: Bands, shapes: Iterable[Shape]) -> tuple[int, float]:
    """The least cell in points, and the place of the layout's line that says so.

    A band of outside clues is as a row more; text of rules needs room.
    """
    k, rule = layout.cell_rule(size)
    more = (around.left > 0) + (around.right > 0), (around.top > 0) + (around.bottom > 0)
    if size + max(more) <= layout.cells[-1].up_to:
        k, rule = layout.cell_rule(size + max(more))
    return k, max(rule.minimum * MM, text_cell(shapes, layout.least.digits, layout.least.small))


def unfit(layout: Layout, pack: Pack) -> list[tuple[Puzzle | None, str]]:
    """Why a layout cannot hold a pack: with the puzzle, or None where it is the paper.

    What it does not see is text that is too long for its place, which only setting it shows.
    """
    try:
        layout = layout.for_paper(pack.paper)
    except InputError as error:
        return [(None, str(error))]
    found: list[tuple[Puzzle | None, str]] = []
    for puzzle in pack.puzzles:
        try:
            cell_size(layout, pack.paper, puzzle)
        except InputError as error:
            found.append((puzzle, str(error)))
    return found
