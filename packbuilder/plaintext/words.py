"""Words of the outline: the pack's own, tidied, and such as may begin no line kept from that."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

from packbuilder.errors import InputError
from packbuilder.plan.outline import MARKS, WIDTH, Paragraph, To
from packbuilder.puzzle import Puzzle
from packbuilder.rules.contract import Clue

_NO_BREAK = "\u00a0"
_NO_START = re.compile(rf"{'|'.join(map(re.escape, MARKS))}|r\d+")
"""Words that begin no line but that of a heading or a row: they would be taken for one."""

_INKLESS = ("Cc", "Cf", "Cs", "Cn", "Co")


def tidy(text: str) -> str:
    """The words as they are, in normal form C, with single blanks and without marks of no ink."""
    seen = "".join(ch for ch in text if ch.isspace() or unicodedata.category(ch) not in _INKLESS)
    return " ".join(unicodedata.normalize("NFC", seen).split())


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
    for piece in kept(words).split(" "):
        if len(piece) > WIDTH and _NO_BREAK in piece:
            raise InputError(
                f"{source}: {piece.replace(_NO_BREAK, ' ')!r} cannot be set in lines of {WIDTH} "
                "signs, as no line of the text edition may begin like a heading or the row of a "
                "grid; word it otherwise"
            )
    return words


def field_of(puzzle: Puzzle, field: str) -> str:
    """Where a field of a puzzle stands, for messages."""
    where = f"{puzzle.where}: " if puzzle.where else ""
    return f"{where}puzzle {puzzle.id!r}: {field}"


def kept(words: str) -> str:
    """Words of which each that may begin no line is bound to the one before it."""
    first, *rest = words.split(" ")
    return first + "".join(
        (_NO_BREAK if _NO_START.fullmatch(word) else " ") + word for word in rest
    )


def said(*items: str | To) -> Paragraph:
    """A paragraph of items, each from a new line on."""
    return Paragraph(tuple(item if isinstance(item, To) else kept(item) for item in items))


def item(label: str, pieces: Sequence[str]) -> str:
    """``label: one two three``; no line is broken in the label or within a piece."""
    first, *rest = [piece.replace(" ", _NO_BREAK) for piece in pieces] or [""]
    return " ".join([f"{label}: {first}".rstrip().replace(" ", _NO_BREAK), *rest])


def clue_lines(clues: Iterable[Clue]) -> list[str]:
    """Clues of a rule, an item each."""
    return [item(one.label, one.pieces) for one in clues]
