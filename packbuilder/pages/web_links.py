"""Web links in print: in words, and as a QR code; both live."""

from __future__ import annotations

from packbuilder.pages.blocks import Block, stack, text_line
from packbuilder.pages.faults import Source
from packbuilder.pages.ornaments import qr_code
from packbuilder.pages.page_design import PageDesign
from packbuilder.pages.prose import break_lines, printable
from packbuilder.plan.items import Figure, Item, Tag, WebLink
from packbuilder.typography.typeface import width


def link_words(sheet: PageDesign, url: str, measure: float, source: Source) -> Block:
    """A link as live text, in as many lines as it needs."""
    face, size = sheet.faces.label, sheet.type.label
    lines = break_lines(printable(url, face, source), face, size, measure)
    tag = Tag("Link", within=Tag("P"))
    block = stack([text_line(line, face, size, size * 1.3, tag=tag, quoted=True) for line in lines])

    def draw(x: float, top: float) -> list[Item]:
        longest = max(width(line, face, size) for line in lines)
        box = (x, top - block.height, x + longest, top)
        return [*block.draw(x, top), WebLink(box, url, tag)]

    return Block(block.height, draw)


def link_code(url: str, side: float) -> Block:
    """A link as a QR code, live too, without its quiet zone: see `ornaments.quiet_zone`."""

    def draw(x: float, top: float) -> list[Item]:
        link = Tag("Link", within=Tag("P"), alt=f"Link to {url}")
        tag = Tag("Figure", within=link, alt=f"QR code of the link {url}")
        code = Figure(tag, tuple(qr_code(url, x, top, side)))
        return [code, WebLink((x, top - side, x + side, top), url, link)]

    return Block(side, draw)
