"""Syntax: the objects of a PDF as Python values.

A name becomes a `str`, a string `bytes`, an array a list, a dictionary a dict. Only the spellings
that the press uses are read (ISO 32000-1, 7.3); whatever else stands there is damage.
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

_LONGEST = 60  # letters of what is quoted
_DEEPEST = 12  # arrays and dictionaries within each other; the press goes to 4


class Damaged(Exception):
    """The file is not built as the press builds files; the message says what is wrong."""


class Ref(NamedTuple):
    """A reference to an object, by its number."""

    number: int

    def __str__(self) -> str:
        return f"object {self.number}"


_TOKEN = re.compile(
    rb"[ \n]*(?:"
    rb"([1-9]\d{0,8}) 0 R\b"  # 1 reference
    rb"|(-?(?:0|[1-9]\d{0,9})\.\d{1,6})(?![\d.])"  # 2 number with a fraction
    rb"|(-?(?:0|[1-9]\d{0,9}))(?![\d.])"  # 3 whole number
    rb"|/([\w.+\-]{1,100})"  # 4 name
    rb"|\(((?:[ -'*-\[\]-~]|\\[()\\])*)\)"  # 5 string in letters
    rb"|<((?:[0-9A-F]{2})*)>"  # 6 string in hexadecimal digits
    rb"|(<<|\[)"  # 7
    rb"|(>>|\])"  # 8
    rb"|(true|false|null)\b"  # 9
    rb"|(.|\n)"  # 10 damage
    rb")"
)
_WORDS = {b"true": True, b"false": False, b"null": None}
_ESCAPE = re.compile(rb"\\(.)")


def parse(data: bytes) -> Any:
    """The one value that some bytes are. Raises Damaged."""
    value, end = parse_first(data, 0)
    if data[end:].strip(b" \n"):
        raise Damaged("an object is followed by what does not belong to it")
    return value


def parse_first(data: bytes, start: int) -> tuple[Any, int]:
    """The value that begins at ``start``, and where it ends. Raises Damaged."""
    outer: list[tuple[bytes, list[Any]]] = []
    here: list[Any] = []
    for found in _TOKEN.finditer(data, start):
        kind = found.lastindex
        value: Any
        if kind == 4:
            value = found[4].decode("ascii")
        elif kind == 1:
            value = Ref(int(found[1]))
        elif kind == 3:
            value = int(found[3])
        elif kind == 7:
            if len(outer) == _DEEPEST:
                raise Damaged("an object is nested too deep")
            outer.append((found[7], here))
            here = []
            continue
        elif kind == 8:
            if not outer:
                break
            opened, around = outer.pop()
            if (opened == b"[") is not (found[8] == b"]"):
                break
            value, here = (here if opened == b"[" else _dictionary(here)), around
        elif kind == 5:
            value = _ESCAPE.sub(rb"\1", found[5]) if b"\\" in found[5] else found[5]
        elif kind == 6:
            value = bytes.fromhex(found[6].decode("ascii"))
        elif kind == 2:
            value = float(found[2])
        elif kind == 9:
            value = _WORDS[found[9]]
        else:
            break
        if not outer:
            return value, found.end()
        here.append(value)
    raise Damaged("an object cannot be read")


def _dictionary(parts: list[Any]) -> dict[str, Any]:
    keys = parts[::2]
    found = dict(zip(keys, parts[1::2], strict=False)) if all(type(k) is str for k in keys) else {}
    if 2 * len(found) != len(parts):
        raise Damaged("a dictionary has a key twice, or none for a value")
    return found


def text_string(text: str) -> bytes:
    """A text as PDF has it: its letters where it is ASCII, else UTF-16 (7.9.2.2)."""
    if text.isascii() and text.isprintable():
        return text.encode("ascii")
    return b"\xfe\xff" + text.encode("utf-16-be")


def shown(value: Any) -> str:
    """A value in words, cut short."""
    if isinstance(value, bytes):
        utf = value.startswith(b"\xfe\xff")
        return quoted(value[2:].decode("utf-16-be", "replace") if utf else value.decode("latin-1"))
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a dictionary"
    return str(value)


def quoted(text: str) -> str:
    """Words in quotation marks, cut short."""
    return repr(text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…")
