"""Pairs: what reading pages are made of, headings and their text."""

from __future__ import annotations

from packbuilder.pages.blocks import Block, beside, gap, moved, paragraph, stack
from packbuilder.pages.page_design import PageDesign
from packbuilder.typography.typeface import face_for

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


def heading(sheet: PageDesign, text: str, role: str = "H2") -> Block:
    """A heading in the side column: of a part, or (``H3``) of something under a part's title."""
    return paragraph(text, sheet.faces.strong, sheet.type.prose, sheet.side, role=role)


def note(sheet: PageDesign, text: str) -> Block:
    """A quiet line below a heading."""
    return paragraph(text, sheet.faces.label, sheet.type.label, sheet.side, "quiet")


def prose(sheet: PageDesign, text: str, measure: float = 0.0) -> Block:
    """A paragraph in the main column, or as wide as its ``measure``."""
    face = face_for(text, sheet.faces.prose)
    return paragraph(text, face, sheet.type.prose, measure or sheet.main)
