"""Fitting: how large the cells of a puzzle are in a layout, and whether it holds them at all.

Plain arithmetic on lengths, so that what cannot be printed is known before anything is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from packbuilder.errors import InputError
from packbuilder.layouts.model import Layout
from packbuilder.layouts.papers import MM, PAPERS
from packbuilder.puzzle import Puzzle
from packbuilder.rules.shapes import Corner, Edge, Outside, Shape
from packbuilder.typography.fonts import FIGURE_HEIGHT

BAND = 0.9
"""Breadth of the band outside a grid in which its clues stand, in cells."""

NEAR = 59.5
"""From a grid's top to the baseline of its caption, at most, in points."""

BANDED = 21.5 * MM
"""Largest cell of a grid with clues above it: its caption stands above them, and must be near."""

CORNER_LEFT, CORNER_TOP = 0.065, 0.07
"""From the left and the top of a cell to the text in its corner, in cells."""

OUTSIDE_RING = 0.36
"""Radius of a ring round a number outside a grid, in cells."""

CORNER_LEAST = 7
"""Least type of text in a corner, in points."""

RING_GAP = 0.8
"""Least white between a number and its ring, in points."""

CORNER_GAP, CORNER_GAP_OF = 0.5, 0.05
"""Least white between the text in a corner and a digit below it: in points, and in type sizes."""

FIGURE_WIDTH, APART = 0.5, 0.37
"""Of a figure of the house's type, and the white that keeps two numbers apart, in type sizes."""

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
    (width, height), margins = PAPERS[paper], layout.margins[paper]
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


def corner_height(size: float) -> float:
    """What text of that size in a cell's corner takes of its height, the white below it too."""
    return FIGURE_HEIGHT * size + max(CORNER_GAP, CORNER_GAP_OF * size)


def text_cell(shapes: Sequence[Shape], digit: float, small: float, growth: float = 1.2) -> float:
    """The least cell in points in which the text of shapes stays clear of all else.

    ``digit`` is the least type of a digit, ``small`` that of text in cells and round the grid. A
    digit stays centred under text in a corner; letters on edges and numbers beside arrows grow
    past their usual share of a cell by a fifth at most, or by another ``growth``, and those of
    three figures hardly at all.
    """
    least = 0.0
    for shape in shapes:
        if isinstance(shape, Corner):
            taken = corner_height(max(small, CORNER_LEAST))
            least = max(least, (taken + FIGURE_HEIGHT * digit / 2) / (0.5 - CORNER_TOP))
        elif isinstance(shape, Edge) and shape.mark in ("X", "V"):
            least = max(least, small / (growth * 0.32))
        elif isinstance(shape, Outside):
            share = 0.46 if shape.towards is None else 0.34
            least = max(least, small / (growth * share))
            if shape.ringed:  # which it must not meet
                corner = hypot(FIGURE_WIDTH * len(shape.text), FIGURE_HEIGHT) / 2
                least = max(least, (corner * max(small, 9.0) + RING_GAP) / OUTSIDE_RING)
            if shape.towards is not None and len(shape.text) > 2:  # else they reach the arrow
                least = max(least, max(small, 8.0) / 0.355)
    for figures in _side_by_side(shapes):
        least = max(least, (FIGURE_WIDTH * figures / 2 + APART) * max(small, 8.0) / 0.5)
    return least


def _side_by_side(shapes: Iterable[Shape]) -> Iterator[int]:
    """How many figures two numbers have that stand half a cell from one another, on one line; of
    more than four, which no size of cell sets apart, nothing is said."""
    found = {
        (shape.side, 2 * shape.index + ("right" in shape.towards)): len(shape.text)
        for shape in shapes
        if isinstance(shape, Outside) and shape.towards and shape.side in ("top", "bottom")
    }
    for (side, half), figures in found.items():
        total = figures + found.get((side, half + 1), 5)
        if total <= 4:
            yield total


@dataclass(frozen=True)
class Misfit:
    """Why a layout cannot hold a puzzle, and what would mend it."""

    message: str
    mend: str


def cell_size(layout: Layout, paper: str, puzzle: Puzzle, said: float = 0.0) -> float:
    """The size of a puzzle's cells in points. Notes below it that need ``said`` points in all have
    them where the grid can spare them.

    Raises InputError, naming the layout's field, where the layout cannot hold the puzzle.
    """
    if trouble := misfit(layout, paper, puzzle):
        raise InputError(f"{layout.file}: {trouble.message}; {trouble.mend}")
    cell, around = _cell(layout, paper, puzzle), bands(_shapes(puzzle), puzzle.size)
    if said and layout.grids.notes == "below":
        high = slot(layout, paper).height - layout.grids.caption * MM - said
        _, least = _least(layout, puzzle)
        cell = min(cell, max(high / (puzzle.size + around.down), least))
    return cell


def least_cell(layout: Layout, puzzle: Puzzle) -> float:
    """The least size of a puzzle's cells in points."""
    return _least(layout, puzzle)[1]


def misfit(layout: Layout, paper: str, puzzle: Puzzle) -> Misfit | None:
    """Why a layout, as it is on a paper, cannot hold a puzzle; None where it can.

    What it does not see is text that is too long for its place, which only setting it shows.
    """
    size, name = puzzle.size, f"the {puzzle.size}x{puzzle.size} grid of puzzle {puzzle.id!r}"
    if layout.line_for(size) is None:
        most = layout.cells[-1].up_to
        return Misfit(
            f"cells: the layout {layout.name} stops at grids of size {most} on {paper} paper, and "
            f"{name} is larger",
            f"take another layout or larger paper, or give this one a line `up_to: {size}`",
        )
    cell, (k, least) = _cell(layout, paper, puzzle), _least(layout, puzzle)
    if cell < least - 0.01 * MM:
        return Misfit(
            f"cells[{k + 1}].minimum: on {paper} paper {name} gets cells of {cell / MM:.1f} mm, "
            f"under the minimum of {least / MM:.3g} mm",
            "take a layout with fewer grids to a page, or larger paper",
        )
    return None


def _shapes(puzzle: Puzzle) -> list[Shape]:
    return [shape for part in puzzle.rules for shape in part.shapes()]


def _cell(layout: Layout, paper: str, puzzle: Puzzle) -> float:
    """The cell that the layout aims at, or what the page has room for."""
    size, around, room = puzzle.size, bands(_shapes(puzzle), puzzle.size), grid_room(layout, paper)
    _, rule = layout.cell_rule(size)
    cell = min(rule.aim * MM, room.width / (size + around.across),
               room.height / (size + around.down))  # fmt: skip
    return min(cell, BANDED) if around.top else cell


def _least(layout: Layout, puzzle: Puzzle) -> tuple[int, float]:
    """The least cell in points, and the place of the layout's line that says so.

    A band of outside clues is as a row more; text of rules needs room.
    """
    size, shapes = puzzle.size, _shapes(puzzle)
    around = bands(shapes, size)
    more = (around.left > 0) + (around.right > 0), (around.top > 0) + (around.bottom > 0)
    k, rule = layout.line_for(size + max(more)) or layout.cell_rule(size)
    return k, max(rule.minimum * MM, text_cell(shapes, layout.least.digits, layout.least.small))
