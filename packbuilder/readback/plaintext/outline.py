"""The outline of the file: sections, their items and topics, paragraphs."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from packbuilder.readback.plaintext.file import Line

SECTION, TOPIC, PUZZLE, HINT, ANSWER = "==", "**", "##", "??", "!!"
MARKS = (SECTION, TOPIC, PUZZLE, HINT, ANSWER)

USE, CONTENTS, FOREWORD, HOW_TO_PLAY = "How to use this file", "Contents", "Foreword", "How to play"
PRIMER, PUZZLES, ANSWERS, CREDITS = "Primer", "Puzzles", "Answers", "Credits"
TIERS = ("First hints", "Second hints", "Third hints")
END = "End of the file"


@dataclass(frozen=True)
class Paragraph:
    """Lines without a blank one between them."""

    lines: tuple[Line, ...]

    @property
    def line(self) -> int:
        """The number of its first line."""
        return self.lines[0].number

    @cached_property
    def text(self) -> str:
        """Its words, as if it stood on one line."""
        return " ".join(line.text for line in self.lines)


@dataclass(frozen=True)
class Node:
    """A heading with what stands below it, up to the next heading."""

    mark: str
    title: str
    line: int
    body: tuple[Paragraph, ...]


@dataclass(frozen=True)
class Item:
    """A heading and the topics below it: a puzzle with its grid and its rules."""

    head: Node
    topics: tuple[Node, ...]


@dataclass(frozen=True)
class Part:
    """A section: its heading, and its items. Topics that belong to no item are items too."""

    head: Node
    items: tuple[Item, ...]

    @property
    def name(self) -> str:
        """Its name."""
        return self.head.title


@dataclass(frozen=True)
class Outline:
    """The whole file: what stands before the first section, then the sections."""

    title: tuple[Paragraph, ...]
    parts: tuple[Part, ...]

    def part(self, name: str) -> Part | None:
        """The first section of that name."""
        return next((part for part in self.parts if part.name == name), None)

    @cached_property
    def heads(self) -> dict[int, Node]:
        """Every heading, by its line."""
        nodes = [node for p in self.parts for i in p.items for node in (i.head, *i.topics)]
        return {node.line: node for node in (*nodes, *(part.head for part in self.parts))}


def outline(lines: Sequence[Line]) -> Outline:
    """The outline that the marks of headings give."""
    paragraphs = list(_paragraphs(lines))
    start = next((k for k, p in enumerate(paragraphs) if _mark(p)), len(paragraphs))
    nodes = list(_nodes(paragraphs[start:]))
    parts = []
    for group in _groups(nodes, (SECTION,)):
        items = [Item(one[0], tuple(one[1:])) for one in _groups(group[1:], _ITEMS)]
        parts.append(Part(group[0], tuple(items)))
    return Outline(tuple(paragraphs[:start]), tuple(parts))


_ITEMS = (PUZZLE, HINT, ANSWER)


def said(text: str) -> str:
    """Words as the house style prints them: single blanks, normal form C, no marks without ink."""
    inked = "".join(ch for ch in text if ch.isprintable() or ch.isspace())
    return " ".join(unicodedata.normalize("NFC", inked).split())


def _paragraphs(lines: Sequence[Line]) -> Iterator[Paragraph]:
    held: list[Line] = []
    for line in lines:
        heading = line.text.split(" ", 1)[0] in MARKS
        if held and (not line.text or heading):  # a heading begins anew, whatever stands above
            yield Paragraph(tuple(held))
            held = []
        if line.text:
            held.append(line)
    if held:
        yield Paragraph(tuple(held))


def _mark(paragraph: Paragraph) -> str | None:
    mark = paragraph.text.split(" ", 1)[0]
    return mark if mark in MARKS else None


def _nodes(paragraphs: Sequence[Paragraph]) -> Iterator[Node]:
    starts = [k for k, p in enumerate(paragraphs) if _mark(p)]
    for start, stop in pairwise([*starts, len(paragraphs)]):
        head = paragraphs[start]
        mark, _, title = head.text.partition(" ")
        yield Node(mark, title, head.line, tuple(paragraphs[start + 1 : stop]))


def _groups(nodes: Sequence[Node], marks: Sequence[str]) -> Iterator[list[Node]]:
    """Nodes in groups, each begun by a node with one of the marks; or alone, before the first."""
    group: list[Node] = []
    for node in nodes:
        if node.mark in marks or not group or group[0].mark not in marks:
            if group:
                yield group
            group = [node]
        else:
            group.append(node)
    if group:
        yield group
