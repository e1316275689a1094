"""Text as it is typed: what a person's own words become before anything is done with them."""

from __future__ import annotations

import unicodedata
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE, BOM_UTF32_BE, BOM_UTF32_LE

INKLESS = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode's categories of what cannot be printed: controls, invisible formatting (which could turn
the order of letters round), half surrogates, private use, unassigned, and its own line breaks."""


_MARKS = {
    BOM_UTF8: "utf-8-sig",
    BOM_UTF32_LE: "utf-32",  # before UTF-16, whose mark is the beginning of it
    BOM_UTF32_BE: "utf-32",
    BOM_UTF16_LE: "utf-16",
    BOM_UTF16_BE: "utf-16",
}


def encoding_of(data: bytes) -> str:
    """The encoding that the mark at the beginning of a file names; UTF-8 where there is none."""
    return next((name for mark, name in _MARKS.items() if data.startswith(mark)), "utf-8")


def inkless(text: str) -> str:
    """The characters of a text that cannot be printed; blanks, tabs and line ends are not meant."""
    return "".join(ch for ch in text if not ch.isspace() and unicodedata.category(ch) in INKLESS)


def tidy(text: str) -> str:
    """The words in normal form C, with single blanks and without what cannot be printed."""
    if text.isascii() and text.isprintable():  # most texts, and at once
        return " ".join(text.split())
    lost = inkless(text)
    kept = "".join(ch for ch in text if ch not in lost) if lost else text
    return " ".join(unicodedata.normalize("NFC", kept).split())
