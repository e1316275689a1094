"""PDF file: numbered objects in, a compact file out. It knows nothing of pages or puzzles.

Small objects go into object streams and the cross-reference into a stream of its own (ISO 32000-1,
7.5.7 and 7.5.8). A tagged book has some ten thousand small objects: written one by one they take
ten times the room, and having a library re-save the file takes longer than all the rest.
"""

from __future__ import annotations

import hashlib
import zlib
from array import array
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import accumulate
from struct import Struct
from typing import BinaryIO

_TOGETHER = 400  # objects of an object stream, or a few more: a reader unpacks them all at once
_ENTRY = Struct(">BIH")  # of the cross-reference: kind, place, index
_QUICK = 1  # zlib's level for what is not page content: higher ones gain little for much time
_CONTENT = 4  # the level for page content: 6 saves two bytes in a hundred for twice the time
_HEAD = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"


class PdfFile:
    """The objects of a PDF in the making. Numbers count from 1; a body is an object's own text.

    Small objects are packed as soon as there are enough of them, so that a book of any length takes
    little more room than its file.
    """

    def __init__(self) -> None:
        self.count = 0
        """How many objects there are."""
        self._streams: dict[int, bytes] = {}
        self._loose: dict[int, str] = {}  # small objects that are in no pack yet
        self._packs: list[tuple[array[int], bytes]] = []  # object streams, with what they hold

    def reserve(self, count: int = 1) -> int:
        """The first of so many new numbers in a row, whose bodies follow with ``put``."""
        self.count += count
        return self.count - count + 1

    def put(self, number: int, body: str | bytes) -> None:
        """Set the body of a number, once; bytes are written as they are: a stream."""
        if isinstance(body, bytes):
            self._streams[number] = body
        else:
            self.fill(number, (body,))

    def fill(self, first: int, bodies: Sequence[str]) -> None:
        """Set the bodies of numbers in a row, once."""
        self._loose.update(enumerate(bodies, start=first))
        if len(self._loose) >= _TOGETHER:
            self._pack()

    def add(self, body: str | bytes) -> int:
        """A new object; gives its number."""
        number = self.reserve()
        self.put(number, body)
        return number

    def stream(self, data: bytes, entries: str = "", *, packed: bool = True) -> int:
        """A new stream with more ``entries`` in its dictionary; gives its number."""
        return self.add(_stream(data, entries, packed=packed))

    def write(self, out: BinaryIO, *, root: int, info: int) -> None:
        """Write the file. The same objects give the same bytes, its identity included."""
        self._pack()
        last = self.count + len(self._packs) + 1
        table, digest, offset = bytearray(_ENTRY.size * (last + 1)), hashlib.sha256(), 0

        def say(part: bytes) -> None:
            nonlocal offset
            out.write(part)
            digest.update(part)
            offset += len(part)

        def place(number: int, *entry: int) -> None:
            _ENTRY.pack_into(table, _ENTRY.size * number, *entry)

        def speak(number: int, body: bytes) -> None:
            place(number, 1, offset, 0)
            say(b"%d 0 obj\n%b\nendobj\n" % (number, body))

        say(_HEAD)
        for number, body in sorted(self._streams.items()):
            speak(number, body)
        for holder, (numbers, body) in enumerate(self._packs, start=self.count + 1):
            for k, number in enumerate(numbers):
                place(number, 2, holder, k)
            speak(holder, body)
        place(0, 0, 0, 65535)
        place(last, 1, offset, 0)
        identity, start = digest.hexdigest()[:32].upper(), offset
        entries = (
            f"/Type/XRef/Size {last + 1}/W[1 4 2]/Root {root} 0 R/Info {info} 0 R"
            f"/ID[<{identity}><{identity}>]"
        )
        say(b"%d 0 obj\n%b\nendobj\n" % (last, _stream(bytes(table), entries, level=_QUICK)))
        say(b"startxref\n%d\n%%%%EOF\n" % start)

    def _pack(self) -> None:
        """Put all loose objects into an object stream."""
        if self._loose:
            numbers = array("L", sorted(self._loose))
            self._packs.append((numbers, _packed(numbers, self._loose)))
            self._loose = {}


def _packed(numbers: Sequence[int], bodies: Mapping[int, str]) -> bytes:
    """An object stream of those numbers."""
    told = [bodies[number] for number in numbers]
    offsets = accumulate((len(body) + 1 for body in told), initial=0)
    heads = [f"{number} {offset}" for number, offset in zip(numbers, offsets, strict=False)]
    head = " ".join(heads) + "\n"
    data = (head + "\n".join(told)).encode("ascii")
    entries = f"/Type/ObjStm/N {len(numbers)}/First {len(head)}"
    return _stream(data, entries, level=_QUICK)


def _stream(data: bytes, entries: str = "", *, packed: bool = True, level: int = _CONTENT) -> bytes:
    if packed:
        data, entries = zlib.compress(data, level), entries + "/Filter/FlateDecode"
    return b"<<%b/Length %d>>\nstream\n%b\nendstream" % (entries.encode("ascii"), len(data), data)


_ESCAPES = str.maketrans({"(": r"\(", ")": r"\)", "\\": r"\\"})


def text_string(text: str) -> str:
    """A text as PDF has it: in plain letters where it is ASCII, else as UTF-16."""
    if text.isascii() and text.isprintable():
        return f"({text.translate(_ESCAPES)})"
    return f"<FEFF{text.encode('utf-16-be').hex().upper()}>"


@lru_cache(maxsize=10_000)
def number(value: float) -> str:
    """A number to a hundredth, as short as it goes."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def box(sides: Sequence[float]) -> str:
    """Numbers as an array."""
    return f"[{' '.join(map(number, sides))}]"
