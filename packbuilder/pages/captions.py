"""Captions: the number and the title of a puzzle above its grid, and its grade."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packbuilder.book.book import Entry
from packbuilder.layouts.checks import CLEAR, above_grid
from packbuilder.layouts.fitting import Slot, cell_size
from packbuilder.layouts.papers import MM
from packbuilder.pages.faults import HOUSE, Source
from packbuilder.pages.ornaments import graded, graded_width
from packbuilder.pages.page_design import HIGHEST, PageDesign
from packbuilder.pages.prose import break_lines, checked
from packbuilder.plan.items import Destination, Item, Tag, Text
from packbuilder.typography.typeface import face_for, width

_WIDE = 29
"""From this width on, in ems of running text, notes below a grid stand in two columns."""

_OVER = 5.0
"""Points by which the upper of a title's two lines may stand over the room for a caption."""

_LINE, _CAPITAL = 1.08, 0.75
"""Of a title, in type sizes: from line to line; the height of its capitals."""

_ABOVE = 5.5
"""From a grid's top to the lower of a title's two lines, in points; or .3 of the type size."""


@dataclass(frozen=True)
class Caption:
    """Number and title above a grid, in one line or two; ``grade`` is how far from their left edge
    the grade stands, on the first line; None where that has no room there."""

    sheet: PageDesign
    entry: Entry
    lines: tuple[str, ...]
    size: float
    grade: float | None

    @property
    def graded(self) -> bool:
        """Whether the grade stands in it."""
        return self.grade is not None

    @classmethod
    def of(cls, sheet: PageDesign, entry: Entry, slot: Slot) -> Caption:
        """A caption in the largest type in which it has room. Raises CannotSet for none."""
        puzzle, grids, kind = entry.puzzle, sheet.layout.grids, sheet.type
        source = Source.of(puzzle, "title")
        title = checked(puzzle.title, sheet.faces.title, source)
        places: list[tuple[float, float | None]] = [(slot.width, None)]
        wide = graded_width(sheet, entry.grade, kind.label)
        if grids.notes == "beside":
            column = slot.width - grids.notes_room * MM
            places = [(column - grids.gap_across * MM, column)]
        elif is_wide(sheet, slot):
            side = cell_size(sheet.layout, sheet.paper, puzzle) * puzzle.size
            ends = caption_end(sheet, slot, side)
            places.insert(0, (ends - wide - 14, ends - wide))
        one_line, two = cls._sizes(sheet)
        beside = grids.across > 1 and not sheet.layout.cards
        for count, sizes in ((1, one_line), (2, two)):
            for measure, grade in places:
                for size in sizes:
                    white = max(CLEAR * size - grids.gap_across * MM, 0.0) * beside
                    lines = cls._broken(sheet, title, entry.number, size, measure - white)
                    if len(lines) <= count and (count == 1 or _whole(lines, title, size, sizes)):
                        return cls(sheet, entry, lines, size, grade)
        measure, _ = places[-1]
        least, most = (two[-1], 2) if two else (one_line[-1], 1)
        lines = cls._broken(sheet, title, entry.number, least, measure)
        fits = len(title) * most // len(lines)
        raise source.fault(
            f"{len(title)} letters take {len(lines)} lines of {measure / MM:.0f} mm above the "
            f"grid, and there is room for {most}: {len(title) - fits} letters too many",
            f"shorten it to about {fits} letters, or take a layout with fewer grids to a page",
            len(title) - fits,
        )

    @staticmethod
    def _sizes(sheet: PageDesign) -> tuple[list[float], list[float]]:
        """The type sizes for one line, and for two, from the largest down, in quarter points."""
        kind, least = sheet.type, sheet.least.text
        # below the running head, and an accent on a capital
        over = sheet.head - 0.3 * kind.furniture - sheet.top - (HIGHEST - _CAPITAL) * least
        room = sheet.layout.grids.caption * MM + min(_OVER, over)

        def down(largest: float, least: float) -> list[float]:
            return [k / 4 for k in range(int(largest * 4), math.ceil(least * 4) - 1, -1)]

        lines = _LINE + _CAPITAL
        most = min((room - _ABOVE) / lines, room / (0.3 + lines), kind.title_least * 1.1)
        return down(kind.title, kind.title_least), down(most, least)

    @staticmethod
    def _broken(
        sheet: PageDesign, title: str, number: int, size: float, measure: float
    ) -> tuple[str, ...]:
        face = face_for(title, sheet.faces.title)
        return break_lines(title, face, size, measure - _number_room(sheet, number, size))

    def draw(self, x: float, band_top: float, near: float) -> list[Item]:
        """The items, right above a grid or its clues; the first line is ``near`` or nearer."""
        sheet, entry, size, number = self.sheet, self.entry, self.size, str(self.entry.number)
        title = checked(entry.puzzle.title, sheet.faces.title, HOUSE)
        face, tag = face_for(title, sheet.faces.title), Tag("H2")
        step = _LINE * size
        last = above_grid(sheet.type.title) if len(self.lines) == 1 else max(_ABOVE, 0.3 * size)
        last = min(last, near)
        baseline = band_top + last + step * (len(self.lines) - 1)
        start = x + _number_room(sheet, entry.number, size)
        items: list[Item] = [
            Destination(f"puzzle-{number}", x, baseline + sheet.type.title * 1.2),
            Text(x, baseline, number, sheet.faces.strong, size, tag=tag),
        ]
        for k, line in enumerate(self.lines):
            items.append(Text(start, baseline - k * step, line, face, size, tag=tag, quoted=True))
        if self.grade is not None:
            label = sheet.type.label
            items += graded(sheet, x + self.grade, baseline, entry.grade, label)
        return items


def _whole(lines: Sequence[str], title: str, size: float, sizes: Sequence[float]) -> bool:
    """Whether no word is broken; in the least type one may be."""
    return " ".join(lines) == title or size == sizes[-1]


def _number_room(sheet: PageDesign, number: int, size: float) -> float:
    """From the left edge of a caption to its title."""
    return width(str(number), sheet.faces.strong, size) + 0.45 * size


def caption_end(sheet: PageDesign, slot: Slot, side: float) -> float:
    """How far a caption and notes may reach: over their own grid, if that is not too small."""
    return max(side, slot.width * 0.75) if is_wide(sheet, slot) else slot.width


def is_wide(sheet: PageDesign, slot: Slot) -> bool:
    """Whether notes below a grid stand in two columns, and its grade in its caption."""
    return slot.width >= _WIDE * sheet.type.prose
