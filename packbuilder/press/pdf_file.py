"""PDF file: numbered objects in, a compact file out. It knows nothing of pages or puzzles.

Small objects go into object streams and the cross-reference into a stream of its own (ISO 32000-1,
7.5.7 and 7.5.8). A tagged book has some ten thousand small objects: written one by one they take
ten times the room, and having a library re-save the file takes longer than all the rest.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate
from struct import Struct
from typing import BinaryIO

_TOGETHER = 400  # objects of one object stream: more pack closer, but a reader unpacks them all
_ENTRY = Struct(">BIH")  # of the cross-reference: kind, place, index
_QUICK = 1  # zlib's level for what is not page content: higher ones gain little for much time
_CONTENT = 4  # the level for page content: 6 saves two bytes in a hundred for twice the time
_HEAD = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"


class PdfFile:
    """The objects of a PDF in the making. Numbers count from 1; a body is an object's own text."""

    def __init__(self) -> None:
        self._bodies: list[str | bytes] = []

    @property
    def count(self) -> int:
        """How many objects there are."""
        return len(self._bodies)

    def reserve(self, count: int = 1) -> int:
        """The first of so many new numbers in a row, whose bodies follow with ``put``."""
        self._bodies += [""] * count
        return len(self._bodies) - count + 1

    def put(self, number: int, body: str | bytes) -> None:
        """Set the body of a number; bytes are written as they are: a stream."""
        self._bodies[number - 1] = body

    def fill(self, first: int, bodies: Sequence[str]) -> None:
        """Set the bodies of numbers in a row."""
        self._bodies[first - 1 : first - 1 + len(bodies)] = bodies

    def add(self, body: str | bytes) -> int:
        """A new object; gives its number."""
        self._bodies.append(body)
        return len(self._bodies)

    def stream(self, data: bytes, entries: str = "", *, packed: bool = True) -> int:
        """A new stream with more ``entries`` in its dictionary; gives its number."""
        return self.add(_stream(data, entries, packed=packed))

    def write(self, out: BinaryIO, *, root: int, info: int) -> None:
        """Write the file. The same objects give the same bytes, its identity included."""
        parts, places = [_HEAD], {}
        offset = len(_HEAD)

        def place(number: int, body: bytes) -> None:
            nonlocal offset
            places[number] = (1, offset, 0)
            parts.append(b"%d 0 obj\n%b\nendobj\n" % (number, body))
            offset += len(parts[-1])

        small = [n for n, body in enumerate(self._bodies, start=1) if isinstance(body, str)]
        for number, body in enumerate(self._bodies, start=1):
            if isinstance(body, bytes):
                place(number, body)
        packs = [small[k : k + _TOGETHER] for k in range(0, len(small), _TOGETHER)]
        for holder, numbers in enumerate(packs, start=len(self._bodies) + 1):
            for k, number in enumerate(numbers):
                places[number] = (2, holder, k)
            place(holder, self._pack(numbers))
        last = len(self._bodies) + len(packs) + 1
        places[0], places[last] = (0, 0, 65535), (1, offset, 0)
        table = b"".join(_ENTRY.pack(*places[number]) for number in range(last + 1))
        digest = hashlib.sha256(b"".join(parts)).hexdigest()[:32].upper()
        entries = (
            f"/Type/XRef/Size {last + 1}/W[1 4 2]/Root {root} 0 R/Info {info} 0 R"
            f"/ID[<{digest}><{digest}>]"
        )
        parts.append(b"%d 0 obj\n%b\nendobj\n" % (last, _stream(table, entries, level=_QUICK)))
        parts.append(b"startxref\n%d\n%%%%EOF\n" % offset)
        out.write(b"".join(parts))

    def _pack(self, numbers: Sequence[int]) -> bytes:
        bodies = [str(self._bodies[number - 1]) for number in numbers]
        offsets = accumulate((len(body) + 1 for body in bodies), initial=0)
        heads = [f"{number} {offset}" for number, offset in zip(numbers, offsets, strict=False)]
        head = " ".join(heads) + "\n"
        data = (head + "\n".join(bodies)).encode("ascii")
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
