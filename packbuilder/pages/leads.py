"""Leads: live links in words, ``First hint: page 24``, by which a reader is led on."""

from __future__ import annotations

from collections.abc import Sequence

from packbuilder.pages.blocks import Block
from packbuilder.pages.page_design import ASCENT, UNKNOWN, PageDesign
from packbuilder.plan.items import Item, Reference
from packbuilder.typography.typeface import width


def lead(sheet: PageDesign, label: str, name: str) -> Block:
    """One on a line of its own: its words, and the name of the place that it leads to."""
    return in_lines(sheet, [(label, name)], 0)


def in_lines(sheet: PageDesign, ways: Sequence[tuple[str, str]], measure: float) -> Block:
    """Several, as many in a line as there is room for."""
    size, face = sheet.type.label, sheet.faces.label
    between = max(12.0, 1.5 * size)
    spots: list[tuple[float, int, str, str]] = []
    x, line = 0.0, 0
    for label, name in ways:
        told = f"{label}: page "
        wide = width(f"{told}{UNKNOWN}", face, size)
        if spots and x + wide > measure:
            x, line = 0.0, line + 1
        spots.append((x, line, told, name))
        x += wide + between

    def draw(left: float, top: float) -> list[Item]:
        y = top - ASCENT * size
        return [
            Reference(left + x, y - line * size * 1.4, told, name, face, size)
            for x, line, told, name in spots
        ]

    return Block(size * 1.4 * (line + 1), draw)
