"""Pairs: what reading pages are made of, a heading and its text."""

from __future__ import annotations

from packbuilder.pages.blocks import Block, beside, gap, stack
from packbuilder.pages.sheet import Sheet


def pair(sheet: Sheet, side: Block, main: Block) -> Block:
    """A heading in the side column, and its text beside it.

    Where there is one column it stands above its text, and the text may be broken between pages.
    """
    if not sheet.stacked:
        return beside(side, main, sheet.side + sheet.gutter)
    first, *rest = _pieces(main)
    heading = stack([side, gap(sheet.type.prose * 0.3), first])
    return stack([heading, *rest], breakable=True)


def _pieces(block: Block) -> list[Block]:
    """A block in the pieces between which it may be broken."""
    return [piece for line in block.lines for piece in _pieces(line)] or [block]
