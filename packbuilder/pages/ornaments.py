"""Ornaments: the grade's pips, the cover's picture, and QR codes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import inf

from packbuilder.grid import Values
from packbuilder.ladder.rungs import RUNGS
from packbuilder.pages.page_design import PageDesign, left_text
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Box, Fills, Item, Lozenges
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.typography.typeface import width

_MOST_WAYS = 8
_PITCH = 0.8  # of the type size beside which the pips stand


def grade_words(grade: Grade) -> str:
    """``Grade 3``; ``Beyond 8`` for a puzzle that the ladder cannot finish."""
    return f"Grade {grade}" if isinstance(grade, int) else f"Beyond {RUNGS}"


def pips_width(size: float) -> float:
    """The width of a pip for each rung beside type of that size."""
    return (RUNGS - 1) * _PITCH * size + 0.62 * size


def pips(x: float, baseline: float, grade: Grade, size: float) -> list[Item]:
    """A lozenge for each rung, as many of them filled as the grade has; all, beyond the ladder."""
    filled = grade if isinstance(grade, int) else RUNGS
    reach = 0.31 * size
    centres = [(x + reach + k * _PITCH * size, baseline + 0.32 * size) for k in range(RUNGS)]
    items: list[Item] = []
    if filled:
        items.append(Lozenges(tuple(centres[:filled]), reach))
    if filled < RUNGS:
        items.append(Lozenges(tuple(centres[filled:]), reach - 0.25, width=0.5))
    return items


def graded(
    sheet: PageDesign, x: float, baseline: float, grade: Grade, size: float, room: float = inf
) -> list[Item]:
    """Pips, and the grade in words after them. Pips are smaller where there is little ``room``."""
    face, gap = sheet.faces.label, size * 0.7
    longest = max(width(grade_words(one), face, size) for one in (RUNGS, BEYOND))
    small = size * min(1.0, (room - gap - longest) / pips_width(size))
    words = left_text(x + pips_width(small) + gap, baseline, grade_words(grade), face, size)
    return [*pips(x, baseline, grade, small), words]


def graded_width(sheet: PageDesign, grade: Grade, size: float) -> float:
    """The width of ``graded``."""
    return pips_width(size) + size * 0.7 + width(grade_words(grade), sheet.faces.label, size)


def seal(x: float, baseline: float, size: float) -> list[Item]:
    """The badge of a grid that has no clue to spare: a lozenge in a lozenge, beside small type."""
    middle, reach = ((x + 0.5 * size, baseline + 0.32 * size),), 0.5 * size
    return [Lozenges(middle, reach - 0.3, width=0.6), Lozenges(middle, reach * 0.4)]


STRIP = 8.0
"""Height of a strip in points."""


def strip(ways: Sequence[int], x: float, top: float, wide: float) -> list[Item]:
    """Where a solve is narrow: a bar a step, as high as there were ways on, of eight or more.

    Steps with a single way are black. Boxes only, no strokes, so that it is never taken for a grid.
    """
    pitch = wide / len(ways)
    bars: tuple[list[Box], list[Box]] = ([], [])
    for k, count in enumerate(ways):
        left, high = x + k * pitch, STRIP * min(count, _MOST_WAYS) / _MOST_WAYS
        bars[count > 1].append((left, top - STRIP, left + pitch * 0.72, top - STRIP + high))
    return [Fills(tuple(bars[1]), "rule"), Fills(tuple(bars[0]))]


def picture(
    clues: Values, size: int, x: float, bottom: float, side: float, ink: Ink = "ink"
) -> list[Item]:
    """The clues as a picture: a square for each, and a speck for each empty cell.

    A square grows with its digit, as the dots of a half-tone do, so that no two pictures are
    alike; there are no lines and no digits, so that it is never taken for a grid.
    """
    cell = side / size
    squares: list[Box] = []
    specks: list[Box] = []
    for k, digit in enumerate(clues):
        row, column = divmod(k, size)
        middle_x = x + (column + 0.5) * cell
        middle_y = bottom + side - (row + 0.5) * cell
        half = cell * (0.27 + 0.19 * digit / size if digit else 0.035)
        box = (middle_x - half, middle_y - half, middle_x + half, middle_y + half)
        (squares if digit else specks).append(box)
    return [Fills(tuple(specks), ink), Fills(tuple(squares), ink)]


@lru_cache(maxsize=256)
def _modules(text: str) -> tuple[tuple[bool, ...], ...]:
    from reportlab.graphics.barcode.qr import QrCodeWidget  # late: it loads a drawing library

    widget = QrCodeWidget(text, barLevel="M")
    widget.qr.make()
    count = widget.qr.getModuleCount()
    return tuple(tuple(widget.qr.isDark(r, c) for c in range(count)) for r in range(count))


def quiet_zone(text: str, side: float) -> float:
    """The white that a QR code of that width needs on every side: four modules (ISO/IEC 18004)."""
    return 4 * side / len(_modules(text))


def qr_code(text: str, x: float, top: float, side: float) -> list[Item]:
    """A QR code without its quiet zone: see ``quiet_zone``."""
    modules = _modules(text)
    pitch = side / len(modules)
    boxes: list[Box] = []
    for r, row in enumerate(modules):
        start = None
        for c, dark in enumerate((*row, False)):
            if dark and start is None:
                start = c
            elif not dark and start is not None:
                y = top - (r + 1) * pitch
                boxes.append((x + start * pitch, y, x + c * pitch, y + pitch))
                start = None
    return [Fills(tuple(boxes))]
