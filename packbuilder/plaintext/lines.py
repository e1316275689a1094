"""Lines: what the file is made of. Words in short lines, headings with a mark, references by line.

No line is longer than `WIDTH` but a word that is, such as a web address: 40 cells are the line of
a braille page (Braille Authority of North America, "Braille Formats: Principles of
Print-to-Braille Transcription", 2016; from memory) and the width of common displays. They are also
half of the 80 characters of the Web Content Accessibility Guidelines 2.1, criterion 1.4.8, so that
text at twice the size need not be scrolled sideways (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from packbuilder.errors import InputError
from packbuilder.puzzle import Puzzle
from packbuilder.text import tidy

WIDTH = 40

SECTION, TOPIC, PUZZLE, HINT, ANSWER = "==", "**", "##", "??", "!!"
MARKS = {SECTION: "section", TOPIC: "topic", PUZZLE: "puzzle", HINT: "hint", ANSWER: "answer"}
"""What a heading begins with, and what it is the heading of."""

_NO_START = re.compile(rf"{'|'.join(map(re.escape, MARKS))}|r\d+")
"""Words that begin no line but that of a heading or a row: they would be taken for one."""


@dataclass(frozen=True)
class At:
    """A place that references lead to. It takes no line: it is the next line's."""

    name: str


@dataclass(frozen=True)
class To:
    """A line that leads to places: ``words`` has a ``{}`` for the line number of each."""

    words: str
    names: tuple[str, ...]


Line = str | At | To


@dataclass(frozen=True)
class Section:
    """A section: its name, and its parts, set apart by blank lines."""

    name: str
    parts: tuple[Sequence[Line], ...]

    def lines(self) -> list[Line]:
        """The whole section, heading and all."""
        head: list[Line] = [At(place_of(self.name)), *heading(SECTION, self.name)]
        return apart([head, *self.parts])


def place_of(section: str) -> str:
    """The name of the place where a section begins."""
    return f"section {section}"


# --- words -----------------------------------------------------------------------------------


def own(text: str, source: str) -> str:
    """The pack's own words, tidied. ``source`` says where they come from, for messages.

    Raises InputError where they would be taken for a heading or a row of a grid.
    """
    words = tidy(text)
    first = words.partition(" ")[0]
    if _NO_START.fullmatch(first):
        what = f"the heading of a {MARKS[first]}" if first in MARKS else "the row of a grid"
        raise InputError(
            f"{source}: begins with {first!r}, which is how {what} begins in the text edition; "
            "begin with another word"
        )
    for piece in _together(words.split(" ")):
        if len(piece) > WIDTH and " " in piece:
            raise InputError(
                f"{source}: {piece!r} cannot be set in lines of {WIDTH} signs, as no line of the "
                "text edition may begin like a heading or the row of a grid; word it otherwise"
            )
    return words


def field_of(puzzle: Puzzle, field: str) -> str:
    """Where a field of a puzzle stands, for messages."""
    where = f"{puzzle.where}: " if puzzle.where else ""
    return f"{where}puzzle {puzzle.id!r}: {field}"


def paragraph(text: str) -> list[str]:
    """Words in lines; no line but the first begins with what looks like a mark or a row."""
    return filled(text.split(" "))


def filled(words: Iterable[str]) -> list[str]:
    """Pieces of text, each kept on one line, in as few lines as hold them."""
    lines: list[str] = []
    for piece in _together(words):
        if lines and len(lines[-1]) + 1 + len(piece) <= WIDTH:
            lines[-1] += f" {piece}"
        else:
            lines.append(piece)
    return lines


def _together(words: Iterable[str]) -> Iterator[str]:
    """The words, each that may not begin a line joined to the one before it."""
    held = ""
    for word in words:
        if held and _NO_START.fullmatch(word):
            held += f" {word}"
        else:
            if held:
                yield held
            held = word
    if held:
        yield held


def heading(mark: str, text: str) -> list[str]:
    """A heading of any length: the mark, a blank, the words."""
    return paragraph(f"{mark} {text}")


def item(label: str, values: Iterable[str], comma: str = "") -> list[str]:
    """``label: one two three``: values parted by blanks, or by a ``comma`` and a blank."""
    found = list(values)
    pieces = [f"{value}{comma}" for value in found[:-1]] + found[-1:]
    if pieces:
        return filled([f"{label}: {pieces[0]}", *pieces[1:]])
    return [f"{label}:"]


def apart(parts: Iterable[Sequence[Line]]) -> list[Line]:
    """Parts with a blank line between them; empty parts are left out."""
    lines: list[Line] = []
    for part in parts:
        if part:
            lines += ["", *part] if lines else part
    return lines


# --- the file --------------------------------------------------------------------------------


def encoded(parts: Iterable[Sequence[Line]]) -> bytes:
    """The file: parts set apart by a blank line, references filled in, line feeds, UTF-8."""
    lines = apart(parts)
    places: dict[str, int] = {}
    count = 1
    for line in lines:
        if isinstance(line, At):
            places[line.name] = count
        else:
            count += 1
    printed = [
        line.words.format(*(places[name] for name in line.names)) if isinstance(line, To) else line
        for line in lines
        if not isinstance(line, At)
    ]
    return "".join(f"{line}\n" for line in printed).encode("utf-8")
