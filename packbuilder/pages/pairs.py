"""Pairs: what reading pages are made of, a heading and its text."""

from __future__ import annotations

from packbuilder.pages.blocks import Block, beside, gap, moved, stack
from packbuilder.pages.page_design import PageDesign

_LONG = 0.6  # of a page: so much is kept together


def pair(sheet: PageDesign, side: Block, main: Block, *, whole: float = 0.0) -> Block:
    """A heading in the side column, and its text beside it.

    Where there is one column it stands above its text, and the text may be broken between pages;
    so may a text beside it that would fill most of a page. In one column it is kept ``whole`` up
    to that height.
    """
    if sheet.stacked:
        together = stack([side, gap(sheet.type.prose * 0.3), main])
        if together.height <= whole:
            return together
        first, *rest = _pieces(main)
        heading = stack([side, gap(sheet.type.prose * 0.3), first])
        return stack([heading, *rest], breakable=True)
    offset = sheet.side + sheet.gutter
    if max(side.height, main.height) < _LONG * sheet.depth:
        return beside(side, main, offset)
    pieces, count, taken = _pieces(main), 0, 0.0
    while count < len(pieces) and taken < side.height:
        taken += pieces[count].height
        count += 1
    first = beside(side, stack(pieces[:count]), offset)
    return stack([first, *(moved(piece, offset) for piece in pieces[count:])], breakable=True)


def _pieces(block: Block) -> list[Block]:
    """A block in the pieces between which it may be broken."""
    return [piece for line in block.lines for piece in _pieces(line)] or [block]
