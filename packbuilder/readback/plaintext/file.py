"""The file itself: bytes to lines, and whether bytes and lines are as the house style has them."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from packbuilder.files import read_file
from packbuilder.readback.report import Finding

LONGEST = 40
"""Characters of a line, but of one that is a single word."""
MOST_BYTES = 10_000_000

HEADINGS = ("== ", "** ", "## ", "?? ", "!! ")
"""How a heading begins."""

_BOM = b"\xef\xbb\xbf"


class Line(NamedTuple):
    """A line of the file: its number, from 1, and its text."""

    number: int
    text: str


def load(source: Path | bytes) -> bytes:
    """The bytes of a file. Raises InputError where there is none, or where it is far too large."""
    return source if isinstance(source, bytes) else read_file(source, MOST_BYTES, "a text edition")


def decoded(data: bytes) -> tuple[list[Line], list[Finding]]:
    """The lines of a file, and what is wrong with its bytes. Faulty bytes are read as U+FFFD."""
    found: list[Finding] = []
    if data.startswith(_BOM):
        found.append(_encoding("the file begins with a byte order mark", 1))
        data = data[len(_BOM) :]
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        here = data[: fault.start].count(b"\n") + 1
        found.append(_encoding("the bytes are no UTF-8", here))
    text = data.decode("utf-8", errors="replace")
    if "\r" in text:
        here = text[: text.index("\r")].count("\n") + 1
        found.append(_encoding("a line ends in a carriage return; lines end in a line feed", here))
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.endswith("\n"):
        found.append(_encoding("the last line does not end in a line feed", text.count("\n") + 1))
    rows = text.removesuffix("\n").split("\n")
    return [Line(k, row) for k, row in enumerate(rows, start=1)], found


def check_lines(lines: list[Line]) -> Iterator[Finding]:
    """Lines are short, in normal form C, without tabs and trailing blanks; no two are blank."""
    blank = True  # none stands at the head either
    for number, text in lines:
        if not unicodedata.is_normalized("NFC", text):
            yield _encoding("the line is not in normal form C", number)
        if any(not ch.isprintable() for ch in text):
            yield Finding("text-form", "the line holds a sign that is not printed", line=number)
        elif len(text) > LONGEST and " " in text:
            told = f"the line is {len(text)} signs long; {LONGEST} is the most"
            yield Finding("text-form", told, line=number)
        if text != text.rstrip():
            yield Finding("text-form", "the line ends in a blank", line=number)
        if text[:1].isspace():
            yield Finding("text-form", "the line begins with a blank", line=number)
        if text.startswith(HEADINGS) and not blank:
            yield Finding("text-form", "no blank line stands above the heading", line=number)
        if not text and blank:
            yield Finding("text-form", "a blank line too many", line=number)
        blank = not text
    if blank:
        yield Finding("text-form", "the file ends in a blank line", line=len(lines))


def _encoding(told: str, line: int) -> Finding:
    return Finding("encoding", told, line=line)
