"""Masters: a released file, and how a copy of it says whose it is.

A copy is the master's bytes and a tail. Of a PDF the tail is an incremental update (ISO 32000-1,
7.5.6): a new version of the one object that every page shows, the stamp, and a cross-reference to
it. Of the text edition it is a paragraph more. So the file that was read back is the beginning of
every copy, and what follows it can be told to the byte.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from struct import Struct

from packbuilder.errors import InputError
from packbuilder.plaintext.writing import filled
from packbuilder.typography.names import width

_TAIL = re.compile(rb"startxref\n(\d+)\n%%EOF\n\Z")
_XREF = re.compile(
    rb"(?P<number>\d+) 0 obj\n<</Type/XRef/Size (?P<size>\d+)/W\[1 4 2\]"
    rb"(?P<ends>/Root \d+ 0 R/Info \d+ 0 R)/ID\[<(?P<id>[0-9A-F]{32})><[0-9A-F]{32}>\]"
)
_STAMP = re.compile(
    rb"(?P<number>\d+) 0 obj\n"
    rb"(?P<head><</Type/XObject/Subtype/Form/BBox\[0 \S+ (?P<width>[\d.]+) \S+\]"
    rb"/Resources<</Font<</N \d+ 0 R>>>>)/Length \d+>>\nstream\n"
    rb"BT (?P<grey>[\d.]+) g /N (?P<size>[\d.]+) Tf 1 0 0 1 0 0 Tm <> Tj ET\nendstream\nendobj\n"
)
_ENTRY = Struct(">BIH")
_WORDS = re.compile(rb" Tm <([0-9a-f]*)> Tj ET\nendstream")
_SAID = re.compile(r"Copy (\d+)(?: · |: )(.+)", re.DOTALL)
_CUT = "…"


@dataclass(frozen=True)
class Words:
    """What a copy says: the line, and whether the name had to be cut to fit."""

    text: str
    cut: bool = False


class PdfMaster:
    """A released PDF. Raises InputError where it has no room for a stamp."""

    def __init__(self, data: bytes, file: Path) -> None:
        self.data = data
        end = _TAIL.search(data, max(0, len(data) - 40))
        xref = _XREF.match(data, int(end[1])) if end else None
        stamps = list(_STAMP.finditer(data))
        if end is None or xref is None or len(stamps) != 1:
            raise InputError(
                f"{file}: has no room for whose copy it is: it was built before there was any, or "
                "in a layout that has none. Build it again; if that does not help, give the "
                "layout's `margins` at the bottom 18 mm or more"
            )
        self._stamp, self._xref, self._before = stamps[0], xref, end[1]

    def words(self, number: int, name: str) -> Words:
        """What the copy says, cut where the stamp has no room for the whole name."""
        text = f"Copy {number} · {name}"
        if self._width(text) <= self._room:
            return Words(text)
        while self._width(text + _CUT) > self._room:
            text = text[:-1]
        return Words(text.rstrip() + _CUT, cut=True)

    def stamp(self, words: str) -> bytes:
        """The stamp's object with words in the middle of its room."""
        stamp, aside = self._stamp, (self._room - self._width(words)) / 2
        content = b"BT %b g /N %b Tf 1 0 0 1 %.2f 0 Tm <%b> Tj ET" % (
            stamp["grey"], stamp["size"], aside, words.encode("utf-16-be").hex().encode("ascii")
        )  # fmt: skip
        head = b"%b 0 obj\n%b/Length %d>>" % (stamp["number"], stamp["head"], len(content))
        return b"%b\nstream\n%b\nendstream\nendobj\n" % (head, content)

    def tail(self, words: str) -> bytes:
        """What follows the master in the copy that says these words."""
        stamp, xref, start = self.stamp(words), self._xref, len(self.data)
        last, at = int(xref["size"]), start + len(stamp)
        table = _ENTRY.pack(1, start, 0) + _ENTRY.pack(1, at, 0)
        digest = hashlib.sha256(xref["id"] + stamp).hexdigest()[:32].upper().encode("ascii")
        head = (
            b"<</Type/XRef/Size %d/W[1 4 2]/Index[%b 1 %d 1]%b/Prev %b/ID[<%b><%b>]/Length %d>>"
            % (last + 1, self._stamp["number"], last, xref["ends"], self._before, xref["id"],
               digest, len(table))
        )  # fmt: skip
        body = b"%d 0 obj\n%b\nstream\n%b\nendstream\nendobj\n" % (last, head, table)
        return b"%b%bstartxref\n%d\n%%%%EOF\n" % (stamp, body, at)

    def said(self, tail: bytes) -> str:
        """The words of a copy's tail; "" where there are none."""
        found = _WORDS.search(tail)
        return bytes.fromhex(found[1].decode()).decode("utf-16-be", "replace") if found else ""

    @property
    def parts(self) -> tuple[re.Match[bytes], re.Match[bytes]]:
        """Where the blank stamp and the cross-reference stand."""
        return self._stamp, self._xref

    @cached_property
    def _room(self) -> float:
        return float(self._stamp["width"])

    def _width(self, words: str) -> float:
        return width(words, float(self._stamp["size"]))


class TextMaster:
    """A released text edition."""

    def __init__(self, data: bytes) -> None:
        self.data = data

    def words(self, number: int, name: str) -> Words:
        """What the copy says."""
        return Words(f"Copy {number}: {name}")

    def tail(self, words: str) -> bytes:
        """A paragraph at the end of the file, in lines as short as all others."""
        return "".join(f"{line}\n" for line in ["", *filled(words)]).encode("utf-8")

    def said(self, tail: bytes) -> str:
        """The words of a copy's tail."""
        return " ".join(tail.decode("utf-8", "replace").split())


Master = PdfMaster | TextMaster


def master(data: bytes, file: Path) -> Master:
    """A released file by its kind. Raises InputError where it has no room for a stamp."""
    return TextMaster(data) if file.suffix == ".txt" else PdfMaster(data, file)


def number_and_name(words: str) -> tuple[int, str] | None:
    """Whose a copy is by what it says."""
    found = _SAID.fullmatch(words)
    return (int(found[1]), found[2]) if found else None
