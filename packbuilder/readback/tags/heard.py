"""What is heard of an element: the text of its marked content, or what it is told by instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from packbuilder.readback.document import FURNITURE, UNMARKED, Glyph
from packbuilder.readback.sections import runs_of
from packbuilder.readback.survey import Leaf
from packbuilder.readback.tags.tree import Content, Element


@dataclass(frozen=True)
class Heard:
    """The pages' text by marked content, in the order of painting."""

    leaves: Sequence[Leaf]

    @cached_property
    def glyphs(self) -> Mapping[Content, tuple[Glyph, ...]]:
        """The inked glyphs of each marked content."""
        found: dict[Content, list[Glyph]] = {}
        for leaf in self.leaves:
            for glyph in leaf.sheet.glyphs:
                if glyph.tag >= 0 and glyph.text.strip():
                    found.setdefault(Content(leaf.number, glyph.tag), []).append(glyph)
        return {content: tuple(some) for content, some in found.items()}

    @cached_property
    def said(self) -> Mapping[Content, str]:
        """What marked content is to be told by in place of its own text."""
        return {
            Content(leaf.number, tag): words
            for leaf in self.leaves
            for tag, words in leaf.sheet.said
            if tag not in (FURNITURE, UNMARKED)
        }

    def printed(self, element: Element) -> str:
        """The text of an element as it is printed."""
        return " ".join(text_of(self.glyphs.get(one, ())) for one in element.contents()).strip()

    def text(self, element: Element) -> str:
        """What a reader hears of an element."""
        if element.said is not None:
            return element.said
        parts = []
        for kid in element.kids:
            if isinstance(kid, Element):
                parts.append(self.text(kid))
            elif isinstance(kid, Content):
                parts.append(self.said.get(kid) or text_of(self.glyphs.get(kid, ())))
        return " ".join(part for part in parts if part)


def text_of(glyphs: Sequence[Glyph]) -> str:
    """The words of some glyphs, line by line."""
    if len(glyphs) == 1:
        return glyphs[0].text.strip()
    return " ".join(run.text for run in runs_of(glyphs))
