"""From the lines of a file to its outline, by the marks of headings and the names of rows alone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packbuilder.grid import SYMBOLS, Values
from packbuilder.plan.outline import MARKS, Block, Node, Outline, Paragraph, Rows
from packbuilder.readback.plaintext.file import Line

_ROW = re.compile(r"r[0-9]{1,2}( .*)?")


def parsed(lines: Sequence[Line]) -> Outline:
    """The outline: items of its paragraphs are the lines that they stand on."""
    front: list[Block] = []
    heads: list[Paragraph] = []
    bodies: list[list[Block]] = []
    for block in _with_rows(_paragraphs(lines)):
        if isinstance(block, Paragraph) and _mark(text_of(block)):
            heads.append(block)
            bodies.append([])
        else:
            (bodies[-1] if bodies else front).append(block)
    nodes = []
    for head, body in zip(heads, bodies, strict=True):
        mark, _, title = text_of(head).partition(" ")
        nodes.append(Node(mark, title, tuple(body), head.line))
    return Outline(tuple(front), tuple(nodes))


def text_of(paragraph: Paragraph) -> str:
    """The words of a paragraph of a file, as if it stood on one line."""
    return " ".join(map(str, paragraph.items))


def signs_of(rows: Rows) -> list[list[str]]:
    """The signs of each row of a file, behind its name."""
    return [line.split()[1:] for line in rows.lines if line]


def values_of(rows: Rows, size: int) -> Values | None:
    """The digits of a grid, 0 for an empty cell; None where they are not a sign for each cell."""
    signs = [sign for row in signs_of(rows) for sign in row]
    if len(signs) != size * size or any(sign not in SYMBOLS[: size + 1] for sign in signs):
        return None
    return tuple(SYMBOLS.index(sign) for sign in signs)


def _mark(text: str) -> bool:
    return text.split(" ", 1)[0] in MARKS


def _paragraphs(lines: Sequence[Line]) -> Iterator[Paragraph]:
    """Lines without a blank one between them; a heading begins anew, whatever stands above."""
    held: list[Line] = []
    for line in (*lines, Line(0, "")):
        if held and (not line.text or _mark(line.text)):
            yield Paragraph(tuple(one.text for one in held), held[0].number)
            held = []
        if line.text:
            held.append(line)


def _with_rows(paragraphs: Iterator[Paragraph]) -> Iterator[Block]:
    """The paragraphs, those of rows as grids. A row r1 begins a new grid."""
    held: list[str] = []
    start = 0
    for paragraph in paragraphs:
        here = [str(item) for item in paragraph.items]
        rows = _ROW.fullmatch(here[0]) is not None
        if held and (not rows or here[0].split()[0] == "r1"):
            yield Rows(tuple(held), start)
            held = []
        if not rows:
            yield paragraph
            continue
        start = paragraph.line if not held else start
        held += ["", *here] if held else here
    if held:
        yield Rows(tuple(held), start)
