"""The outline of a text edition: what stands in the file, as plain values.

`contents` makes it from a book, `writing` makes the file of it, and the read-back finds it again in
the file's bytes. A no-break space in words of the outline keeps a line whole there; in the file it
is a blank.
"""

from __future__ import annotations

from dataclasses import dataclass, field

WIDTH = 40
"""Signs of a line, but of one that is a single word, such as a web address.

40 cells are the line of a braille page (Braille Authority of North America, "Braille Formats:
Principles of Print-to-Braille Transcription", 2016; from memory) and the width of common displays.
They are also half of the 80 characters of the Web Content Accessibility Guidelines 2.1, criterion
1.4.8, so that text at twice the size need not be scrolled sideways (from memory).
"""

SECTION, TOPIC, PUZZLE, HINT, ANSWER = "==", "**", "##", "??", "!!"
MARKS = {SECTION: "section", TOPIC: "topic", PUZZLE: "puzzle", HINT: "hint", ANSWER: "answer"}
"""What a heading begins with, and what it is the heading of."""

Head = tuple[str, str]
"""The mark and the title of a heading, by which references know it."""


@dataclass(frozen=True)
class To:
    """A line that leads to headings: ``words`` has a ``{}`` for the line number of each."""

    words: str
    heads: tuple[Head, ...]


@dataclass(frozen=True)
class Paragraph:
    """Items of words, each of which begins on a line of its own. Read from a file: its lines."""

    items: tuple[str | To, ...]
    line: int = field(default=0, compare=False)


@dataclass(frozen=True)
class Rows:
    """A grid, or a picture of letters: its lines as they stand, blank ones between bands."""

    lines: tuple[str, ...]
    line: int = field(default=0, compare=False)


Block = Paragraph | Rows


@dataclass(frozen=True)
class Node:
    """A heading with what stands below it, up to the next heading of any kind."""

    mark: str
    title: str
    body: tuple[Block, ...] = ()
    line: int = field(default=0, compare=False)

    @property
    def head(self) -> Head:
        """Its mark and its title."""
        return self.mark, self.title


@dataclass(frozen=True)
class Outline:
    """The whole file: what stands before the first heading, then heading after heading."""

    front: tuple[Block, ...]
    nodes: tuple[Node, ...]
