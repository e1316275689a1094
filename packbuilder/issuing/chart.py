"""The chart of the year, planned like any page: a square for each thing in each issue, as large as
it was often."""

from __future__ import annotations

from pathlib import Path

from packbuilder.book.wording import month_name
from packbuilder.issuing.year import Kind, Use, Year
from packbuilder.layouts.papers import MM
from packbuilder.pages.blocks import Block, gap, paragraph, text_line
from packbuilder.pages.draft import Draft
from packbuilder.pages.leaflet import leaflet
from packbuilder.pages.page_design import ASCENT, PageDesign
from packbuilder.pages.prose import cut
from packbuilder.plan.items import Box, Figure, Fills, Item, Plan, Tag, Text
from packbuilder.puzzle import Pack
from packbuilder.typography.typeface import face_for, width

MOST_ISSUES = 24
_ROW = 5 * MM
_WIDEST = 12 * MM
_LEAD = "A square for each thing in each issue: the larger, the more of the puzzles had it."


def chart(year: Year) -> Plan:
    """The chart of the last issues, on A4; what none of them had is left out."""
    last = year.issues[-1]
    pack = Pack("year", Path(), "The year", last.issue, "", ())

    def draw(draft: Draft) -> None:
        draft.begin("The year", _LEAD)
        blocks = [_months(draft.sheet, year)]
        for kind in year.kinds:
            blocks += _rows(draft.sheet, kind, year)
        draft.flow(blocks)

    return leaflet(pack, f"The year up to {month_name(last.issue)}", draw)


def _columns(sheet: PageDesign, year: Year) -> tuple[int, float]:
    """How many issues are shown, and how wide their columns are."""
    count = min(len(year.issues), MOST_ISSUES)
    return count, min(_WIDEST, sheet.main / count)


def _months(sheet: PageDesign, year: Year) -> Block:
    """The head: each month in figures, the year below the first of each."""
    count, wide = _columns(sheet, year)
    issues, face, size = year.issues[-count:], sheet.faces.label, sheet.type.furniture

    def draw(x: float, top: float) -> list[Item]:
        items: list[Item] = []
        left, shown = x + sheet.side + sheet.gutter, ""
        for k, one in enumerate(issues):
            number, month = one.issue.split("-")
            for text, line in ((month, 0), ("" if number == shown else number, 1)):
                if text:
                    start = left + (k + 0.5) * wide - width(text, face, size) / 2
                    items.append(Text(start, top - size - line * 1.2 * size, text, face, size))
            shown = number
        return items

    return Block(3 * size, draw, keep=True)


def _rows(sheet: PageDesign, kind: Kind, year: Year) -> list[Block]:
    count, wide = _columns(sheet, year)
    used = [use for use in kind.uses if sum(use.counts[-count:])]
    if not used:
        return []
    head = paragraph(kind.title.capitalize(), sheet.faces.strong, sheet.type.prose, sheet.measure,
                     role="H2")  # fmt: skip
    most = max(max(use.counts[-count:]) for use in used)
    rows = [_row(sheet, use, year, (count, wide, most)) for use in used]
    return [gap(4 * MM), Block(head.height, head.draw, keep=True), *rows]


def _row(sheet: PageDesign, use: Use, year: Year, shape: tuple[int, float, int]) -> Block:
    count, wide, most = shape
    face, size = face_for(use.name, sheet.faces.label), sheet.type.label
    name = cut(use.name, face, size, sheet.side + sheet.gutter - 6)
    counts = use.counts[-count:]

    def draw(x: float, top: float) -> list[Item]:
        left, middle = x + sheet.side + sheet.gutter, top - _ROW / 2
        boxes: list[Box] = []
        for k, number in enumerate(counts):
            half = _ROW * 0.42 * (number / most) ** 0.5
            at = left + (k + 0.5) * wide
            boxes.append((at - half, middle - half, at + half, middle + half))
        label = text_line(name, face, size, _ROW, quoted=True)
        shown = tuple(box for box, number in zip(boxes, counts, strict=True) if number)
        told = (
            f"{number} in {month_name(issue.issue)}"
            for issue, number in zip(year.issues[-count:], counts, strict=True)
            if number
        )
        tag = Tag("Figure", alt=f"{use.name}: {', '.join(told)}")
        drawn = label.draw(x, middle + ASCENT * size - 0.3 * size)
        return [*drawn, Figure(tag, (Fills(shown, "quiet"),))]

    return Block(_ROW, draw)
