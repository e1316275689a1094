"""Blocks: pieces of a page with a known height, set one under another or in columns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from packbuilder.pages.page_design import ASCENT, LEADING
from packbuilder.pages.prose import break_lines
from packbuilder.plan.inks import Ink
from packbuilder.plan.items import Item, Tag, Text
from packbuilder.typography.typeface import face_for, width

Drawing = Callable[[float, float], list[Item]]
"""Items of a block whose upper left corner is at x, y."""


@dataclass(frozen=True)
class Block:
    """Something of known height. ``lines`` are the pieces between which it may be broken, if any.

    ``keep`` holds it together with what follows: a heading is not left alone at a page's foot.
    ``columns`` is how many columns it takes where it stands in rows.
    """

    height: float
    draw: Drawing
    lines: tuple[Block, ...] = ()
    keep: bool = False
    columns: int = 1


def gap(height: float) -> Block:
    """White."""
    return Block(height, lambda _x, _top: [])


def text_line(
    text: str,
    face: str,
    size: float,
    leading: float,
    ink: Ink = "ink",
    tag: Tag | None = None,
    *,
    quoted: bool = False,
) -> Block:
    """One line of text, in the room that its leading gives it; a paragraph if it has no tag."""
    face, tag = face_for(text, face), tag or Tag("P")

    def draw(x: float, top: float) -> list[Item]:
        return [Text(x, top - ASCENT * size, text, face, size, ink, tag=tag, quoted=quoted)]

    return Block(leading, draw)


def paragraph(
    text: str,
    face: str,
    size: float,
    measure: float,
    ink: Ink = "ink",
    leading: float | None = None,
    role: str = "P",
    *,
    quoted: bool = False,
) -> Block:
    """A paragraph set ragged right, which may be broken between pages.

    ``role`` is what it is to a screen reader: ``P``, or ``H2`` or ``H3`` for a heading. ``quoted``
    are words of the pack, not of the house.
    """
    face, tag = face_for(text, face), Tag(role)
    step = size * LEADING if leading is None else leading
    lines = break_lines(text, face, size, measure)
    set_lines = [text_line(line, face, size, step, ink, tag, quoted=quoted) for line in lines]
    return of_lines(set_lines)


def of_lines(lines: Sequence[Block]) -> Block:
    """Lines as a paragraph, of which two lines or more stay together where it is broken."""
    if len(lines) < 4:
        return stack(lines)
    return stack([stack(lines[:2]), *lines[2:-2], stack(lines[-2:])], breakable=True)


def ending_in(text: str, ending: int, faces: tuple[str, str], size: float, measure: float) -> Block:
    """A paragraph whose letters from ``ending`` on are set in the second of two faces."""
    face, strong = (face_for(text, one) for one in faces)
    tag, step = Tag("P"), size * LEADING
    blocks, at = [], 0
    for line in break_lines(text, face, size, measure, ending, strong):
        cut = min(max(ending - at, 0), len(line))
        at += len(line)
        at += text[at : at + 1] == " "
        blocks.append(_two_faced(line, cut, (face, strong), size, step, tag))
    return of_lines(blocks)


def _two_faced(
    line: str, cut: int, faces: tuple[str, str], size: float, leading: float, tag: Tag
) -> Block:
    parts = [(line[:cut], faces[0]), (line[cut:], faces[1])]

    def draw(x: float, top: float) -> list[Item]:
        items: list[Item] = []
        for text, face in parts:
            if text:
                y = top - ASCENT * size
                items.append(Text(x, y, text, face, size, tag=tag, quoted=True))
                x += width(text, face, size)
        return items

    return Block(leading, draw)


def stack(blocks: Sequence[Block], breakable: bool = False, columns: int = 1) -> Block:
    """Blocks under one another, as one."""
    parts = tuple(blocks)

    def draw(x: float, top: float) -> list[Item]:
        items: list[Item] = []
        for part in parts:
            items += part.draw(x, top)
            top -= part.height
        return items

    height = sum(part.height for part in parts)
    return Block(height, draw, parts if breakable else (), columns=columns)


def beside(left: Block, right: Block, offset: float) -> Block:
    """Two blocks side by side, the right one ``offset`` further right."""

    def draw(x: float, top: float) -> list[Item]:
        return left.draw(x, top) + right.draw(x + offset, top)

    return Block(max(left.height, right.height), draw)


def moved(block: Block, by: float) -> Block:
    """A block so much further right."""
    return Block(block.height, lambda x, top: block.draw(x + by, top), columns=block.columns)


def split(block: Block, room: float) -> tuple[Block, Block] | None:
    """A block in two where it may be broken, the first no higher than ``room``, neither empty; None
    where that cannot be."""
    lines = block.lines
    taken, count = 0.0, 0
    while count < len(lines) and taken + lines[count].height <= room:
        taken += lines[count].height
        count += 1
    count = min(count, len(lines) - 1)
    if count < 1:
        return None
    return stack(lines[:count], breakable=True), stack(lines[count:], breakable=True)
